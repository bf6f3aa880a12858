package org.tarebook.access;

import static org.springframework.security.web.servlet.util.matcher.PathPatternRequestMatcher.pathPattern;

import jakarta.servlet.http.HttpServletRequest;
import java.util.List;
import java.util.Map;
import java.util.function.Supplier;
import org.jspecify.annotations.Nullable;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.security.authorization.AuthorizationManager;
import org.springframework.security.authorization.AuthorizationResult;
import org.springframework.security.core.Authentication;
import org.springframework.security.web.access.intercept.RequestAuthorizationContext;
import org.springframework.security.web.util.matcher.OrRequestMatcher;
import org.springframework.security.web.util.matcher.RequestMatcher;
import org.springframework.security.web.util.matcher.RequestMatcher.MatchResult;

/**
 * Who may read: every role but STATION reads all of the record. A token with the role STATION reads
 * the plant and what the rows below list; where it is of one station, only that station's readings
 * and what belongs to its line.
 */
final class StationReads implements AuthorizationManager<RequestAuthorizationContext> {

  private static final Permission ANYONE = Permission.of(Role.values());

  private static final List<String> PLANT =
      List.of(
          "/api/v1/lines/**",
          "/api/v1/stations/**",
          "/api/v1/instruments",
          "/api/v1/instruments/{code}",
          "/api/v1/instruments/{code}/revisions/**",
          "/api/v1/components/**",
          "/api/v1/products/**",
          "/api/v1/shift-calendars/**",
          "/api/v1/characteristics",
          "/api/v1/characteristics/{code}",
          "/api/v1/control-plan/**",
          "/api/v1/rule-sets",
          "/api/v1/presses/**",
          "/api/v1/column-plans/**",
          "/api/v1/cure-schedules/**",
          "/api/v1/items/**");

  private static final RequestMatcher OF_PLANT =
      new OrRequestMatcher(PLANT.stream().<RequestMatcher>map(each -> pathPattern(each)).toList());

  private static final String OF_CHART =
      "select l.code from chart c join line l on l.id = c.line_id where c.code = ?";
  private static final String OF_INSTRUMENT =
      "select l.code from instrument i join station s on s.id = i.station_id"
          + " join line l on l.id = s.line_id where i.code = ?";

  /**
   * What belongs to a line or a station.
   *
   * @param by the parts of the address or parameters that name it, each with the query that finds
   *     whose it is; one of them must be there
   */
  private record Row(
      String pattern, RequestMatcher path, boolean ofStation, Map<String, String> by) {
    static Row ofLine(String pattern, Map<String, String> by) {
      return new Row(pattern, pathPattern(pattern), false, by);
    }

    static Row ofStation(String pattern, Map<String, String> by) {
      return new Row(pattern, pathPattern(pattern), true, by);
    }
  }

  private static final List<Row> ROWS =
      List.of(
          Row.ofStation(
              "/api/v1/readings", Map.of("station", "select code from station where code = ?")),
          Row.ofStation(
              "/api/v1/readings/{id}/**",
              Map.of(
                  "id",
                  "select s.code from reading r join station s on s.id = r.station_id"
                      + " where r.id = ?")),
          Row.ofLine(
              "/api/v1/characteristics/{code}/specifications/**",
              Map.of(
                  "code",
                  "select l.code from chart c join line l on l.id = c.line_id"
                      + " join characteristic m on m.id = c.characteristic_id where m.code = ?")),
          Row.ofLine("/api/v1/charts", Map.of("line", "select code from line where code = ?")),
          Row.ofLine("/api/v1/charts/{code}", Map.of("code", OF_CHART)),
          Row.ofLine("/api/v1/charts/{code}/points", Map.of("code", OF_CHART)),
          Row.ofLine(
              "/api/v1/signals",
              Map.of("line", "select code from line where code = ?", "chart", OF_CHART)),
          Row.ofLine(
              "/api/v1/signals/{id}",
              Map.of(
                  "id",
                  "select l.code from signal g join chart c on c.id = g.chart_id"
                      + " join line l on l.id = c.line_id where g.id = ?")),
          Row.ofLine("/api/v1/instruments/{code}/standing", Map.of("code", OF_INSTRUMENT)),
          Row.ofLine("/api/v1/instrument-checks", Map.of("instrument", OF_INSTRUMENT)),
          Row.ofLine(
              "/api/v1/instrument-checks/{id}",
              Map.of(
                  "id",
                  "select l.code from instrument_check k join instrument i on i.id = k.instrument_id"
                      + " join station s on s.id = i.station_id join line l on l.id = s.line_id"
                      + " where k.id = ?")),
          Row.ofLine(
              "/api/v1/cures",
              Map.of(
                  "press",
                  "select l.code from press p join station s on s.id = p.station_id"
                      + " join line l on l.id = s.line_id where p.code = ?")),
          Row.ofLine(
              "/api/v1/cures/{id}/**",
              Map.of(
                  "id",
                  "select l.code from cure u join press p on p.id = u.press_id"
                      + " join station s on s.id = p.station_id join line l on l.id = s.line_id"
                      + " where u.id = ?")));

