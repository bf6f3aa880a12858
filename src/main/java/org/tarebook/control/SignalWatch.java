package org.tarebook.control;

import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collection;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.function.LongSupplier;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.springframework.core.annotation.Order;
import org.springframework.stereotype.Component;
import org.tarebook.chart.Chart;
import org.tarebook.chart.Plan;
import org.tarebook.plant.Shifts;
import org.tarebook.reading.Notice;
import org.tarebook.reading.ReadingFollower;
import org.tarebook.stats.RunRule;
import org.tarebook.storage.Ids;
import org.tarebook.storage.WriteLocks;

/**
 * Keeps the stored signals of charts true to their readings, under the chart's lock, in the
 * transaction that changes the readings.
 *
 * <p>The shifts in which readings changed are cut and judged again. A run may begin before them and
 * end behind them, so each stratum is joined to its neighbouring points: at most as many as the
 * longest rule looks back, less one. These are found through the list of judged shifts, so at most
 * as many shifts are read on either side, however long ago the stratum was last seen. Charts
 * without limits cost one query together.
 *
 * <p>A sample with fewer readings than planned is judged when the next point follows, or when its
 * shift is over: judged after each strip, samples of five would signal falsely three and a half
 * times as often. Its signals stay as they are while it grows and they hold, each under the reading
 * that raised it.
 *
 * <p>While shift calendars are changing, all is done a second time by those to come, into signals
 * to come.
 */
@Component
@Order(1)
public class SignalWatch implements ReadingFollower {

  /** So much is held in memory at a time when a long stretch is judged. */
  private static final Duration STRETCH = Duration.ofDays(7);

  private static final Duration DAY = Duration.ofDays(1);
  private static final Duration TICK = Duration.ofNanos(1000);
  private static final Instant END = Instant.parse("2200-01-01T00:00:00Z");

  private final ChartedWindows windows;
  private final LimitSetStore limitSets;
  private final SignalStore store;
  private final SignalsToCome signalsToCome;
  private final JudgedShifts judgedShifts;
  private final SignalNotices notices;
  private final WriteLocks locks;
  private final Ids ids;
  private final Clock clock;

  SignalWatch(
      ChartedWindows windows,
      LimitSetStore limitSets,
      SignalStore store,
      SignalsToCome signalsToCome,
      JudgedShifts judgedShifts,
      SignalNotices notices,
      WriteLocks locks,
      Ids ids,
      Clock clock) {
    this.windows = windows;
    this.limitSets = limitSets;
    this.store = store;
    this.signalsToCome = signalsToCome;
    this.judgedShifts = judgedShifts;
    this.notices = notices;
    this.locks = locks;
    this.ids = ids;
    this.clock = clock;
  }

  @Override
  public void changed(Plan plan, Collection<Change> changes) {
    Map<Long, List<LimitSet>> sets =
        limitSets.ofCharts(changes.stream().map(change -> change.chart().id()).toList());
    for (Change change : changes) {
      Chart chart = change.chart();
      LimitsInForce limits = new LimitsInForce(sets.getOrDefault(chart.id(), List.of()));
      judge(plan, chart, limits, change.from(), change.last(), () -> locks.version(chart.id()));
    }
  }

  @Override
  public Map<Long, List<Notice>> notices(Collection<Long> readingIds) {
    return notices.of(readingIds);
  }

  /**
   * Judges what waited for the end of a shift, under the chart's lock, which gets a new version
   * where that changes a signal.
   *
   * @param window of that shift
   */
  public void judgeEnded(Plan plan, ChartedWindow window) {
    Chart chart = window.asked().chart();
    if (window.pointsByStratum().values().stream().anyMatch(GrowingSamples.endShort(chart.cut()))) {
      LimitsInForce limits = new LimitsInForce(limitSets.ofChart(chart.id()));
      if (limits.begin() != null) {
        Instant from = window.asked().from();
        judge(plan, chart, limits, from, from, () -> locks.take(chart.id()));
      }
    }
  }

  /** Judges every point of a chart from a moment on, as after freezing or withdrawing limits. */
  void judgeFrom(Plan plan, Chart chart, Instant from) {
    Instant last = windows.lastReading(chart, from, END);
    if (last != null) {
      LimitsInForce limits = new LimitsInForce(limitSets.ofChart(chart.id()));
      judgeAll(plan, chart, limits, from, last, () -> locks.version(chart.id()));
    }
  }

  private void judge(
      Plan plan,
      Chart chart,
      LimitsInForce limits,
      Instant from,
      Instant last,
      LongSupplier version) {
    Instant begin = limits.begin();
    if (begin != null) {
      judgeAll(plan, chart, limits, from.isBefore(begin) ? begin : from, last, version);
    }
  }

