package org.tarebook.control;

import java.math.BigDecimal;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.Predicate;
import org.apache.commons.numbers.fraction.BigFraction;
import org.jspecify.annotations.Nullable;
import org.springframework.context.annotation.Lazy;
import org.springframework.stereotype.Component;
import org.tarebook.chart.Chart;
import org.tarebook.chart.Plan;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.Instrument;
import org.tarebook.quantity.Decimals;
import org.tarebook.quantity.Unit;
import org.tarebook.reading.AsOf;
import org.tarebook.reading.ReadingWindow;
import org.tarebook.reading.ReadingWindow.Row;
import org.tarebook.reading.Readings;
import org.tarebook.spec.Characteristic;
import org.tarebook.spec.Revisions;
import org.tarebook.spec.Specification;
import org.tarebook.storage.WriteLocks;

/** Reads windows of charts, cut into points. */
@Component
public class ChartedWindows {

  private static final Duration TICK = Duration.ofNanos(1000);

  private final Readings readings;
  private final KeptReadings kept;
  private final WriteLocks locks;
  private final Clock clock;

  ChartedWindows(@Lazy Readings readings, KeptReadings kept, WriteLocks locks, Clock clock) {
    this.readings = readings;
    this.kept = kept;
    this.locks = locks;
    this.clock = clock;
  }

  /**
   * What of a chart's record stood at a moment.
   *
   * @param moment absent for now
   * @throws Problem if nothing is known from before the moment, or it is still to come
   */
  public AsOf asOf(Chart chart, @Nullable Instant moment) {
    if (moment == null) {
      return AsOf.NOW;
    }
    Instant standing = AsOf.standing(moment);
    AsOf.requireReached(standing, clock.instant());
    long version =
        locks
            .versionAt(chart.id(), standing)
            .orElseThrow(
                () ->
                    Problem.at(
                        ProblemType.RULE_BROKEN,
                        "asOf",
                        "is "
                            + moment
                            + ", before anything is known of how "
                            + chart.code()
                            + " stood; ask for a later moment"));
    return new AsOf(version, standing);
  }

  /**
   * Reads a window for study, cut into points as the control plan says; in the caller's snapshot,
   * or under the chart's lock.
   *
   * @param stratum the one stratum looked at; absent for all
   */
  public ChartedWindow read(Plan plan, ReadingWindow.Asked asked, @Nullable String stratum) {
    return read(plan, asked, asked.chart().cut(), stratum);
  }

  /** Reads all strata of a window from the record alone, whatever is kept of it. */
  public ChartedWindow readRecord(Plan plan, ReadingWindow.Asked asked) {
    Chart.Cut cut = asked.chart().cut();
    return window(plan, asked, cut, null, counted(wholeShifts(plan, asked)));
  }

  /** Reads a window for study, cut into points in a way of one's own. */
  ChartedWindow read(
      Plan plan, ReadingWindow.Asked asked, Chart.Cut cut, @Nullable String stratum) {
    return window(plan, asked, cut, stratum, countedOrKept(plan, asked));
  }

  private ChartedWindow window(
      Plan plan,
      ReadingWindow.Asked asked,
      Chart.Cut cut,
      @Nullable String stratum,
      List<Row> shifts) {
    Chart chart = asked.chart();
    Characteristic characteristic = plan.characteristics().get(chart.characteristicId());
    Subgrouping subgrouping = Subgrouping.of(plan, chart, cut);
    Predicate<Row> wanted =
        row ->
            !row.measuredAt().isBefore(asked.from())
                && row.measuredAt().isBefore(asked.before())
                && (stratum == null || subgrouping.stratum(row).equals(stratum));
    List<Point> completed = completed(asked, subgrouping, stratum, shifts);
    return new ChartedWindow(
        asked,
        cut,
        stratum,
        characteristic.unit(),
        inForceAtLast(plan, characteristic, asked),
        shifts.stream().filter(wanted).toList(),
        whole(asked, completed),
        completed.stream().filter(point -> point.span().earliest().isBefore(asked.from())).toList(),
        readings.uncounted(asked),
        plan.unsettled(chart));
  }

