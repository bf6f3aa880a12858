package org.tarebook.control;

import io.swagger.v3.oas.annotations.media.Schema;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Component;
import org.tarebook.chart.Chart;
import org.tarebook.chart.Plan;
import org.tarebook.chart.Plans;
import org.tarebook.chart.Unsettled;
import org.tarebook.http.WireId;
import org.tarebook.reading.AsOf;
import org.tarebook.reading.ReadingWindow;
import org.tarebook.stats.ControlLimits;
import org.tarebook.stats.Side;

/** The points of a chart as they are drawn: with limits and signals. */
@Component
class ChartPoints {

  private static final int MOST = 10_000;
  private static final int SHIFTS_SEARCHED = 10;

  /** Points are gathered in ever longer stretches, so that few are read beyond those answered. */
  private static final Duration SHORTEST = Duration.ofHours(4);

  private static final Duration LONGEST = Duration.ofDays(30);

  private final ChartedWindows windows;
  private final LimitSets limitSets;
  private final Signals signals;
  private final Plans plans;
  private final Clock clock;

  ChartPoints(
      ChartedWindows windows, LimitSets limitSets, Signals signals, Plans plans, Clock clock) {
    this.windows = windows;
    this.limitSets = limitSets;
    this.signals = signals;
    this.plans = plans;
    this.clock = clock;
  }

  /** Points of a chart. */
  @Schema(
      name = "ChartPoints",
      description = "The points of a chart in a window, with the limits that judge them.")
  record Answer(
      String chart,
      String characteristic,
      @Schema(description = "UCUM code of the unit of every figure.", example = "[lb_av]")
          String unit,
      @Schema(description = "Kind of chart.") Chart.Kind kind,
      @Schema(description = "Readings in one point.", example = "5") int subgroupSize,
      @Schema(description = "What the spread of each point is.") ShownLimits.SpreadKind spread,
      Instant measuredFrom,
      Instant measuredBefore,
      @Schema(description = "The limits that judge the points.") List<Judging> limitSets,
      @Schema(description = "The points in the order of time, at most 10,000.") List<Shown> points,
      @Schema(
              description =
                  "Where the points beyond the 10,000 answered begin: the next measuredFrom; absent"
                      + " where all are answered.")
          @Nullable Instant next,
      @Schema(
              description =
                  "The moment that the answer stands for: the beginning of the minute asked for;"
                      + " absent for now.")
          @Nullable Instant asOf,
      @Schema(description = "Version of the chart's record that was asked for; absent for now.")
          @Nullable Long version,
      @Nullable Unsettled unsettled,
      List<NotComputed> notComputed) {}

  /** Limits that judge some of the points. */
  @Schema(name = "JudgingLimits", description = "A limit set that judges some of the points.")
  record Judging(
      String limitSet,
      @Schema(
              description =
                  "The one stratum it judges; empty where it judges every stratum without a limit"
                      + " set of its own.")
          String stratum,
      @Schema(description = "Its control limits.") ShownLimits limits) {}

