package org.tarebook.segment;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Types;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collection;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Repository;
import org.tarebook.reading.ReadingWindow;
import org.tarebook.storage.SqlTime;

/** Segments in the database. */
@Repository
class SegmentStore {

  /** So many shifts' readings are fetched at a time. */
  static final int PAGE = 64;

  private final JdbcClient jdbc;

  SegmentStore(JdbcClient jdbc) {
    this.jdbc = jdbc;
  }

  /**
   * How far segments of a chart are built.
   *
   * @param before shifts that end no later have a segment or hold no reading; absent where none is
   *     built
   * @param calendar digest of the calendars they were cut by
   */
  record Edge(@Nullable Instant before, @Nullable String calendar) {}

  /** How far segments are built. */
  Edge edge(long chartId) {
    return jdbc.sql("select summed_before, summed_by from write_lock where id = ?")
        .param(chartId)
        .query(SegmentStore::edge)
        .single();
  }

  /** The same of many charts. */
  Map<Long, Edge> edges(Collection<Long> chartIds) {
    Map<Long, Edge> edges = new HashMap<>();
    jdbc.sql("select id, summed_before, summed_by from write_lock where id in (:ids)")
        .param("ids", chartIds)
        .query((row, number) -> edges.put(row.getLong("id"), edge(row, number)))
        .list();
    return edges;
  }

  /** The same, with the chart's lock held until the transaction ends. */
  Edge lockedEdge(long chartId) {
    return jdbc.sql("select summed_before, summed_by from write_lock where id = ? for update")
        .param(chartId)
        .query(SegmentStore::edge)
        .single();
  }

  private static Edge edge(ResultSet row, int number) throws SQLException {
    return new Edge(SqlTime.find(row, "summed_before"), row.getString("summed_by"));
  }

  void moveEdge(long chartId, Instant before, String calendar) {
    jdbc.sql("update write_lock set summed_before = ?, summed_by = ? where id = ?")
        .params(SqlTime.of(before), calendar, chartId)
        .update();
  }

  /**
   * The charts with something to build, in one look that takes no lock.
   *
   * @param calendar digest of the calendars that segments are to be cut by
   * @param settled readings from before it are due
   */
  Set<Long> waiting(String calendar, Instant settled) {
    return jdbc.sql(
            "select c.id from chart c join write_lock w on w.id = c.id where w.summed_by <> :calendar"
                + " or exists (select 1 from segment s where s.stale and s.chart_id = c.id)"
                + " or exists (select 1 from reading r where r.chart_id = c.id"
                + " and r.characteristic_id = c.characteristic_id and r.measured_at < :settled"
                + " and r.measured_at >= coalesce(w.summed_before, :never))")
        .param("calendar", calendar)
        .param("settled", SqlTime.of(settled))
        .param("never", SqlTime.of(Instant.EPOCH))
        .query(Long.class)
        .set();
  }

  /** Forgets every segment of a chart. */
  void clear(long chartId) {
    jdbc.sql("delete from segment where chart_id = ?").param(chartId).update();
    jdbc.sql("update write_lock set summed_before = null, summed_by = null where id = ?")
        .param(chartId)
        .update();
  }

  /** The segments of a span that begin in a half-open window, in order; stale ones too. */
  List<Segment> find(long chartId, Segment.Span span, Instant from, Instant before) {
    return find(List.of(chartId), span, from, before).getOrDefault(chartId, List.of());
  }

  /** The same of several charts, by their ids. */
  Map<Long, List<Segment>> find(
      Collection<Long> chartIds, Segment.Span span, Instant from, Instant before) {
    Map<Long, List<Segment>> found = new HashMap<>();
    if (from.isBefore(before)) {
      jdbc.sql(
              "select chart_id, span, starts, ends, changed_version, content from segment"
                  + " where chart_id in (:charts) and span = :span and starts >= :from"
                  + " and starts < :before order by chart_id, starts")
          .param("charts", chartIds)
          .param("span", span.name())
          .param("from", SqlTime.of(from))
          .param("before", SqlTime.of(before))
          .query(
              (row, number) ->
                  found
                      .computeIfAbsent(row.getLong("chart_id"), id -> new ArrayList<>())
                      .add(segment(row, number)))
          .list();
    }
    return found;
  }

  /**
   * Where the segments of a span begin that touch a window, in order. Those of one span do not
   * overlap, so that only the last of those that begin no later than the window can reach into it.
   */
  List<Instant> starts(long chartId, Segment.Span span, Instant from, Instant before) {
    return jdbc.sql(
            "select starts from segment where chart_id = :chart and span = :span and ends > :from"
                + " and starts < :before and starts >= coalesce((select max(s.starts) from segment s"
                + " where s.chart_id = :chart and s.span = :span and s.starts <= :from), :from)"
                + " order by starts")
        .param("chart", chartId)
        .param("span", span.name())
        .param("from", SqlTime.of(from))
        .param("before", SqlTime.of(before))
        .query((row, number) -> SqlTime.get(row, "starts"))
        .list();
  }

