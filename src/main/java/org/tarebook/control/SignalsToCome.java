package org.tarebook.control;

import java.time.Instant;
import java.util.Collection;
import java.util.List;
import org.springframework.jdbc.core.JdbcTemplate;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Repository;
import org.tarebook.storage.SqlTime;
import org.tarebook.storage.WriteLocks;

/**
 * The signals by shift calendars to come, in a table of their own, so that no answer can mix them
 * with those that stand. They become signals together.
 */
@Repository
class SignalsToCome implements StoredSignals {

  /** What a signal is known by: {@link Signal.Key}. */
  private static final String SAME =
      " t.completed_by = s.completed_by and t.rule = s.rule and t.stratum = s.stratum"
          + " and t.limit_set_id = s.limit_set_id";

  private static final String COLUMNS =
      "id, chart_id, limit_set_id, stratum, rule, side, began_at, completed_by, completed_at, point,"
          + " readings, first_by";

  private static final String READ =
      "select s.*, s.id as origin_id, s.completed_at as raised_at, cast(null as timestamp with time zone) as withdrawn_at"
          + " from signal_to_come s where ";

  private final JdbcTemplate jdbc;
  private final JdbcClient client;

  SignalsToCome(JdbcTemplate jdbc, JdbcClient client) {
    this.jdbc = jdbc;
    this.client = client;
  }

  @Override
  public List<Signal> standing(long chartId, Instant from, Instant before) {
    return client
        .sql(
            READ
                + "s.chart_id = ? and s.completed_at >= ? and s.completed_at < ?"
                + " order by s.completed_at, s.id")
        .params(chartId, SqlTime.of(from), SqlTime.of(before))
        .query((row, number) -> SignalStore.read(row))
        .list();
  }

  @Override
  public List<Signal> standingCompletedBy(
      long chartId, String stratum, Collection<Long> readingIds) {
    return readingIds.isEmpty()
        ? List.of()
        : client
            .sql(
                READ
                    + "s.completed_by in (:ids) and s.chart_id = :chart and s.stratum = :stratum"
                    + " order by s.id")
            .param("ids", readingIds)
            .param("chart", chartId)
            .param("stratum", stratum)
            .query((row, number) -> SignalStore.read(row))
            .list();
  }

  @Override
  public void replace(List<Signal> wrong, List<Signal> raised, Instant now, long version) {
    jdbc.batchUpdate(
        "delete from signal_to_come where id = ?",
        wrong,
        Math.max(1, wrong.size()),
        (statement, signal) -> statement.setLong(1, signal.id()));
    jdbc.batchUpdate(
        "insert into signal_to_come (" + COLUMNS + ") values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        raised,
        Math.max(1, raised.size()),
        SignalStore::write);
  }

  /**
   * Puts them in the place of all signals completed from a moment on, under the locks of all
   * charts. One that stands and is to stand stays as it is, with the responses to it.
   */
  void settle(Instant start, WriteLocks.Together together) {
    client
        .sql(
            "update signal s set withdrawn_at = :now, withdrawn_version = :version"
                + " where s.withdrawn_at is null and s.completed_at >= :start"
                + " and not exists (select 1 from signal_to_come t where"
                + SAME
                + ")")
        .param("now", SqlTime.of(together.at()))
        .param("version", together.version())
        .param("start", SqlTime.of(start))
        .update();
    client
        .sql(
            "insert into signal ("
                + COLUMNS
                + ", raised_at, raised_version, origin_id) select "
                + COLUMNS
                + ", cast(:now as timestamp(6) with time zone), cast(:version as bigint),"
                + " coalesce((select max(coalesce(t.origin_id, t.id)) from signal t where"
                + " t.withdrawn_at is not null and t.point = s.point and t.began_at = s.began_at and"
                + SAME
                + "), s.id)"
                + " from signal_to_come s where not exists (select 1 from signal t where"
                + " t.withdrawn_at is null and"
                + SAME
                + ")")
        .param("now", SqlTime.of(together.at()))
        .param("version", together.version())
        .update();
    client.sql("delete from signal_to_come").update();
  }
}