  /** The same where no limits may be in force any more. */
  private void judgeAll(
      Plan plan,
      Chart chart,
      LimitsInForce limits,
      Instant first,
      Instant last,
      LongSupplier version) {
    boolean changing = plan.toCome().isPresent();
    judge(new Way(plan, store, Instant.EPOCH, changing, version), chart, limits, first, last);
    plan.toCome()
        .ifPresent(
            next -> judge(toCome(next, version), chart, limits, later(first, last, next), last));
  }

  /** Of what changed before the first point to come, only its end reaches into such points. */
  private static Instant later(Instant first, Instant last, Plan.ToCome next) {
    Instant start = last.isBefore(next.start()) ? last : next.start();
    return first.isBefore(start) ? start : first;
  }

  private void judge(Way way, Chart chart, LimitsInForce limits, Instant from, Instant last) {
    Shifts shifts = way.plan().shifts();
    Instant before = shifts.at(last).before();
    Instant start = shifts.at(from).from();
    while (start.isBefore(before)) {
      Instant end = start.plus(STRETCH);
      end = end.isBefore(before) ? shifts.at(end).before() : before;
      new Stretch(way, chart, limits, start, end).judge();
      start = end;
    }
  }

  /**
   * Judges a day or so of a chart by shift calendars to come, under the chart's lock.
   *
   * @return where the next begins
   */
  Stretched judgeToCome(Plan.ToCome next, Chart chart, LimitsInForce limits, Instant from) {
    Shifts shifts = next.plan().shifts();
    Instant start = shifts.at(from).from();
    Instant end = shifts.at(start.plus(DAY)).before();
    Way way = toCome(next, () -> locks.version(chart.id()));
    return new Stretched(end, new Stretch(way, chart, limits, start, end).judge());
  }

  /**
   * A stretch that was judged.
   *
   * @param before first moment after it
   * @param changed how many signals were written or taken away
   */
  record Stretched(Instant before, int changed) {}

  private Way toCome(Plan.ToCome next, LongSupplier version) {
    return new Way(next.plan(), signalsToCome, next.start(), true, version);
  }

  /**
   * A way of cutting into shifts.
   *
   * @param from points from here on are judged
   * @param changing whether there is another way beside it
   * @param version tells the version of the chart's lock that a change of signals is written under
   */
  private record Way(
      Plan plan, StoredSignals signals, Instant from, boolean changing, LongSupplier version) {}

  /** A stretch of whole shifts of one chart that is judged again. */
  private final class Stretch {

    private final Way way;
    private final Plan plan;
    private final Chart chart;
    private final Chart.Cut cut;
    private final LimitsInForce limits;
    private final Instant from;
    private final Instant before;
    private final int reach;
    private final Map<Instant, List<Point>> neighbours = new TreeMap<>();

    Stretch(Way way, Chart chart, LimitsInForce limits, Instant from, Instant before) {
      this.way = way;
      this.plan = way.plan();
      this.chart = chart;
      this.cut = chart.cut();
      this.limits = limits;
      this.from = from;
      this.before = before;
      this.reach = cut.rules().stream().mapToInt(RunRule::window).max().orElse(1) - 1;
    }

    int judge() {
      Map<String, List<Point>> byStratum =
          windows.points(plan, chart, from, before).stream()
              .filter(point -> limits.at(point).isPresent())
              .collect(Collectors.groupingBy(Point::stratum, TreeMap::new, Collectors.toList()));
      List<Signal> standing = way.signals().standing(chart.id(), from, before);
      Set<String> strata = new TreeSet<>(byStratum.keySet());
      standing.forEach(signal -> strata.add(signal.stratum()));
      strata.addAll(judgedShifts.strata(chart.id(), from, before));
      judgedShifts.replace(chart.id(), from, before, shiftsOf(byStratum), way.changing());
      List<Signal> wrong = new ArrayList<>(standing);
      List<Signal> raised = new ArrayList<>();
      for (String stratum : strata) {
        judge(stratum, byStratum.getOrDefault(stratum, List.of()), wrong, raised);
      }
      Instant now = clock.instant();
      if (!wrong.isEmpty() || !raised.isEmpty()) {
        way.signals().replace(wrong, raised, now, way.version().getAsLong());
      }
      return wrong.size() + raised.size();
    }

