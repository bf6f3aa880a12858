package org.tarebook.control;

import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Types;
import java.time.Instant;
import java.util.Collection;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.springframework.jdbc.core.JdbcTemplate;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Repository;
import org.tarebook.chart.Chart;
import org.tarebook.reading.ReadingWindow;
import org.tarebook.stats.Side;
import org.tarebook.storage.SqlTime;
import org.tarebook.storage.Vendor;

/** Signals in the database: added, and marked withdrawn where they no longer hold. */
@Repository
class SignalStore implements StoredSignals {

  private static final Instant END = Instant.parse("2200-01-01T00:00:00Z");

  private static final String UNANSWERED =
      " s.withdrawn_at is null"
          + " and not exists (select 1 from response a where a.signal_id = coalesce(s.origin_id, s.id))";

  private final JdbcTemplate jdbc;
  private final JdbcClient client;
  private final Vendor vendor;

  SignalStore(JdbcTemplate jdbc, JdbcClient client, Vendor vendor) {
    this.jdbc = jdbc;
    this.client = client;
    this.vendor = vendor;
  }

  /**
   * Which signals are asked for; each member may be absent.
   *
   * @param open whether they stand and nobody has responded
   * @param completedFrom first moment
   * @param completedBefore first moment after it
   */
  record Filter(
      @Nullable Long chartId,
      @Nullable Long lineId,
      @Nullable Boolean open,
      @Nullable Instant completedFrom,
      @Nullable Instant completedBefore,
      boolean withdrawnToo) {}

  /** A place in the list, newest first. */
  record Place(Instant completedAt, long id) {}

  @Override
  public void replace(List<Signal> wrong, List<Signal> raised, Instant now, long version) {
    jdbc.batchUpdate(
        "update signal set withdrawn_at = ?, withdrawn_version = ? where id = ?",
        wrong,
        Math.max(1, wrong.size()),
        (statement, signal) -> {
          statement.setObject(1, SqlTime.of(now));
          statement.setLong(2, version);
          statement.setLong(3, signal.id());
        });
    jdbc.batchUpdate(
        "insert into signal (id, chart_id, limit_set_id, stratum, rule, side, began_at,"
            + " completed_by, completed_at, point, readings, first_by, raised_at, raised_version,"
            + " origin_id) values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, coalesce((select"
            + " max(coalesce(w.origin_id, w.id)) from signal w where w.withdrawn_at is not null"
            + " and w.chart_id = ? and w.completed_at = ? and w.rule = ? and w.stratum = ? and w.limit_set_id = ?"
            + " and w.point = ? and w.began_at = ?), ?))",
        raised,
        Math.max(1, raised.size()),
        (statement, signal) -> {
          write(statement, signal);
          statement.setObject(13, SqlTime.of(signal.raisedAt()));
          statement.setLong(14, version);
          statement.setLong(15, signal.chartId());
          statement.setObject(16, SqlTime.of(signal.completedAt()));
          statement.setString(17, signal.rule());
          statement.setString(18, signal.stratum());
          statement.setLong(19, signal.limitSetId());
          statement.setDouble(20, signal.point());
          statement.setObject(21, SqlTime.of(signal.beganAt()));
          statement.setLong(22, signal.origin());
        });
  }

  /** Sets the first twelve columns. */
  static void write(PreparedStatement statement, Signal signal) throws SQLException {
    statement.setLong(1, signal.id());
    statement.setLong(2, signal.chartId());
    statement.setLong(3, signal.limitSetId());
    statement.setString(4, signal.stratum());
    statement.setString(5, signal.rule());
    statement.setString(6, signal.side() == null ? null : signal.side().name());
    statement.setObject(7, SqlTime.of(signal.beganAt()));
    statement.setLong(8, signal.completedBy());
    statement.setObject(9, SqlTime.of(signal.completedAt()));
    statement.setDouble(10, signal.point());
    statement.setObject(11, signal.readings(), Types.INTEGER);
    statement.setObject(12, signal.firstBy(), Types.BIGINT);
  }

  @Override
  public List<Signal> standing(long chartId, Instant from, Instant before) {
    return client
        .sql(
            "select * from signal where chart_id = ? and completed_at >= ? and completed_at < ?"
                + " and withdrawn_at is null order by completed_at, id")
        .params(chartId, SqlTime.of(from), SqlTime.of(before))
        .query((row, number) -> read(row))
        .list();
  }

