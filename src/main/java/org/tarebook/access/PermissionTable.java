package org.tarebook.access;

import static org.springframework.http.HttpMethod.GET;
import static org.springframework.http.HttpMethod.HEAD;
import static org.springframework.http.HttpMethod.POST;
import static org.springframework.http.HttpMethod.PUT;
import static org.springframework.security.web.servlet.util.matcher.PathPatternRequestMatcher.pathPattern;

import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import org.springframework.http.HttpMethod;
import org.springframework.http.server.PathContainer;
import org.springframework.security.web.util.matcher.OrRequestMatcher;
import org.springframework.security.web.util.matcher.RequestMatcher;
import org.springframework.web.util.pattern.PathPatternParser;

/**
 * The table of who may do what: read from the top, the first row that fits decides. What it does
 * not list may be read as {@link StationReads} tells, and not be done by anybody.
 */
final class PermissionTable {

  private static final List<HttpMethod> READ = List.of(GET, HEAD);
  private static final List<HttpMethod> EVERY = List.of(GET, HEAD, POST, PUT);

  private static final Permission ADMIN = Permission.of(Role.ADMIN);
  private static final Permission QUALITY = Permission.of(Role.QUALITY, Role.ADMIN);
  private static final Permission OWN_NAME = Permission.ofPerson(Role.QUALITY, Role.ADMIN);
  private static final Permission ASKING = Permission.of(Role.READER, Role.QUALITY, Role.ADMIN);
  private static final Permission POSTING = Permission.of(Role.STATION, Role.QUALITY);

  static final List<Row> ROWS =
      List.of(
          new Row(
              READ,
              Permission.OPEN,
              "/actuator/health",
              "/actuator/health/liveness",
              "/actuator/health/readiness",
              "/problems",
              "/problems/*",
              "/openapi",
              "/openapi/*",
              "/openapi.yaml",
              "/api",
              "/swagger-ui/**"),
          // The service itself
          new Row(EVERY, ADMIN, "/actuator/**", "/api/v1/tokens/**"),
          new Row(READ, ADMIN, "/api/v1/backup"),
          // Facts
          new Row(
              List.of(POST),
              POSTING,
              "/api/v1/readings",
              "/api/v1/readings/bulk",
              "/api/v1/instrument-checks",
              "/api/v1/cures",
              "/api/v1/cures/*/samples",
              "/api/v1/cures/*/closing"),
          // Questions too large for an address
          new Row(
              List.of(POST),
              ASKING,
              "/api/v1/limit-sets/preview",
              "/api/v1/cure-schedules/*/dry-runs",
              "/api/v1/measuring-studies",
              "/api/v1/bias-studies",
              "/api/v1/uncertainty-budgets",
              "/api/v1/decision-risks"),
          // What a person answers for by name
          new Row(
              List.of(POST),
              OWN_NAME,
              "/api/v1/readings/*/amendments",
              "/api/v1/characteristics/*/specifications/**",
              "/api/v1/specifications/**",
              "/api/v1/measuring-uncertainties/**",
              "/api/v1/instruments/*/revisions",
              "/api/v1/instrument-checks/*/voidings",
              "/api/v1/items/*/corrections",
              "/api/v1/limit-sets/**",
              "/api/v1/kept-studies",
              "/api/v1/signals/*/responses",
              "/api/v1/compounds/**",
              "/api/v1/cures/*/verdicts",
              "/api/v1/cures/*/settlements",
              "/api/v1/cure-schedules/*/revisions/**"),
          // The plant and what is measured in it
          new Row(
              List.of(POST, PUT),
              QUALITY,
              "/api/v1/lines/**",
              "/api/v1/stations/**",
              "/api/v1/instruments/**",
              "/api/v1/components/**",
              "/api/v1/products/**",
              "/api/v1/shift-calendars/**",
              "/api/v1/characteristics/**",
              "/api/v1/control-plan/**",
              "/api/v1/items/**",
              "/api/v1/presses/**",
              "/api/v1/column-plans/**",
              "/api/v1/verdict-charts/**",
              "/api/v1/cure-schedules",
              "/api/v1/cure-schedules/*"),
          // Reading
          new Row(READ, QUALITY, "/api/v1/audit"),
          new Row(READ, ASKING, "/api/v1/cures/judged-earlier"));

  private PermissionTable() {}

  /**
   * Who may do what an operation does.
   *
   * @param path as the API document writes it, with the names of its parts in braces
   * @return nothing where the table does not list it
   */
  static Optional<Permission> of(HttpMethod method, String path) {
    return ROWS.stream().filter(row -> row.lists(method, path)).map(Row::permission).findFirst();
  }

  /** Whether a pattern is of an address as the API document writes it. */
  static boolean fits(String pattern, String path) {
    return PathPatternParser.defaultInstance.parse(pattern).matches(PathContainer.parsePath(path));
  }

  /**
   * Some operations and who may do them.
   *
   * @param paths patterns of addresses
   */
  record Row(List<HttpMethod> methods, Permission permission, List<String> paths) {

    Row(List<HttpMethod> methods, Permission permission, String... paths) {
      this(methods, permission, List.of(paths));
    }

    RequestMatcher requests() {
      Stream<RequestMatcher> matchers =
          paths.stream().flatMap(path -> methods.stream().map(method -> pathPattern(method, path)));
      return new OrRequestMatcher(matchers.toList());
    }

    private boolean lists(HttpMethod method, String path) {
      return methods.contains(method) && paths.stream().anyMatch(each -> fits(each, path));
    }
  }
}
