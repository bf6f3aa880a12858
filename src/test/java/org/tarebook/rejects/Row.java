package org.tarebook.rejects;

import java.time.OffsetDateTime;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.time.ZonedDateTime;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import org.springframework.jdbc.core.simple.JdbcClient;

/**
 * A reading or a cavity as {@link Recount} sees it. Codes stand in their order: line, component,
 * product, station, die, shift.
 */
record Row(
    long id,
    ZonedDateTime at,
    String item,
    String characteristic,
    String[] codes,
    String result,
    @Nullable String direction,
    String state,
    boolean suspect,
    @Nullable Long load,
    List<String> breaches) {

  static final ZoneId BERLIN = ZoneId.of("Europe/Berlin");

  String state(RateQuestion question) {
    return suspect && state.equals("IN") && !question.includeSuspect() ? "SUSPECT" : state;
  }

  /** Every row of the record, in measuring order. */
  static List<Row> all(JdbcClient sql) {
    List<Row> rows = new ArrayList<>();
    Map<Long, List<Map<String, Object>>> causes = by(sql, "uncounted", "until_version is null");
    Map<Long, List<Map<String, Object>>> successors = by(sql, "successor_result", "1 = 1");
    List<Map<String, Object>> all =
        sql.sql(
                """
                select r.*, c.code as characteristic, s.code as station, l.code as line,
                  co.code as component, p.code as product
                from reading r join characteristic c on c.id = r.characteristic_id
                join station s on s.id = r.station_id join line l on l.id = s.line_id
                left join component co on co.id = c.component_id
                left join product p on p.id = c.product_id
                """)
            .query()
            .listOfRows();
    Map<Object, Object> labelOfEvent = new HashMap<>();
    all.forEach(row -> labelOfEvent.put(row.get("event_id"), row.get("item_label")));
    for (Map<String, Object> row : all) {
      long id = (Long) row.get("id");
      boolean declared = row.get("remeasures_key") != null;
      Object label =
          row.get("item_label") != null && !declared
              ? row.get("item_label")
              : labelOfEvent.get(row.get("root_event_id"));
      Map<String, Object> judged =
          successors.getOrDefault(id, List.of()).stream()
              .max(Comparator.comparing(later -> ((Number) later.get("sequence")).intValue()))
              .orElse(row);
      String result = (String) judged.get("result");
      Set<String> own = new TreeSet<>();
      causes.getOrDefault(id, List.of()).forEach(cause -> own.add((String) cause.get("cause")));
      ZonedDateTime at =
          ((OffsetDateTime) instant(row.get("measured_at"))).atZoneSameInstant(BERLIN);
      rows.add(
          new Row(
              id,
              at,
              label != null ? "!" + label : unnamed(row),
              (String) row.get("characteristic"),
              new String[] {
                text(row.get("line")),
                text(row.get("component")),
                text(row.get("product")),
                text(row.get("station")),
                text(row.get("die")),
                shift(at)
              },
              result,
              (String) judged.get("direction"),
              state(own, result),
              own.contains("INSTRUMENT_FAILED") || own.contains("INSTRUMENT_SUSPECT"),
              null,
              List.of()));
    }
    for (CureRows.Cavity cavity : CureRows.of(sql)) {
      ZonedDateTime at = cavity.at().atZone(BERLIN);
      rows.add(
          new Row(
              cavity.cure(),
              at,
              cavity.item(),
              "cure",
              new String[] {
                cavity.line(), "", cavity.product(), cavity.station(), cavity.place(), shift(at)
              },
              cavity.breaches().isEmpty() ? "PASS" : "FAIL",
              null,
              cavity.state(),
              false,
              cavity.cure(),
              cavity.breaches()));
    }
    rows.sort(Comparator.comparing((Row row) -> row.at().toInstant()).thenComparing(Row::id));
    return rows;
  }

  private static String unnamed(Map<String, Object> row) {
    String[] key = ((String) row.get("event_key")).split(":");
    return row.get("posted_by").equals("tarebook") && key[0].equals("cure")
        ? "load " + key[1] + " " + key[4]
        : "#" + row.get("root_event_id");
  }

  private static Map<Long, List<Map<String, Object>>> by(
      JdbcClient sql, String table, String which) {
    Map<Long, List<Map<String, Object>>> found = new HashMap<>();
    sql.sql("select * from " + table + " where " + which)
        .query()
        .listOfRows()
        .forEach(
            row ->
                found
                    .computeIfAbsent((Long) row.get("reading_id"), id -> new ArrayList<>())
                    .add(row));
    return found;
  }

  private static Object instant(Object value) {
    return value instanceof java.sql.Timestamp stamp
        ? stamp.toInstant().atOffset(ZoneOffset.UTC)
        : value;
  }

  private static String text(@Nullable Object value) {
    return value == null ? "" : (String) value;
  }

  private static String state(Set<String> causes, String result) {
    for (String cause : List.of("VOIDED", "REPLACED")) {
      if (causes.contains(cause)) {
        return cause;
      }
    }
    if (causes.contains("NO_VALUE")) {
      return "NOT_JUDGED";
    }
    return causes.contains("NOT_RUNNING")
        ? "NOT_RUNNING"
        : result.equals("NOT_JUDGED") ? "NOT_JUDGED" : "IN";
  }

  static String shift(ZonedDateTime at) {
    int hour = at.getHour();
    return hour < 6 || hour >= 22 ? "night" : hour < 14 ? "early" : "late";
  }
}