  /** The signals of a chart completed in a window that stood at a version of its lock, in order. */
  List<Signal> stoodAt(long chartId, Instant from, Instant before, long version) {
    return client
        .sql(
            "select * from signal where chart_id = ? and completed_at >= ? and completed_at < ?"
                + " and raised_version <= ?"
                + " and (withdrawn_version is null or withdrawn_version > ?)"
                + " order by completed_at, id")
        .params(chartId, SqlTime.of(from), SqlTime.of(before), version, version)
        .query((row, number) -> read(row).whileItHeld())
        .list();
  }

  /**
   * How many points of a window completed a signal that stands or stood, how far out they lay, and
   * which signals are open, by stratum.
   */
  Map<String, Signals.Counts> count(ReadingWindow.Asked asked) {
    Map<String, Signals.Counts> counts = new HashMap<>();
    client
        .sql(
            "select f.stratum, count(distinct f.point) as points, count(f.open_at) as open,"
                + " min(f.open_at) as since, max(f.sigmas) as sigmas, max(f.spread) as spread"
                + " from (select s.stratum,"
                + " coalesce(s.first_by, s.completed_by) as point, case when s.rule <> :spread then"
                + " abs(s.point - l.centre) / nullif((l.upper_line - l.centre) / 3, 0)"
                + (asked.chart().cut().kind() == Chart.Kind.BETWEEN_WITHIN
                    ? ""
                    : " * sqrt(coalesce(s.readings, :planned) / cast(:planned as double precision))")
                + " end as sigmas,"
                + " case when s.rule = :spread then s.point / nullif(l.spread_centre, 0) end as spread, case when not exists (select 1"
                + " from response a where a.signal_id = coalesce(s.origin_id, s.id) and a.recorded_at <= :moment)"
                + " then s.completed_at end as open_at"
                + " from signal s join limit_set l on l.id = s.limit_set_id where s.chart_id = :chart"
                + " and s.completed_at >= :from and s.completed_at < :before"
                + " and s.raised_version <= :version"
                + " and (s.withdrawn_version is null or s.withdrawn_version > :version)) f"
                + " group by f.stratum")
        .param("moment", SqlTime.of(asked.asOf().isNow() ? END : asked.asOf().moment()))
        .param("chart", asked.chart().id())
        .param("from", SqlTime.of(asked.from()))
        .param("before", SqlTime.of(asked.before()))
        .param("version", asked.asOf().version())
        .param("spread", Found.SPREAD_BEYOND_LIMITS)
        .param("planned", asked.chart().cut().subgroupSize())
        .query(
            (row, number) ->
                counts.put(
                    row.getString("stratum"),
                    new Signals.Counts(
                        row.getLong("points"),
                        new Signals.Open(row.getLong("open"), SqlTime.find(row, "since")),
                        new Signals.Far(row.getDouble("sigmas"), row.getDouble("spread")))))
        .list();
    return counts;
  }

  @Override
  public List<Signal> standingCompletedBy(
      long chartId, String stratum, Collection<Long> readingIds) {
    return completedBy(readingIds).stream()
        .filter(signal -> signal.chartId() == chartId && signal.stratum().equals(stratum))
        .toList();
  }

  /** The standing signals that some readings completed, in the order of their ids. */
  List<Signal> completedBy(Collection<Long> readingIds) {
    return readingIds.isEmpty()
        ? List.of()
        : client
            .sql(
                "select * from signal where completed_by in (:ids) and withdrawn_at is null"
                    + " order by id")
            .param("ids", readingIds)
            .query((row, number) -> read(row))
            .list();
  }

  Optional<Signal> byId(long id) {
    return client
        .sql("select * from signal where id = ?")
        .param(id)
        .query((row, number) -> read(row))
        .optional();
  }