    private void judge(String stratum, List<Point> own, List<Signal> wrong, List<Signal> raised) {
      List<Point> earlier = reach == 0 ? List.of() : earlier(stratum);
      List<Point> later = reach == 0 ? List.of() : later(stratum);
      List<Point> series = new ArrayList<>(earlier);
      series.addAll(own);
      series.addAll(later);
      Set<Long> judged = new HashSet<>();
      Stream.concat(own.stream(), later.stream())
          .filter(point -> !point.at().isBefore(way.from()))
          .forEach(point -> judged.add(point.lastReading()));
      wrong.addAll(
          way.signals().standingCompletedBy(chart.id(), stratum, GrowingSamples.completing(later)));
      List<Signal> standing =
          wrong.stream().filter(signal -> signal.stratum().equals(stratum)).toList();
      Set<Signal.Key> known = standing.stream().map(Signal::key).collect(Collectors.toSet());
      Map<Long, List<Signal>> signalled = signalled(stratum, standing, own, later);
      GrowingSamples.waiting(series, cut, clock.instant(), signalled).ifPresent(judged::remove);
      Set<Signal.Key> holding = new HashSet<>();
      for (LimitsInForce.Broken broken : limits.broken(cut, series)) {
        if (judged.contains(broken.found().completing().lastReading())) {
          Signal signal = signal(stratum, broken, signalled);
          if (known.contains(signal.key())) {
            holding.add(signal.key());
          } else {
            raised.add(signal);
          }
        }
      }
      wrong.removeIf(signal -> holding.contains(signal.key()));
    }

    /** What each sample has signalled already, by its last reading. */
    private Map<Long, List<Signal>> signalled(
        String stratum, List<Signal> standing, List<Point> own, List<Point> later) {
      List<Point> samples = GrowingSamples.of(own, later);
      if (samples.isEmpty()) {
        return Map.of();
      }
      List<Signal> all = new ArrayList<>(standing);
      if (way.signals() != store) { // what is to come keeps the signals that stand
        all.addAll(
            store.standingCompletedBy(chart.id(), stratum, GrowingSamples.completing(samples)));
      }
      return GrowingSamples.signalled(samples, all);
    }

    private List<Point> earlier(String stratum) {
      List<Point> points = new ArrayList<>();
      Set<Instant> read = new HashSet<>();
      Instant edge = from;
      List<Instant> listed;
      do {
        listed = judgedShifts.earlier(chart.id(), stratum, edge, reach);
        for (Instant moment : listed) {
          edge = moment;
          if (points.size() < reach && read.add(plan.shifts().at(moment).from())) {
            points.addAll(0, inShift(moment, stratum));
          }
        }
      } while (points.size() < reach && listed.size() == reach);
      return points.subList(Math.max(0, points.size() - reach), points.size());
    }

    private List<Point> later(String stratum) {
      List<Point> points = new ArrayList<>();
      Set<Instant> read = new HashSet<>();
      Instant edge = before.minus(TICK);
      List<Instant> listed;
      do {
        listed = judgedShifts.later(chart.id(), stratum, edge, reach);
        for (Instant moment : listed) {
          edge = moment;
          if (points.size() < reach && read.add(plan.shifts().at(moment).from())) {
            points.addAll(inShift(moment, stratum));
          }
        }
      } while (points.size() < reach && listed.size() == reach);
      return points.subList(0, Math.min(reach, points.size()));
    }

    private List<Point> inShift(Instant shift, String stratum) {
      Shifts.Occurrence occurrence = plan.shifts().at(shift);
      return neighbours
          .computeIfAbsent(
              occurrence.from(), start -> windows.points(plan, chart, start, occurrence.before()))
          .stream()
          .filter(point -> point.stratum().equals(stratum))
          .filter(point -> limits.at(point).isPresent())
          .toList();
    }

    private Map<String, Set<Instant>> shiftsOf(Map<String, List<Point>> byStratum) {
      Map<String, Set<Instant>> shifts = new TreeMap<>();
      byStratum.forEach(
          (stratum, points) ->
              shifts.put(
                  stratum,
                  points.stream()
                      .map(point -> point.segment().shift().from())
                      .collect(Collectors.toSet())));
      return shifts;
    }

    private Signal signal(
        String stratum, LimitsInForce.Broken broken, Map<Long, List<Signal>> signalled) {
      Found found = broken.found();
      Point point = found.completing();
      List<Signal> before = signalled.getOrDefault(point.lastReading(), List.of());
      long id = ids.next();
      return new Signal(
          id,
          id,
          chart.id(),
          broken.set().id(),
          stratum,
          found.rule(),
          found.side(),
          found.first().at(),
          GrowingSamples.completedBy(point, before, broken.set().id(), found.rule()),
          point.at(),
          found.value(),
          point.sample() == null ? null : (Integer) Math.toIntExact(point.subgroup().count()),
          GrowingSamples.firstBy(point, before),
          clock.instant(),
          null);
    }
  }
}
