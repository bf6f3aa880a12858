package org.tarebook.reading;

import java.util.ArrayList;
import java.util.Collections;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Repository;
import org.tarebook.storage.SqlTime;

/**
 * Reads how often items of a chart's window were measured and whether they passed. Costs one range
 * of the index on characteristic and time, and a row for each item that was measured again.
 */
@Repository
class AttemptStore {

  private static final String JUDGED_IN_WINDOW =
      " r.characteristic_id = :characteristic and r.chart_id = :chart"
          + " and r.measured_at >= :from and r.measured_at < :before"
          + " and r.result <> 'NOT_JUDGED' and r.phase = 'RUNNING'"
          + " and r.lock_version <= :version"
          + " and not exists (select 1 from uncounted u where u.reading_id = r.id"
          + " and u.cause in ('VOIDED', 'REPLACED') and u.since_version <= :version"
          + " and (u.until_version is null or u.until_version > :version))";

  private final JdbcClient jdbc;

  AttemptStore(JdbcClient jdbc) {
    this.jdbc = jdbc;
  }

  private record Row(long id, long root, boolean passed) {}

  List<List<Boolean>> of(ReadingWindow.Asked asked) {
    Map<Long, List<Row>> chains = new LinkedHashMap<>();
    for (Row row : again(asked)) {
      chains.computeIfAbsent(row.root(), id -> new ArrayList<>()).add(row);
    }
    chains.entrySet().removeIf(chain -> chain.getValue().get(0).id() != chain.getKey());
    if (chains.isEmpty()) {
      return List.of();
    }
    Map<Boolean, Integer> once = new HashMap<>(first(asked));
    List<List<Boolean>> items = new ArrayList<>();
    for (List<Row> chain : chains.values()) {
      once.merge(chain.get(0).passed(), -1, Integer::sum);
      items.add(chain.stream().map(Row::passed).toList());
    }
    once.forEach((passed, count) -> items.addAll(Collections.nCopies(count, List.of(passed))));
    return items;
  }

  /** How many items passed at their first reading, and how many failed. */
  private Map<Boolean, Integer> first(ReadingWindow.Asked asked) {
    Map<Boolean, Integer> counts = new HashMap<>();
    in(
            asked,
            "select r.result, count(*) as items from reading r where"
                + JUDGED_IN_WINDOW
                + " and r.remeasures_id is null group by r.result")
        .query(
            (row, number) ->
                counts.merge(passed(row.getString("result")), row.getInt("items"), Integer::sum))
        .list();
    return counts;
  }

  /** The readings of items measured more than once, those of an item in order. */
  private List<Row> again(ReadingWindow.Asked asked) {
    // An inner join in effect; as a left join H2 begins with the few items, not with the window.
    String judged = " left join reading r on r.%s = a.root where" + JUDGED_IN_WINDOW;
    return in(
            asked,
            "with again as (select distinct m.remeasures_id as root from reading m"
                + " where m.characteristic_id = :characteristic and m.chart_id = :chart"
                + " and m.measured_at >= :from and m.measured_at < :before"
                + " and m.remeasures_id is not null and m.lock_version <= :version)"
                + " select r.id, a.root, r.result, r.measured_at from again a"
                + judged.formatted("id")
                + " union all select r.id, a.root, r.result, r.measured_at from again a"
                + judged.formatted("remeasures_id")
                + " order by 4, 1")
        .query(
            (row, number) ->
                new Row(row.getLong("id"), row.getLong("root"), passed(row.getString("result"))))
        .list();
  }

  private static boolean passed(String result) {
    return result.equals("PASS");
  }

  private JdbcClient.StatementSpec in(ReadingWindow.Asked asked, String sql) {
    return jdbc.sql(sql)
        .param("characteristic", asked.chart().characteristicId())
        .param("chart", asked.chart().id())
        .param("from", SqlTime.of(asked.from()))
        .param("before", SqlTime.of(asked.before()))
        .param("version", asked.asOf().version());
  }
}
