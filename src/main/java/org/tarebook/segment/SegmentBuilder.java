package org.tarebook.segment;

import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.Collection;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.function.Predicate;
import java.util.stream.Stream;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.springframework.beans.factory.annotation.Value;
import org.springframework.scheduling.annotation.Scheduled;
import org.springframework.stereotype.Component;
import org.tarebook.chart.Chart;
import org.tarebook.chart.Plan;
import org.tarebook.chart.Plans;
import org.tarebook.control.ChartedWindow;
import org.tarebook.control.ChartedWindows;
import org.tarebook.control.SignalWatch;
import org.tarebook.control.Summary;
import org.tarebook.plant.Shifts;
import org.tarebook.reading.ReadingWindow;
import org.tarebook.reading.Readings;
import org.tarebook.storage.DatabaseFailure;
import org.tarebook.storage.MasterVersion;
import org.tarebook.storage.Outages;
import org.tarebook.storage.Transactions;

/**
 * Builds segments behind the readings: of shifts that have ended a while ago, one shift in one
 * transaction under the chart's lock, so that a writer waits for one shift at most. It may be
 * stopped at any moment and by anything, and several copies of the service may build at once.
 */
@Component
class SegmentBuilder {

  private static final Logger log = LoggerFactory.getLogger(SegmentBuilder.class);

  /** Readings come late for so long as a rule; a later one makes its segment stale. */
  private static final Duration SETTLED = Duration.ofMinutes(30);

  private static final Instant FAR = Instant.parse("2200-01-01T00:00:00Z");

  /** Of more than some 20,000 readings in a shift none is kept; several shifts are read at once. */
  private static final int MOST_KEPT = 250_000;

  private final SegmentStore store;
  private final ChartedWindows windows;
  private final SignalWatch signals;
  private final Readings readings;
  private final Plans plans;
  private final MasterVersion masterVersion;
  private final Transactions transactions;
  private final Clock clock;
  private final Patience patience;
  private final Outages outages;

  SegmentBuilder(
      SegmentStore store,
      ChartedWindows windows,
      SignalWatch signals,
      Readings readings,
      Plans plans,
      MasterVersion masterVersion,
      Transactions transactions,
      Clock clock,
      Outages outages,
      @Value("${tarebook.segments-every}") Duration every) {
    this.outages = outages;
    this.store = store;
    this.windows = windows;
    this.signals = signals;
    this.readings = readings;
    this.plans = plans;
    this.masterVersion = masterVersion;
    this.transactions = transactions;
    this.clock = clock;
    this.patience = new Patience(every);
  }

  /** Builds what is missing and mends what is stale, chart by chart, with patience. */
  @Scheduled(fixedDelayString = "${tarebook.segments-every}")
  void run() {
    Shifts shifts = plans.current().shifts();
    Instant settled = shifts.at(clock.instant().minus(SETTLED)).from();
    patience.forget(clock.instant());
    Set<Long> waiting = store.waiting(shifts.digest(), settled);
    for (Chart chart : charts()) {
      try {
        if (waiting.contains(chart.id())) {
          build(chart, stale -> patience.isDue(chart.id(), stale, clock.instant()));
        }
      } catch (RuntimeException failure) {
        Optional<DatabaseFailure> database = outages.note(failure);
        if (database.isEmpty()) {
          log.error("The segments of {} could not be built", chart.code(), failure);
        } else if (database.get() != DatabaseFailure.BUSY) {
          return; // the next round goes on
        }
      }
    }
  }

  /** Every chart, in the order of codes. */
  List<Chart> charts() {
    return plans.current().charts().all().stream()
        .sorted(Comparator.comparing(Chart::code))
        .toList();
  }

  /**
   * Builds everything of a chart.
   *
   * @return how many segments were written
   */
  long build(Chart chart) {
    return build(chart, stale -> true);
  }

  /**
   * Builds what is missing of a chart and mends what is stale.
   *
   * @param due which stale segments are to be mended
   * @return how many segments were written
   */
  long build(Chart chart, Predicate<Segment> due) {
    long built = 0;
    while (step(chart, due)) {
      built++;
    }
    return built;
  }

  /** Forgets the segments of a chart, so that they are built from the beginning. */
  void forget(Chart chart) {
    transactions.write(
        () -> {
          store.lockedEdge(chart.id());
          store.clear(chart.id());
          return true;
        });
  }

