package org.tarebook.reading;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import org.springframework.beans.factory.annotation.Value;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Repository;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.quantity.Decimals;
import org.tarebook.quantity.Unit;
import org.tarebook.storage.SqlTime;

/**
 * Reads the readings of a chart's window. Costs one range of the index on characteristic and time.
 */
@Repository
class WindowStore {

  private static final String IN_WINDOW =
      " r.characteristic_id = :characteristic and r.chart_id = :chart"
          + " and r.measured_at >= :from and r.measured_at < :before";

  private static final String COUNTS =
      " and not exists (select 1 from uncounted u where u.reading_id = r.id"
          + " and u.until_version is null)";

  private static final String COUNTED_AT_VERSION =
      " and r.lock_version <= :version and not exists (select 1 from uncounted u"
          + " where u.reading_id = r.id and u.since_version <= :version"
          + " and (u.until_version is null or u.until_version > :version))";

  private static final String MOVED_SINCE =
      " or exists (select 1 from shift_calendar_change k where k.version > :version"
          + " and r.measured_at >= k.cut_from"
          + " and (k.cut_before is null or r.measured_at < k.cut_before))";

  private final JdbcClient jdbc;
  private final int most;

  /**
   * Reads from a database.
   *
   * @param most so many readings are held in memory at a time
   */
  WindowStore(JdbcClient jdbc, @Value("${tarebook.readings-at-once}") int most) {
    this.jdbc = jdbc;
    this.most = most;
  }

  List<ReadingWindow.Row> counted(ReadingWindow.Asked asked) {
    Map<String, String> seen = new HashMap<>();
    boolean now = asked.asOf().isNow();
    JdbcClient.StatementSpec query =
        in(
            asked,
            "select r.id, r.measured_at, r.counter, r.station_id, r.instrument_id, r.die, r.lot,"
                + " r.sample, r.operator, r.net_value, r.decimals, r.unit from reading r"
                + " where"
                + IN_WINDOW
                + (now ? COUNTS : COUNTED_AT_VERSION)
                + " order by r.measured_at, r.id fetch first "
                + (most + 1L)
                + " rows only");
    List<ReadingWindow.Row> rows =
        (now ? query : query.param("version", asked.asOf().version()))
            .query((row, number) -> row(row, seen))
            .list();
    requireFew(asked, rows.size());
    return rows;
  }

  void requireFew(ReadingWindow.Asked asked, int readings) {
    if (readings > most) {
      throw Problem.at(
          ProblemType.RULE_BROKEN,
          "measuredBefore",
          "asks for more than %,d readings of %s one by one; ask for a shorter window"
              .formatted(most, asked.chart().code()));
    }
  }

  long changedSince(ReadingWindow.Asked asked, long version) {
    return in(
            asked,
            "select count(*) from reading r where"
                + IN_WINDOW
                + " and (r.lock_version > :version or exists (select 1 from uncounted u"
                + " where u.reading_id = r.id and u.cause <> 'REMEASUREMENT'"
                + " and (u.since_version > :version or u.until_version > :version))"
                + (cutAgainSince(asked, version) ? MOVED_SINCE : "")
                + ")")
        .param("version", version)
        .query(Long.class)
        .single();
  }

  boolean cutAgainSince(ReadingWindow.Asked asked, long version) {
    return jdbc.sql(
            "select id from shift_calendar_change where version > ? and cut_from < ?"
                + " and (cut_before is null or cut_before > ?) fetch first 1 rows only")
        .params(version, SqlTime.of(asked.before()), SqlTime.of(asked.from()))
        .query(Long.class)
        .optional()
        .isPresent();
  }

  @Nullable Instant first(ReadingWindow.Asked asked) {
    return edge(asked, "asc");
  }

  @Nullable Instant last(ReadingWindow.Asked asked) {
    return edge(asked, "desc");
  }

  /** Of those that count, or counted. */
  @Nullable Instant lastCounted(ReadingWindow.Asked asked) {
    boolean now = asked.asOf().isNow();
    JdbcClient.StatementSpec query = edgeOf(asked, now ? COUNTS : COUNTED_AT_VERSION, "desc");
    return edge(now ? query : query.param("version", asked.asOf().version()));
  }

  private @Nullable Instant edge(ReadingWindow.Asked asked, String order) {
    return edge(edgeOf(asked, "", order));
  }

  private static @Nullable Instant edge(JdbcClient.StatementSpec query) {
    OffsetDateTime found = query.query(OffsetDateTime.class).optional().orElse(null);
    return found == null ? null : found.toInstant();
  }

  private JdbcClient.StatementSpec edgeOf(ReadingWindow.Asked asked, String wanted, String order) {
    return in(
        asked,
        "select r.measured_at from reading r where"
            + IN_WINDOW
            + wanted
            + " order by r.characteristic_id "
            + order
            + ", r.measured_at "
            + order
            + " fetch first 1 rows only");
  }

  long lastChange(ReadingWindow.Asked asked) {
    return in(
            asked,
            "select coalesce(max(c.changed), 0) from (select r.lock_version as changed from reading r"
                + " where"
                + IN_WINDOW
                + " union all select coalesce(u.until_version, u.since_version) from uncounted u"
                + " join reading r on r.id = u.reading_id where"
                + IN_WINDOW
                + ") c")
        .query(Long.class)
        .single();
  }

  /** The names of the samples that the readings of a window that count were taken in. */
  Set<String> samples(ReadingWindow.Asked asked) {
    return new TreeSet<>(
        in(
                asked,
                "select distinct r.sample from reading r where"
                    + IN_WINDOW
                    + " and r.sample is not null"
                    + COUNTS)
            .query(String.class)
            .list());
  }

  private JdbcClient.StatementSpec in(ReadingWindow.Asked asked, String sql) {
    return jdbc.sql(sql)
        .param("characteristic", asked.chart().characteristicId())
        .param("chart", asked.chart().id())
        .param("from", SqlTime.of(asked.from()))
        .param("before", SqlTime.of(asked.before()));
  }

  /** A row; its columns are in the order of the record, and read by place: there are many rows. */
  private static ReadingWindow.Row row(ResultSet row, Map<String, String> seen)
      throws SQLException {
    int column = 0;
    return new ReadingWindow.Row(
        row.getLong(++column),
        row.getObject(++column, OffsetDateTime.class).toInstant(),
        row.getObject(++column, Long.class),
        row.getLong(++column),
        row.getObject(++column, Long.class),
        once(row.getString(++column), seen),
        once(row.getString(++column), seen),
        once(row.getString(++column), seen),
        once(row.getString(++column), seen),
        Decimals.toNanos(row.getBigDecimal(++column)),
        row.getInt(++column),
        Unit.of(row.getString(++column)));
  }

  private static @Nullable String once(@Nullable String text, Map<String, String> seen) {
    return text == null ? null : seen.computeIfAbsent(text, same -> same);
  }
}
