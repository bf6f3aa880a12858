package org.tarebook.rejects;

import java.time.Instant;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeSet;
import org.springframework.jdbc.core.simple.JdbcClient;

/** Cavities of cures from all rows of the record, for {@link Recount}. */
final class CureRows {

  private CureRows() {}

  /** What the rows say of a cavity; the state is IN, CURE_NOT_JUDGED or CURE_WITHOUT_LOG. */
  record Cavity(
      long cure,
      Instant at,
      String item,
      String line,
      String station,
      String product,
      String place,
      String state,
      List<String> breaches) {}

  static List<Cavity> of(JdbcClient sql) {
    Map<Object, Map<String, Object>> standing = new HashMap<>();
    sql.sql("select id, cure_id, number, samples from cure_verdict order by number")
        .query()
        .listOfRows()
        .forEach(row -> standing.put(row.get("cure_id"), row));
    List<Map<String, Object>> reasons =
        sql.sql("select verdict_id, cavity, code, weight from cure_reason").query().listOfRows();
    List<Cavity> cavities = new ArrayList<>();
    for (Map<String, Object> row :
        sql.sql(
                """
                select c.id, c.started_at, c.closed_at, y.cavity, y.green_tyre, s.code as station,
                  l.code as line, p.code as product
                from cure c join cure_cavity y on y.cure_id = c.id
                join press m on m.id = c.press_id join station s on s.id = m.station_id
                join line l on l.id = s.line_id join cure_schedule h on h.id = c.schedule_id
                left join product p on p.id = h.product_id order by c.id, y.cavity
                """)
            .query()
            .listOfRows()) {
      Map<String, Object> verdict = standing.get(row.get("id"));
      TreeSet<String> breaches = new TreeSet<>();
      boolean doubt = false;
      for (Map<String, Object> reason :
          verdict == null ? List.<Map<String, Object>>of() : reasons) {
        if (reason.get("verdict_id").equals(verdict.get("id"))
            && reason.get("cavity").equals(row.get("cavity"))) {
          if (reason.get("weight").equals("BREACH")) {
            breaches.add((String) reason.get("code"));
          }
          doubt |= reason.get("weight").equals("DOUBT");
        }
      }
      boolean logged = verdict != null && ((Number) verdict.get("samples")).intValue() > 0;
      String state = breaches.isEmpty() && (doubt || !logged) ? "CURE_NOT_JUDGED" : "IN";
      if (state.equals("CURE_NOT_JUDGED") && !logged) {
        state = "CURE_WITHOUT_LOG";
      }
      Object tyre = row.get("green_tyre");
      cavities.add(
          new Cavity(
              (Long) row.get("id"),
              instant(row.get(verdict == null ? "started_at" : "closed_at")),
              tyre == null ? "load " + row.get("id") + " " + row.get("cavity") : "!" + tyre,
              (String) row.get("line"),
              (String) row.get("station"),
              row.get("product") == null ? "" : (String) row.get("product"),
              String.valueOf(row.get("cavity")),
              state,
              List.copyOf(breaches)));
    }
    return cavities;
  }

  private static Instant instant(Object value) {
    return value instanceof java.sql.Timestamp stamp
        ? stamp.toInstant()
        : ((OffsetDateTime) value).toInstant();
  }
}