  /** The points that {@link #read(Plan, ReadingWindow.Asked, String)} would give, and no more. */
  public List<Point> pointsWithin(Plan plan, ReadingWindow.Asked asked, @Nullable String stratum) {
    Subgrouping subgrouping = Subgrouping.of(plan, asked.chart(), asked.chart().cut());
    return whole(asked, completed(asked, subgrouping, stratum, countedOrKept(plan, asked)));
  }

  /** The same points from the record alone, whatever is kept of it. */
  public List<Point> pointsOfRecord(
      Plan plan, ReadingWindow.Asked asked, @Nullable String stratum) {
    Subgrouping subgrouping = Subgrouping.of(plan, asked.chart(), asked.chart().cut());
    return whole(asked, completed(asked, subgrouping, stratum, counted(wholeShifts(plan, asked))));
  }

  /** All shifts that a window touches. */
  private static ReadingWindow.Asked wholeShifts(Plan plan, ReadingWindow.Asked asked) {
    return asked.over(
        plan.shifts().at(asked.from()).from(),
        plan.shifts().at(asked.before().minus(TICK)).before());
  }

  /** The points that a reading of the window completes. */
  private static List<Point> completed(
      ReadingWindow.Asked asked,
      Subgrouping subgrouping,
      @Nullable String stratum,
      List<Row> shifts) {
    return subgrouping.points(shifts).stream()
        .filter(point -> stratum == null || point.stratum().equals(stratum))
        .filter(point -> !point.at().isBefore(asked.from()) && point.at().isBefore(asked.before()))
        .toList();
  }

  /** Of points, those whose readings all lie in a window; none moves from a reading outside. */
  private static List<Point> whole(ReadingWindow.Asked asked, List<Point> completed) {
    Instant from = asked.from();
    Instant before = asked.before();
    return completed.stream()
        .filter(point -> point.span().within(from, before))
        .map(point -> movesFromOutside(point, from, before) ? point.withoutMoved() : point)
        .toList();
  }

  /** What the readings of a window come to. */
  public Summary summary(Plan plan, ChartedWindow window) {
    return Summary.of(
        window.readings(),
        StratumNames.of(plan, window.asked().chart()),
        window.points(),
        window.uncounted());
  }

  /** What a window comes to, as one part. */
  public SummarisedWindow summarise(Plan plan, ChartedWindow window) {
    List<Point> points = window.points();
    Summary summary = summary(plan, window);
    ReadingWindow.Asked asked = window.asked();
    return new SummarisedWindow(
        asked,
        window.cut(),
        window.stratum(),
        window.unit(),
        window.specification(),
        List.of(
            new Part(
                asked.from(), asked.before(), summary, false, points, window.begunBefore(), false)),
        summary,
        points.subList(Math.max(0, points.size() - SummarisedWindow.LATEST), points.size()),
        window.cut().kind() == Chart.Kind.BETWEEN_WITHIN
            ? WithinSigma.betweenWithin(window.cut(), points)
            : Optional.empty());
  }

  /** What a window comes to, from parts in order; its latest points are still to be given. */
  public SummarisedWindow summarise(
      Plan plan, ReadingWindow.Asked asked, @Nullable String stratum, List<Part> parts) {
    Characteristic characteristic = plan.characteristics().get(asked.chart().characteristicId());
    List<Part> wanted =
        stratum == null ? parts : parts.stream().map(part -> part.ofStratum(stratum)).toList();
    return new SummarisedWindow(
        asked,
        asked.chart().cut(),
        stratum,
        characteristic.unit(),
        inForceAtLast(plan, characteristic, asked),
        wanted,
        wanted.stream().map(Part::summary).reduce(Summary.EMPTY, Summary::plus),
        List.of(),
        Optional.empty());
  }