  /** What a token with the role STATION reads at an address. */
  enum Share {
    /** All of it. */
    ALL,
    /** What belongs to its own station or line, where it is of one. */
    OWN,
    /** Nothing. */
    NONE
  }

  private final JdbcClient jdbc;

  StationReads(JdbcClient jdbc) {
    this.jdbc = jdbc;
  }

  /**
   * What a token with the role STATION reads by an operation.
   *
   * @param path as the API document writes it, with the names of its parts in braces
   */
  static Share of(String path) {
    if (PLANT.stream().anyMatch(pattern -> PermissionTable.fits(pattern, path))) {
      return Share.ALL;
    }
    return ROWS.stream().anyMatch(row -> PermissionTable.fits(row.pattern(), path))
        ? Share.OWN
        : Share.NONE;
  }

  @Override
  public AuthorizationResult authorize(
      Supplier<? extends @Nullable Authentication> asking, RequestAuthorizationContext context) {
    Authentication authentication = asking.get();
    if (authentication == null
        || !(authentication.getPrincipal() instanceof Tokens.Shown shown)
        || shown.role() != Role.STATION) {
      return ANYONE.authorize(asking, context);
    }
    HttpServletRequest request = context.getRequest();
    if (OF_PLANT.matches(request)) {
      return new Permission.Decision(true, "");
    }
    for (Row row : ROWS) {
      MatchResult match = row.path().matcher(request);
      if (match.isMatch()) {
        String station = shown.actor().station();
        return station == null
            ? new Permission.Decision(true, "")
            : decide(row, match.getVariables(), request, station);
      }
    }
    return new Permission.Decision(
        false,
        "A token with the role STATION reads the plant, specifications, charts, signals, standings,"
            + " cures and readings. Ask this with the token of a reader.");
  }

  private Permission.Decision decide(
      Row row, Map<String, String> variables, HttpServletRequest request, String station) {
    String line =
        jdbc.sql("select l.code from station s join line l on l.id = s.line_id where s.code = ?")
            .param(station)
            .query(String.class)
            .single();
    String own = row.ofStation() ? station : line;
    String token = "This token is of station " + station + " on line " + line;
    for (Map.Entry<String, String> by : row.by().entrySet()) {
      String named = variables.get(by.getKey());
      String[] asked = request.getParameterValues(by.getKey());
      if (named == null && asked != null && asked.length == 1) {
        named = asked[0];
      }
      if (named != null) {
        List<String> owners = owners(by.getKey(), named, by.getValue());
        return new Permission.Decision(
            owners.isEmpty() || owners.contains(own),
            token
                + " and reads what belongs to "
                + own
                + " only; this belongs to "
                + String.join(", ", owners)
                + ".");
      }
    }
    return new Permission.Decision(
        false,
        token
            + " and reads what belongs to "
            + own
            + " only. Ask with the parameter "
            + String.join(" or ", row.by().keySet().stream().sorted().toList())
            + ", once.");
  }

  /** Whose it is; nothing where it is not there, which the controller tells. */
  private List<String> owners(String part, String named, String query) {
    if (named.indexOf('\0') >= 0) { // no code has one, and PostgreSQL takes none
      return List.of();
    }
    Object value = named;
    if (part.equals("id")) {
      try {
        value = Long.parseLong(named);
      } catch (NumberFormatException unreadable) {
        return List.of();
      }
    }
    return jdbc.sql(query).param(value).query(String.class).list();
  }
}