  /** A page of the list, newest first. */
  List<Signal> page(Filter filter, @Nullable Place behind, int limit) {
    boolean ofChart = filter.chartId() != null;
    StringBuilder sql = new StringBuilder("select s.* from signal s");
    if (ofChart && vendor == Vendor.H2) { // or it takes the one of the foreign key
      sql.append(" use index (ix_signal_chart_time)");
    }
    sql.append(" where 1 = 1");
    Map<String, Object> values = new HashMap<>();
    values.put("limit", limit);
    and(sql, values, "s.chart_id = :chart", "chart", filter.chartId());
    and(
        sql,
        values,
        "exists (select 1 from chart c where c.id = s.chart_id and c.line_id = :line)",
        "line",
        filter.lineId());
    Instant from = filter.completedFrom();
    Instant before = filter.completedBefore();
    and(sql, values, "s.completed_at >= :from", "from", SqlTime.ofNullable(from));
    and(sql, values, "s.completed_at < :before", "before", SqlTime.ofNullable(before));
    if (!filter.withdrawnToo()) {
      sql.append(" and s.withdrawn_at is null");
    }
    if (filter.open() != null) {
      sql.append(filter.open() ? " and" + UNANSWERED : " and not (" + UNANSWERED + ")");
    }
    if (behind != null) {
      sql.append(" and s.completed_at <= :at and (s.completed_at < :at or s.id < :id)");
      values.put("at", SqlTime.of(behind.completedAt()));
      values.put("id", behind.id());
    }
    sql.append(" order by ").append(ofChart ? "s.chart_id desc, " : "");
    sql.append("s.completed_at desc, s.id desc fetch first :limit rows only");
    return client.sql(sql.toString()).params(values).query((row, number) -> read(row)).list();
  }

  private static void and(
      StringBuilder sql,
      Map<String, Object> values,
      String condition,
      String name,
      @Nullable Object value) {
    if (value != null) {
      sql.append(" and ").append(condition);
      values.put(name, value);
    }
  }

  /** The open signals of some charts; charts without one are left out. */
  Map<Long, Signals.Open> open(Collection<Long> chartIds) {
    Map<Long, Signals.Open> open = new HashMap<>();
    if (!chartIds.isEmpty()) {
      client
          .sql(
              "select s.chart_id, count(*) as signals, min(s.completed_at) as since from signal s where s.chart_id in (:charts)"
                  + " and"
                  + UNANSWERED
                  + " group by s.chart_id")
          .param("charts", chartIds)
          .query(
              (row, number) ->
                  open.put(
                      row.getLong("chart_id"),
                      new Signals.Open(row.getLong("signals"), SqlTime.find(row, "since"))))
          .list();
    }
    return open;
  }

  void insert(Response response) {
    client
        .sql(
            "insert into response (id, signal_id, fact_key, cause, action, person, recorded_at)"
                + " values (?, ?, ?, ?, ?, ?, ?)")
        .params(
            response.id(),
            response.signalId(),
            response.key(),
            response.cause(),
            response.action(),
            response.person(),
            SqlTime.of(response.recordedAt()))
        .update();
  }

  Optional<Response> response(String person, String key) {
    return client
        .sql("select * from response where person = ? and fact_key = ?")
        .params(person, key)
        .query((row, number) -> readResponse(row))
        .optional();
  }

  /** The responses to some signals, in the order in which they were recorded. */
  List<Response> responses(Collection<Long> signalIds) {
    return signalIds.isEmpty()
        ? List.of()
        : client
            .sql("select * from response where signal_id in (:ids) order by recorded_at, id")
            .param("ids", signalIds)
            .query((row, number) -> readResponse(row))
            .list();
  }

  private static Response readResponse(ResultSet row) throws SQLException {
    return new Response(
        row.getLong("id"),
        row.getLong("signal_id"),
        row.getString("fact_key"),
        row.getString("cause"),
        row.getString("action"),
        row.getString("person"),
        SqlTime.get(row, "recorded_at"));
  }

  private static @Nullable Side side(ResultSet row) throws SQLException {
    String side = row.getString("side");
    return side == null ? null : Side.valueOf(side);
  }

  static Signal read(ResultSet row) throws SQLException {
    Long origin = row.getObject("origin_id", Long.class);
    return new Signal(
        row.getLong("id"),
        origin == null ? row.getLong("id") : origin,
        row.getLong("chart_id"),
        row.getLong("limit_set_id"),
        row.getString("stratum"),
        row.getString("rule"),
        side(row),
        SqlTime.get(row, "began_at"),
        row.getLong("completed_by"),
        SqlTime.get(row, "completed_at"),
        row.getDouble("point"),
        row.getObject("readings", Integer.class),
        row.getObject("first_by", Long.class),
        SqlTime.get(row, "raised_at"),
        SqlTime.find(row, "withdrawn_at"));
  }
}
