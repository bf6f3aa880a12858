package org.tarebook.control;

import java.time.Instant;
import java.util.Collection;
import java.util.HashMap;
import java.util.Map;
import java.util.Optional;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Component;
import org.tarebook.chart.Chart;
import org.tarebook.chart.Plan;
import org.tarebook.chart.Plans;
import org.tarebook.plant.CutReadings;
import org.tarebook.plant.ShiftCalendars;
import org.tarebook.plant.Shifts;
import org.tarebook.reading.ReadingWindow;
import org.tarebook.storage.CatchUp;
import org.tarebook.storage.CatchUps;
import org.tarebook.storage.SqlTime;
import org.tarebook.storage.WriteLocks;

/**
 * Cuts stored readings into shifts again when shift calendars change: judges the points that the
 * calendars to come make, chart by chart and day by day, each day under the chart's lock. What is
 * posted meanwhile is judged by both ways ({@link SignalWatch}). When all is judged, the signals to
 * come and the calendars take the place of the earlier ones together.
 */
@Component
class CutAgain implements CutReadings, CatchUp {

  private static final String WHAT = "cutting into shifts again";
  private static final String CHANGE = "shift calendar change ";

  /** All calendars together cut the days. */
  private static final long SCOPE = 0;

  private static final Instant END = Instant.parse("2200-01-01T00:00:00Z");

  private static final String IN_WINDOW = " r.measured_at >= :from and r.measured_at < :before";

  private static final String OF_CHART =
      " r.characteristic_id = c.characteristic_id and r.chart_id = c.id and" + IN_WINDOW;

  private final JdbcClient jdbc;
  private final ShiftCalendars calendars;
  private final Plans plans;
  private final SignalWatch watch;
  private final SignalsToCome signals;
  private final LimitSetStore limitSets;
  private final ChartedWindows windows;
  private final WriteLocks locks;
  private final CatchUps catchUps;

  CutAgain(
      JdbcClient jdbc,
      ShiftCalendars calendars,
      Plans plans,
      SignalWatch watch,
      SignalsToCome signals,
      LimitSetStore limitSets,
      ChartedWindows windows,
      WriteLocks locks,
      CatchUps catchUps) {
    this.jdbc = jdbc;
    this.calendars = calendars;
    this.plans = plans;
    this.watch = watch;
    this.signals = signals;
    this.limitSets = limitSets;
    this.windows = windows;
    this.locks = locks;
    this.catchUps = catchUps;
  }

  @Override
  public WriteLocks.Together lock() {
    return locks.takeTogether(locks(SCOPE));
  }

  @Override
  public Collection<Long> locks(long scope) {
    return jdbc.sql("select id from chart").query(Long.class).list();
  }

  @Override
  public boolean any(Shifts.Recut recut) {
    return in(recut, "select r.id from reading r where" + IN_WINDOW + " fetch first 1 rows only")
        .query(Long.class)
        .optional()
        .isPresent();
  }

  @Override
  public Counts count(Shifts.Recut recut) {
    return new Counts(
        number(in(recut, "select count(*) from reading r where" + IN_WINDOW)),
        number(
            in(
                recut,
                "select count(*) from chart c where exists (select 1 from reading r where"
                    + OF_CHART
                    + ")")),
        number(
            in(
                    recut,
                    "select count(*) from judged_shift where shift_from >= :from"
                        + " and shift_from < :before")
                .param("from", SqlTime.of(recut.start()))),
        number(
            in(
                recut,
                "select count(*) from signal where completed_at >= :from and completed_at < :before"
                    + " and withdrawn_at is null")),
        number(
            in(
                recut,
                "select count(*) from limit_set where baseline_from < :before"
                    + " and baseline_before > :from")));
  }

  private static long number(JdbcClient.StatementSpec query) {
    return query.query(Long.class).single();
  }

  private JdbcClient.StatementSpec in(Shifts.Recut recut, String sql) {
    Instant before = recut.before();
    return jdbc.sql(sql)
        .param("from", SqlTime.of(recut.from()))
        .param("before", SqlTime.of(before == null ? END : before));
  }

  @Override
  public void cutAgain(long changeId) {
    catchUps.ask(WHAT, SCOPE, CHANGE + changeId, "shifts of all charts");
  }

  @Override
  public Map<Long, CatchUp.Progress> progress() {
    Map<Long, CatchUp.Progress> progress = new HashMap<>();
    catchUps
        .of(WHAT, SCOPE)
        .forEach((by, each) -> progress.put(Long.valueOf(by.substring(CHANGE.length())), each));
    return progress;
  }

  @Override
  public String what() {
    return WHAT;
  }

  @Override
  public long total(Task task) {
    return number(
        jdbc.sql(
                "select count(*) from chart c join reading r on"
                    + OF_CHART
                    + " where exists (select 1 from limit_set l where l.chart_id = c.id)")
            .param("from", SqlTime.of(toCome().start()))
            .param("before", SqlTime.of(END)));
  }

  private Plan.ToCome toCome() {
    return plans.current().toCome().orElseThrow();
  }

  /** A piece is a day of a chart with limits; a chart's place is where its next day begins. */
  @Override
  public Piece next(Task task) {
    Plan.ToCome next = toCome();
    String[] place = task.place() == null ? new String[] {"0"} : task.place().split(" ");
    long from = Long.parseLong(place[0]);
    Optional<Long> found = limitSets.firstChart(from);
    if (found.isEmpty()) {
      return new Piece(null, 0, 0);
    }
    long chartId = found.get();
    Instant start = chartId == from && place.length > 1 ? Instant.parse(place[1]) : next.start();
    locks.hold(chartId);
    Chart chart = next.plan().charts().get(chartId);
    LimitsInForce limits = new LimitsInForce(limitSets.ofChart(chartId));
    Instant begin = limits.begin();
    Instant first =
        windows.firstReading(
            new ReadingWindow.Asked(
                chart, begin != null && begin.isAfter(start) ? begin : start, END));
    if (first == null) {
      return new Piece(String.valueOf(chartId + 1), readings(chart, start, END), 0);
    }
    SignalWatch.Stretched judged = watch.judgeToCome(next, chart, limits, first);
    return new Piece(
        chartId + " " + judged.before(), readings(chart, start, judged.before()), judged.changed());
  }

  private long readings(Chart chart, Instant from, Instant before) {
    return number(
        jdbc.sql("select count(*) from chart c join reading r on" + OF_CHART + " where c.id = :id")
            .param("id", chart.id())
            .param("from", SqlTime.of(from))
            .param("before", SqlTime.of(before)));
  }

  @Override
  public void finish(long scope, WriteLocks.Together together) {
    signals.settle(toCome().start(), together);
    calendars.settle(together);
  }
}