  /** The specification in force at the last reading that counts; at the end without one. */
  private Optional<Specification> inForceAtLast(
      Plan plan, Characteristic characteristic, ReadingWindow.Asked asked) {
    Revisions revisions = plan.revisions(characteristic).asOf(asked.asOf().moment());
    Instant last =
        revisions.sameFrom(asked.from(), asked.before()) ? null : readings.lastCountedOf(asked);
    return revisions.inForce(last == null ? asked.before().minus(TICK) : last);
  }

  private static boolean movesFromOutside(Point point, Instant from, Instant before) {
    Point.Moved moved = point.moved();
    return moved != null && (moved.since().isBefore(from) || !moved.since().isBefore(before));
  }

  /** The points of whole shifts, all strata, as they stand, from the record alone. */
  List<Point> points(Plan plan, Chart chart, Instant from, Instant before) {
    return Subgrouping.of(plan, chart, chart.cut())
        .points(counted(new ReadingWindow.Asked(chart, from, before)));
  }

  /** The points of whole shifts, all strata, as they stand or stood; in the caller's snapshot. */
  List<Point> points(Plan plan, ReadingWindow.Asked asked) {
    return Subgrouping.of(plan, asked.chart(), asked.chart().cut())
        .points(countedOrKept(plan, asked));
  }

  /** Time of the last reading of a chart in a window; absent if there is none. */
  @Nullable Instant lastReading(Chart chart, Instant from, Instant before) {
    return lastReading(new ReadingWindow.Asked(chart, from, before));
  }

  /** Time of the last reading of a window; absent if there is none. */
  public @Nullable Instant lastReading(ReadingWindow.Asked asked) {
    return asked.from().isBefore(asked.before()) ? readings.lastOf(asked) : null;
  }

  /** Time of the first reading of a window; absent if there is none. */
  public @Nullable Instant firstReading(ReadingWindow.Asked asked) {
    return asked.from().isBefore(asked.before()) ? readings.firstOf(asked) : null;
  }

  /** Whether shift calendars have moved a part of a window into other shifts since a version. */
  public boolean cutAgainSince(ReadingWindow.Asked asked, long version) {
    return readings.cutAgainSince(asked, version);
  }

  /** How many readings of a window changed since a version, or moved into other shifts. */
  public long changedSince(ReadingWindow.Asked asked, long version) {
    return readings.changedSince(asked, version);
  }

  /** What became of each item of a chart's window: passed or not, in the order of its readings. */
  List<List<Boolean>> attempts(ReadingWindow.Asked asked) {
    return readings.attempts(asked);
  }

  private List<Row> counted(ReadingWindow.Asked asked) {
    return asked.from().isBefore(asked.before()) ? readings.counted(asked) : List.of();
  }

  /** The same, of all shifts that a window touches, from what is kept where it is. */
  private List<Row> countedOrKept(Plan plan, ReadingWindow.Asked asked) {
    ReadingWindow.Asked shifts = wholeShifts(plan, asked);
    List<Row> rows = new ArrayList<>();
    kept.read(
        plan,
        shifts,
        each -> {
          List<Row> found = each.readings();
          rows.addAll(found == null ? counted(shifts.over(each.from(), each.before())) : found);
          readings.requireFew(shifts, rows.size());
        });
    return rows;
  }

  /**
   * The coarsest scale interval that an instrument had in a window, in a chart's unit; 0 where it
   * had none of that kind.
   */
  static BigFraction interval(Plan plan, long instrumentId, Unit unit, ReadingWindow.Asked window) {
    Instrument instrument = plan.instruments().get(instrumentId);
    BigDecimal coarsest = BigDecimal.ZERO;
    Instant at = window.from();
    while (at != null && (at.equals(window.from()) || at.isBefore(window.before()))) {
      BigDecimal interval = plan.scale(instrument, at).interval();
      coarsest = interval == null ? coarsest : coarsest.max(interval);
      at = instrument.nextChange(at);
    }
    return instrument.unit().sameKindAs(unit)
        ? Decimals.fraction(coarsest).multiply(instrument.unit().factorTo(unit)).abs()
        : BigFraction.ZERO;
  }
}