  /** A point. */
  @Schema(name = "Point", description = "A point of a chart.")
  record Shown(
      @Schema(description = "Time of its last reading.") Instant at,
      @Schema(description = "Empty where the chart has no strata.", example = "DIE=D7")
          String stratum,
      @Schema(
              description = "The sample that it is; absent where it was cut by count.",
              example = "S-0417")
          @Nullable String sample,
      @Schema(
              description = "Its readings that count; its limits are those of so many.",
              example = "5")
          long readings,
      @Schema(description = "How many the control plan asks for.", example = "5")
          int readingsPlanned,
      @Schema(
              description =
                  "That the sample is over and holds fewer readings than planned; absent where it"
                      + " is whole, or may still grow.",
              example = "Sample S-0417 holds 4 of 5 readings that count, and the next has begun.")
          @Nullable String incomplete,
      @Schema(description = "Id of the first of its readings.") @WireId long firstReading,
      @Schema(description = "Id of the reading that completed it.") @WireId long lastReading,
      @Schema(description = "The mean, or the single reading, in the unit.", example = "12.31")
          double value,
      @Schema(
              description = "UCUM code of the unit of value, spread and limits.",
              example = "[lb_av]")
          String unit,
      @Schema(
              description =
                  "Absent for the first reading of a shift, for a sample of one reading, and of ranges"
                      + " for one of more than 100.",
              example = "0.07")
          @Nullable Double spread,
      @Schema(description = "Code of the limit set in force; absent where none is.")
          @Nullable String limitSet,
      @Schema(description = "Of the limits of this point; absent without limits in force.")
          @Nullable Double centre,
      @Schema(description = "Lower control limit of this point.") @Nullable Double lower,
      @Schema(description = "Upper control limit of this point.") @Nullable Double upper,
      @Schema(description = "Centre of the spread of this point.") @Nullable Double spreadCentre,
      @Schema(description = "Lower control limit of the spread.") @Nullable Double spreadLower,
      @Schema(description = "Upper control limit of the spread.") @Nullable Double spreadUpper,
      @Schema(description = "The signals that it completes.") List<Completed> signals) {}

  /** A signal that a point completes. */
  @Schema(name = "CompletedSignal", description = "A signal that a point completes.")
  record Completed(
      @Schema(description = "Number of the signal.") @WireId long id,
      @Schema(description = "Code of the run rule that the points break.") String rule,
      @Schema(
              description =
                  "The half of the chart it lies in; absent for rules that look at both halves.")
          @Nullable Side side,
      @Schema(description = "Whether the signal still holds and has no response yet.")
          boolean open) {}

  Answer of(
      Plan now, Chart chart, StudyWindow window, @Nullable String stratum, @Nullable Instant when) {
    AsOf asOf = windows.asOf(chart, when);
    Plan plan = plans.asOf(now, asOf.moment());
    LimitsInForce limits = limitSets.of(chart).asOf(asOf.version());
    List<Point> found = new ArrayList<>();
    Set<Point> last = new HashSet<>();
    Instant start = window.from();
    Duration stretch = SHORTEST;
    while (start.isBefore(window.before()) && found.size() <= MOST) {
      Instant shift = plan.shifts().at(start).from();
      Instant end = plan.shifts().at(shift.plus(stretch)).before();
      List<Point> cut = windows.points(plan, new ReadingWindow.Asked(chart, shift, end, asOf));
      Map<String, Point> lastOf = new HashMap<>();
      cut.forEach(point -> lastOf.put(point.stratum(), point));
      last.addAll(lastOf.values());
      for (Point point : cut) {
        if ((stratum == null || point.stratum().equals(stratum))
            && !point.at().isBefore(window.from())
            && point.at().isBefore(window.before())) {
          found.add(point);
        }
      }
      start = end;
      stretch = stretch.compareTo(LONGEST) < 0 ? stretch.multipliedBy(2) : LONGEST;
    }
    Instant next = found.size() > MOST ? found.get(MOST).at() : null;
    List<Point> shown =
        next == null ? found : found.stream().filter(point -> point.at().isBefore(next)).toList();
    Map<Long, List<Signals.Answered>> completed =
        signals
            .standing(
                new ReadingWindow.Asked(
                    chart,
                    plan.shifts().at(window.from()).from(), // a sample may have begun before
                    next == null ? window.before() : next,
                    asOf))
            .stream()
            .collect(Collectors.groupingBy(each -> each.signal().completedBy()));
    return answer(plan, chart, window, asOf, limits, shown, last, completed, next);
  }