  /**
   * Where the first segment begins of those that begin no earlier than a moment, if there is one.
   */
  Optional<Instant> firstStart(long chartId, Instant from) {
    return jdbc.sql(
            "select starts from segment where chart_id = ? and starts >= ? order by starts"
                + " fetch first 1 rows only")
        .params(chartId, SqlTime.of(from))
        .query((row, number) -> SqlTime.get(row, "starts"))
        .optional();
  }

  /** Stale segments of a chart, some 200 at most, shifts before months. */
  List<Segment> stale(long chartId) {
    return jdbc.sql(
            "select span, starts, ends, changed_version, content from segment where stale"
                + " and chart_id = ? order by span desc, starts fetch first 200 rows only")
        .param(chartId)
        .query(SegmentStore::segment)
        .list();
  }

  /**
   * A shift of a chart that has a segment.
   *
   * @param changedVersion version of the chart's lock of the last fact in it, 0 while stale
   * @param readings its readings, packed; absent while stale, and where they are not kept
   */
  @SuppressWarnings("ArrayRecordComponent") // compared by nobody; unpacked only where it is used
  record KeptShift(Instant starts, Instant ends, long changedVersion, byte @Nullable [] readings) {}

  /**
   * Some shifts, in order.
   *
   * @param built how far segments are built; the beginning of time where they are cut otherwise
   */
  record KeptPage(Instant built, List<KeptShift> shifts) {}

  /** The first shifts of a window that have a segment, at most {@value #PAGE}. */
  KeptPage kept(ReadingWindow.Asked asked, String calendar) {
    Instant[] built = {Instant.EPOCH};
    List<KeptShift> shifts = new ArrayList<>();
    jdbc.sql(
            "select w.summed_before, s.starts, s.ends, s.changed_version, s.readings"
                + " from write_lock w left join (select chart_id, starts, ends, changed_version,"
                + " case when not stale then readings end as readings from segment"
                + " where chart_id = :chart and span = 'SHIFT' and starts >= :from"
                + " and starts < :before order by chart_id, span, starts fetch first "
                + PAGE
                + " rows only) s on s.chart_id = w.id"
                + " where w.id = :chart and w.summed_by = :calendar order by s.starts")
        .param("chart", asked.chart().id())
        .param("calendar", calendar)
        .param("from", SqlTime.of(asked.from()))
        .param("before", SqlTime.of(asked.before()))
        .query(
            row -> {
              built[0] = SqlTime.get(row, "summed_before");
              Instant starts = SqlTime.find(row, "starts");
              if (starts != null) {
                shifts.add(
                    new KeptShift(
                        starts,
                        SqlTime.get(row, "ends"),
                        row.getLong("changed_version"),
                        row.getBytes("readings")));
              }
            });
    return new KeptPage(built[0], shifts);
  }

  private static Segment segment(ResultSet row, int number) throws SQLException {
    return new Segment(
        Segment.Span.valueOf(row.getString("span")),
        SqlTime.get(row, "starts"),
        SqlTime.get(row, "ends"),
        row.getLong("changed_version"),
        row.getBytes("content"));
  }

  /** Writes a segment in place of the one that begins with it, if there is one. */
  void put(long chartId, Segment segment) {
    put(chartId, segment, null);
  }

  /**
   * The same.
   *
   * @param readings those of a shift, packed; absent where they are not kept
   */
  void put(long chartId, Segment segment, byte @Nullable [] readings) {
    remove(chartId, segment.span(), segment.starts());
    jdbc.sql(
            "insert into segment (chart_id, span, starts, ends, stale, changed_version, content,"
                + " readings) values (:chart, :span, :starts, :ends, :stale, :changed, :content,"
                + " :readings)")
        .param("chart", chartId)
        .param("span", segment.span().name())
        .param("starts", SqlTime.of(segment.starts()))
        .param("ends", SqlTime.of(segment.ends()))
        .param("stale", segment.stale())
        .param("changed", segment.stale() ? null : (Long) segment.changedVersion(), Types.BIGINT)
        .param("content", segment.packed(), Types.VARBINARY)
        .param("readings", readings, Types.VARBINARY)
        .update();
  }

  void remove(long chartId, Segment.Span span, Instant starts) {
    jdbc.sql("delete from segment where chart_id = ? and span = ? and starts = ?")
        .params(chartId, span.name(), SqlTime.of(starts))
        .update();
  }

  /** Makes every segment of a chart stale that holds a moment of a stretch. */
  void spoil(long chartId, Instant from, Instant last) {
    jdbc.sql(
            "update segment set stale = true, changed_version = null, content = null,"
                + " readings = null"
                + " where chart_id = ? and starts <= ? and ends > ? and not stale")
        .params(chartId, SqlTime.of(last), SqlTime.of(from))
        .update();
  }
}