  private boolean step(Chart chart, Predicate<Segment> due) {
    return transactions.write(
        () -> {
          SegmentStore.Edge edge = store.lockedEdge(chart.id());
          Plan plan = plans.current();
          if (masterVersion.read() != plan.version()) {
            return false; // the plan is changing; the next run sees it
          }
          String digest = plan.shifts().digest();
          if (edge.calendar() != null && !edge.calendar().equals(digest)) {
            store.clear(chart.id());
            return true;
          }
          Optional<Segment> stale =
              edge.before() == null ? Optional.empty() : next(store.stale(chart.id()), due);
          if (stale.isPresent()) {
            mend(plan, chart, stale.get());
            return true;
          }
          return advance(plan, chart, edge.before() == null ? Instant.EPOCH : edge.before());
        });
  }

  /** The first of those that are due; a month waits for its shifts. */
  private static Optional<Segment> next(List<Segment> stale, Predicate<Segment> due) {
    return stale.stream()
        .filter(
            each ->
                each.span() == Segment.Span.SHIFT
                    || stale.stream()
                        .filter(other -> other.span() == Segment.Span.SHIFT)
                        .noneMatch(shift -> shift.within(each.starts(), each.ends())))
        .filter(due)
        .findFirst();
  }

  private void mend(Plan plan, Chart chart, Segment stale) {
    patience.note(chart.id(), stale, clock.instant());
    if (stale.span() == Segment.Span.MONTH) {
      putMonth(chart, new Month(stale.starts(), stale.ends()));
    } else {
      putShift(plan, chart, stale.starts(), stale.ends());
    }
  }

  /** Builds the next shift that has readings and has ended a while ago, if there is one. */
  private boolean advance(Plan plan, Chart chart, Instant edge) {
    Instant first = readings.firstOf(new ReadingWindow.Asked(chart, edge, FAR));
    if (first == null) {
      return false;
    }
    Shifts.Occurrence shift = plan.shifts().at(first);
    if (shift.before().isAfter(clock.instant().minus(SETTLED))) {
      return false;
    }
    putShift(plan, chart, shift.from(), shift.before());
    store.moveEdge(chart.id(), shift.before(), plan.shifts().digest());
    Stream.of(edge, shift.from())
        .map(moment -> Month.of(plan.shifts(), moment))
        .distinct()
        .filter(month -> month.ends().isAfter(edge) && !month.ends().isAfter(shift.before()))
        .forEach(month -> putMonth(chart, month));
    return true;
  }

  private void putShift(Plan plan, Chart chart, Instant from, Instant before) {
    ReadingWindow.Asked asked = new ReadingWindow.Asked(chart, from, before);
    ChartedWindow window = windows.readRecord(plan, asked);
    signals.judgeEnded(plan, window);
    Summary summary = windows.summary(plan, window);
    if (summary.equals(Summary.EMPTY)) {
      store.remove(chart.id(), Segment.Span.SHIFT, from);
    } else {
      long changed = readings.lastChange(asked);
      byte[] packed = PackedReadings.pack(window.readings());
      store.put(
          chart.id(),
          Segment.of(Segment.Span.SHIFT, from, before, changed, summary),
          packed.length > MOST_KEPT ? null : packed);
    }
  }

  /** Puts a month together; where one of its shifts is stale, it is stale too. */
  private void putMonth(Chart chart, Month month) {
    List<Segment> shifts =
        store.find(chart.id(), Segment.Span.SHIFT, month.starts(), month.ends()).stream()
            .filter(segment -> segment.within(month.starts(), month.ends()))
            .toList();
    if (shifts.isEmpty()) {
      store.remove(chart.id(), Segment.Span.MONTH, month.starts());
      return;
    }
    boolean stale = shifts.stream().anyMatch(Segment::stale);
    store.put(
        chart.id(),
        stale
            ? Segment.stale(Segment.Span.MONTH, month.starts(), month.ends())
            : Segment.of(
                Segment.Span.MONTH,
                month.starts(),
                month.ends(),
                shifts.stream().mapToLong(Segment::changedVersion).max().orElse(0),
                together(shifts)));
  }

  private static Summary together(Collection<Segment> segments) {
    return segments.stream().map(Segment::summary).reduce(Summary.EMPTY, Summary::plus);
  }
}