  private Answer answer(
      Plan plan,
      Chart chart,
      StudyWindow window,
      AsOf asOf,
      LimitsInForce limits,
      List<Point> shown,
      Set<Point> last,
      Map<Long, List<Signals.Answered>> completed,
      @Nullable Instant next) {
    Instant now = asOf.isNow() ? clock.instant() : asOf.moment();
    Chart.Kind kind = chart.cut().kind();
    String unit = plan.characteristics().get(chart.characteristicId()).unit().code();
    boolean allJudged = shown.stream().allMatch(point -> limits.at(point).isPresent());
    return new Answer(
        chart.code(),
        plan.characteristics().get(chart.characteristicId()).code(),
        unit,
        kind,
        chart.cut().subgroupSize(),
        ShownLimits.SpreadKind.of(kind),
        window.from(),
        window.before(),
        shown.stream()
            .flatMap(point -> limits.at(point).stream())
            .distinct()
            .map(
                set ->
                    new Judging(
                        set.code(), set.stratum(), ShownLimits.of(kind, set.unit(), set.limits())))
            .toList(),
        shown.stream()
            .map(
                point ->
                    shown(
                        chart.cut(),
                        unit,
                        point,
                        incomplete(chart.cut(), point, last.contains(point), now),
                        limits.at(point),
                        point.completing().stream()
                            .flatMap(id -> completed.getOrDefault(id, List.of()).stream())
                            .toList()))
            .toList(),
        next,
        asOf.isNow() ? null : asOf.moment(),
        asOf.isNow() ? null : (Long) asOf.version(),
        plan.unsettled(chart),
        allJudged
            ? List.of()
            : List.of(
                new NotComputed(
                    "limits",
                    NotComputed.Reason.NO_LIMIT_SET,
                    "No limit set is in force for the points that show none.")));
  }

  /**
   * That a sample is over and holds fewer readings than planned.
   *
   * @param last whether no point of its stratum follows it in its shift
   */
  private static @Nullable String incomplete(
      Chart.Cut cut, Point point, boolean last, Instant now) {
    Instant end = point.segment().shift().before();
    if (!GrowingSamples.endShort(cut).test(List.of(point)) || (last && now.isBefore(end))) {
      return null;
    }
    return "Sample %s holds %d of %d readings that count, and %s."
        .formatted(
            point.sample(),
            point.subgroup().count(),
            cut.subgroupSize(),
            last ? "its shift ended at " + end : "the next has begun");
  }

  private static Shown shown(
      Chart.Cut cut,
      String unit,
      Point point,
      @Nullable String incomplete,
      Optional<LimitSet> set,
      List<Signals.Answered> completed) {
    Optional<Limits.OfPoint> limits =
        set.map(LimitSet::limits).map(all -> all.of(cut, point.subgroup().count()));
    Optional<ControlLimits> spread = limits.map(Limits.OfPoint::spread);
    return new Shown(
        point.at(),
        point.stratum(),
        point.sample(),
        point.subgroup().count(),
        cut.subgroupSize(),
        incomplete,
        point.firstReading(),
        point.lastReading(),
        point.value(),
        unit,
        point.spread(cut.kind()).orElse(null),
        set.map(LimitSet::code).orElse(null),
        limits.map(all -> all.points().centre()).orElse(null),
        limits.map(all -> all.points().lower()).orElse(null),
        limits.map(all -> all.points().upper()).orElse(null),
        spread.map(ControlLimits::centre).orElse(null),
        spread.map(ControlLimits::lower).orElse(null),
        spread.map(ControlLimits::upper).orElse(null),
        completed.stream()
            .map(
                each ->
                    new Completed(
                        each.signal().id(),
                        each.signal().rule(),
                        each.signal().side(),
                        each.open()))
            .toList());
  }

  /** Time of the last point of a chart, looked for in its last ten shifts with readings. */
  @Nullable Instant lastAt(Plan plan, Chart chart) {
    Instant before = Instant.parse("2200-01-01T00:00:00Z");
    for (int i = 0; i < SHIFTS_SEARCHED; i++) {
      Instant last = windows.lastReading(chart, Instant.EPOCH, before);
      if (last == null) {
        return null;
      }
      before = plan.shifts().at(last).from();
      List<Point> points = windows.points(plan, chart, before, plan.shifts().at(last).before());
      if (!points.isEmpty()) {
        return points.get(points.size() - 1).at();
      }
    }
    return null;
  }
}
