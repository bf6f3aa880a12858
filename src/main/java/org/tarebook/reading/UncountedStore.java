package org.tarebook.reading;

import java.util.Collection;
import java.util.EnumMap;
import java.util.EnumSet;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.springframework.jdbc.core.JdbcTemplate;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Repository;
import org.tarebook.storage.SqlTime;

/**
 * Which readings do not count in statistics, and why. Derived from facts; a cause that ends keeps
 * its row with the version at which it ended, so that a figure can be told again as it stood.
 */
@Repository
class UncountedStore {

  private final JdbcTemplate jdbc;
  private final JdbcClient client;

  UncountedStore(JdbcTemplate jdbc, JdbcClient client) {
    this.jdbc = jdbc;
    this.client = client;
  }

  /** A reading that a cause begins to keep out, or no longer keeps out, from a version on. */
  record Change(Reading reading, Cause cause, long version) {}

  void begin(List<Change> changes) {
    jdbc.batchUpdate(
        "insert into uncounted (reading_id, cause, since_version, until_version, characteristic_id,"
            + " measured_at) values (?, ?, ?, null, ?, ?)",
        changes,
        Math.max(1, changes.size()),
        (statement, change) -> {
          statement.setLong(1, change.reading().id());
          statement.setString(2, change.cause().name());
          statement.setLong(3, change.version());
          statement.setLong(4, change.reading().characteristicId());
          statement.setObject(5, SqlTime.of(change.reading().event().measuredAt()));
        });
  }

  void end(List<Change> changes) {
    jdbc.batchUpdate(
        "update uncounted set until_version = ?"
            + " where reading_id = ? and cause = ? and until_version is null",
        changes,
        Math.max(1, changes.size()),
        (statement, change) -> {
          statement.setLong(1, change.version());
          statement.setLong(2, change.reading().id());
          statement.setString(3, change.cause().name());
        });
  }

  /** The causes in force for some readings; readings that count are left out. */
  Map<Long, Set<Cause>> of(Collection<Long> readingIds) {
    Map<Long, Set<Cause>> causes = new HashMap<>();
    if (!readingIds.isEmpty()) {
      client
          .sql(
              "select reading_id, cause from uncounted"
                  + " where reading_id in (:ids) and until_version is null")
          .param("ids", readingIds)
          .query(
              (row, number) ->
                  causes
                      .computeIfAbsent(row.getLong("reading_id"), id -> EnumSet.noneOf(Cause.class))
                      .add(Cause.valueOf(row.getString("cause"))))
          .list();
    }
    return causes;
  }

  /** How many readings of a chart's window do not count, each under the first of its causes. */
  Map<Cause, Long> count(ReadingWindow.Asked asked) {
    Map<Long, Cause> first = new HashMap<>();
    client
        .sql(
            "select u.reading_id, u.cause from uncounted u join reading r on r.id = u.reading_id"
                + " where u.characteristic_id = :characteristic and u.measured_at >= :from"
                + " and u.measured_at < :before and r.chart_id = :chart"
                + " and r.lock_version <= :version and u.since_version <= :version"
                + " and (u.until_version is null or u.until_version > :version)")
        .param("version", asked.asOf().version())
        .param("characteristic", asked.chart().characteristicId())
        .param("from", SqlTime.of(asked.from()))
        .param("before", SqlTime.of(asked.before()))
        .param("chart", asked.chart().id())
        .query(
            (row, number) ->
                first.merge(
                    row.getLong("reading_id"),
                    Cause.valueOf(row.getString("cause")),
                    (a, b) -> a.compareTo(b) <= 0 ? a : b))
        .list();
    Map<Cause, Long> counts = new EnumMap<>(Cause.class);
    first.values().forEach(cause -> counts.merge(cause, 1L, Long::sum));
    return counts;
  }
}
