package org.tarebook.capability;

import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.concurrent.ConcurrentHashMap;
import java.util.function.DoubleUnaryOperator;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Component;
import org.tarebook.chart.Chart;
import org.tarebook.control.Found;
import org.tarebook.control.LimitSet;
import org.tarebook.control.Limits;
import org.tarebook.control.LimitsInForce;
import org.tarebook.control.NotComputed;
import org.tarebook.control.Part;
import org.tarebook.control.Point;
import org.tarebook.control.ShownLimits;
import org.tarebook.control.Signals;
import org.tarebook.control.SummarisedWindow;
import org.tarebook.reading.ReadingWindow;
import org.tarebook.stats.Estimator;
import org.tarebook.stats.SigmaEstimate;
import org.tarebook.stats.SignalledPoints;
import org.tarebook.stats.Spread;
import org.tarebook.stats.SpreadChances;

/** Tells whether a process was in control in a window. */
@Component
class Stability {

  /** The chance that an unchanged process, all of whose signals were answered, is in control. */
  static final double SURE = 0.99;

  /** Points below which nothing is said to be in control, judged or in a baseline. */
  static final int FEWEST = 20;

  private static final int MOST_REMEMBERED = 500;

  private static final String CRITERION =
      "In control: no signal in the window is open, and no more points complete a signal than 99 %"
          + " of windows of an unchanged process have (98 to 100 % in simulation), whose limits were"
          + " estimated from as many points as these. Of 25 points most windows that ran one sigma of a"
          + " point higher in their second half are still called so. Fewer than "
          + FEWEST
          + " points, in the window or in a baseline, show no process to be in control, only not to"
          + " be; in a baseline those count that tell a spread, which samples of one reading do not."
          + " signalledPoints counts points, answered or not; openSignals counts signals without a"
          + " response, of which a point may complete several."
          + " It looks at signals; a step that gave few of them is looked for by the chart's"
          + " change points.";

  private static final String COMPUTED =
      " No limit set is in force in this window: it was judged by limits computed from itself,"
          + " which find less than limits of another time; its last 1,000 points were looked at.";

  private final Signals signals;
  private final Map<Chart.Cut, SignalledPoints> known = new ConcurrentHashMap<>();

  Stability(Signals signals) {
    this.signals = signals;
  }

  /**
   * Judges by the limits in force in the window; where there are none, by limits computed from the
   * window.
   *
   * @param found what the limits in force found in the window, or in one of all strata; absent
   *     where that failed
   * @param missing to which control is added where this fails
   * @return empty where there are neither
   */
  Optional<Study.InControl> judge(
      SummarisedWindow window,
      @Nullable Evidence found,
      Estimator estimator,
      List<NotComputed> missing) {
    return found == null
        ? Optional.empty()
        : Objects.requireNonNullElse(
            NotComputed.attempt(List.of("control"), missing, () -> judge(window, found, estimator)),
            Optional.empty());
  }

  private Optional<Study.InControl> judge(
      SummarisedWindow window, Evidence found, Estimator estimator) {
    Judged judged = found.of(window.stratum());
    return judged.points() == 0
        ? byItsOwnLimits(window, estimator)
        : Optional.of(
            decide(
                window.cut(),
                judged.baselines(window.cut()),
                judged.signals(),
                Study.InControl.Source.FROZEN,
                found.limits().standing().stream()
                    .filter(judged.sets()::containsKey)
                    .map(LimitSet::code)
                    .toList(),
                Optional.empty()));
  }

  /** What the limits of a chart found in a window, by stratum. */
  record Evidence(LimitsInForce limits, Map<String, Judged> byStratum) {

    /** Whether limits in force judged any point of a stratum. */
    boolean judges(String stratum) {
      return of(stratum).points() > 0;
    }

    /** Of one stratum, or of all together. */
    Judged of(@Nullable String stratum) {
      return stratum == null
          ? byStratum.values().stream().reduce(Judged.NOTHING, Judged::plus)
          : byStratum.getOrDefault(stratum, Judged.NOTHING);
    }
  }

  /** How many points each limit set judged, and what they signalled. */
  private record Judged(Signals.Counts signals, Map<LimitSet, Long> sets) {

    private static final Judged NOTHING = new Judged(Signals.Counts.NONE, Map.of());

    Judged plus(Judged other) {
      Map<LimitSet, Long> all = new LinkedHashMap<>(sets);
      other.sets.forEach((set, points) -> all.merge(set, points, Long::sum));
      return new Judged(signals.plus(other.signals), all);
    }

    long points() {
      return sets.values().stream().mapToLong(Long::longValue).sum();
    }

    List<Stretch> baselines(Chart.Cut cut) {
      return sets.entrySet().stream()
          .map(
              each ->
                  new Stretch(
                      each.getValue(),
                      baseline(cut, each.getKey()),
                      spreads(
                          cut, each.getKey().baseline().points(), each.getKey().limits().sigma())))
          .toList();
    }
  }

  /**
   * Points judged by one set of limits.
   *
   * @param baseline what the limits were estimated from; absent where it is these points
   * @param spreads how many points of what they were estimated from told a spread
   */
  record Stretch(long points, SignalledPoints.@Nullable Baseline baseline, long spreads) {}

  /** Points that tell a spread: of single readings all do, together with those beside them. */
  private static long spreads(Chart.Cut cut, long points, SigmaEstimate sigma) {
    return cut.kind() == Chart.Kind.INDIVIDUALS ? points : Math.min(points, sigma.subgroups());
  }

  private static SignalledPoints.Baseline baseline(Chart.Cut cut, LimitSet set) {
    return baseline(cut, set.baseline().points(), set.limits().sigma());
  }

  /** Limits of means that move by themselves come from their moving ranges alone. */
  static SignalledPoints.Baseline baseline(Chart.Cut cut, long points, SigmaEstimate sigma) {
    return new SignalledPoints.Baseline(
        points,
        cut.kind() == Chart.Kind.BETWEEN_WITHIN && points > 1
            ? new SigmaEstimate(
                sigma.sigma(),
                Spread.degreesOfMovingRanges(points - 1, 1),
                Estimator.MOVING_RANGE,
                points - 1)
            : sigma);
  }

  /**
   * Finds how many points of each stratum the limits in force judged, and what they signalled.
   *
   * @param limits the limit sets of the chart, as they stood
   */
  Evidence evidence(SummarisedWindow window, LimitsInForce limits) {
    Map<String, Judged> found = new TreeMap<>();
    if (limits.standing().isEmpty()) {
      return new Evidence(limits, found);
    }
    ReadingWindow.Asked even = null;
    for (Part part : window.parts()) {
      ReadingWindow.Asked own = window.asked().over(part.from(), part.before());
      if (part.even()) {
        part.summary()
            .points()
            .forEach(
                (stratum, sums) ->
                    limits
                        .at(stratum, part.from())
                        .ifPresent(set -> add(found, stratum, set, sums.count())));
        even = even == null ? own : even.over(even.from(), own.before());
      } else {
        addSignals(found, even);
        even = null;
        Map<Long, String> judged = new HashMap<>();
        for (Point point : part.completed()) {
          limits
              .at(point)
              .ifPresent(
                  set -> {
                    add(found, point.stratum(), set, 1);
                    point.completing().forEach(id -> judged.put(id, point.stratum()));
                  });
        }
        addSignals(found, own.over(part.firstBegun(), own.before()), judged);
      }
    }
    addSignals(found, even);
    return new Evidence(limits, found);
  }

  private static void add(Map<String, Judged> found, String stratum, LimitSet set, long points) {
    found.merge(stratum, new Judged(Signals.Counts.NONE, Map.of(set, points)), Judged::plus);
  }

  /** Adds the signals of whole shifts to the strata that have judged points. */
  private void addSignals(Map<String, Judged> found, ReadingWindow.@Nullable Asked even) {
    if (even != null) {
      signals
          .count(even)
          .forEach(
              (stratum, counts) ->
                  found.computeIfPresent(
                      stratum, (same, judged) -> judged.plus(new Judged(counts, Map.of()))));
    }
  }

  /**
   * Adds the signals of single points.
   *
   * @param judged the stratum of each point that limits judged, by its last reading
   */
  private void addSignals(
      Map<String, Judged> found, ReadingWindow.Asked asked, Map<Long, String> judged) {
    Set<Long> signalled = new HashSet<>();
    for (Signals.Answered each : signals.standing(asked)) {
      String stratum = judged.get(each.signal().completedBy());
      if (stratum != null) {
        Signals.Counts counts =
            new Signals.Counts(
                signalled.add(each.signal().completedBy()) ? 1 : 0,
                each.open() ? new Signals.Open(1, each.signal().completedAt()) : Signals.Open.NONE);
        found.merge(stratum, new Judged(counts, Map.of()), Judged::plus);
      }
    }
  }

  private Optional<Study.InControl> byItsOwnLimits(SummarisedWindow window, Estimator estimator) {
    Chart.Cut cut = window.cut();
    return window
        .limits(estimator)
        .filter(Limits::apart)
        .map(
            limits -> {
              Set<Long> signalled = new HashSet<>();
              for (List<Point> ofStratum : window.latestByStratum().values()) {
                Found.in(cut, ofStratum, limits)
                    .forEach(found -> signalled.add(found.completing().lastReading()));
              }
              return decide(
                  cut,
                  List.of(
                      new Stretch(
                          window.latest().size(),
                          null,
                          spreads(cut, window.points(), limits.sigma()))),
                  new Signals.Counts(signalled.size(), Signals.Open.NONE),
                  Study.InControl.Source.COMPUTED_FROM_WINDOW,
                  List.of(),
                  Optional.of(ShownLimits.of(cut.kind(), window.unit(), limits)));
            });
  }

  /** Decides by the points that each set of limits judged and what they signalled together. */
  Study.InControl decide(
      Chart.Cut cut,
      List<Stretch> stretches,
      Signals.Counts signals,
      Study.InControl.Source source,
      List<String> codes,
      Optional<ShownLimits> computed) {
    SignalledPoints points = signalledPoints(cut);
    double expected = 0;
    double squares = 0;
    long judged = 0;
    long fewest = Long.MAX_VALUE;
    for (Stretch each : stretches) {
      SignalledPoints.Bound bound = points.of(each.points(), each.baseline(), SURE);
      expected += bound.expected();
      squares += Math.pow(bound.most() - bound.expected(), 2);
      judged += each.points();
      fewest = Math.min(fewest, each.spreads());
    }
    long most = (long) Math.floor(expected + Math.sqrt(squares) + 1e-9);
    boolean ruledOut = signals.open().signals() > 0 || signals.points() > most;
    boolean tooFew = Math.min(judged, fewest) < FEWEST;
    return new Study.InControl(
        ruledOut ? Boolean.FALSE : tooFew ? null : Boolean.TRUE,
        source,
        codes,
        computed.orElse(null),
        judged,
        signals.points(),
        source == Study.InControl.Source.FROZEN ? (Long) signals.open().signals() : null,
        signals.open().since(),
        expected,
        most,
        source == Study.InControl.Source.FROZEN ? CRITERION : CRITERION + COMPUTED);
  }

  /** How often the chart signals; simulated once for a cut and remembered. */
  SignalledPoints signalledPoints(Chart.Cut cut) {
    if (known.size() > MOST_REMEMBERED) {
      known.clear();
    }
    return known.computeIfAbsent(
        new Chart.Cut(cut.kind(), cut.subgroupSize(), Set.of(), cut.rules()),
        of -> new SignalledPoints(of.rules(), spreadBeyond(of)));
  }

  private static @Nullable DoubleUnaryOperator spreadBeyond(Chart.Cut cut) {
    int n = cut.subgroupSize();
    return switch (cut.kind()) {
      case XBAR_R -> ratio -> SpreadChances.ofRange(n, ratio);
      case XBAR_S -> ratio -> SpreadChances.ofSd(n, ratio);
      case BETWEEN_WITHIN -> ratio -> SpreadChances.ofSd(n);
      case INDIVIDUALS -> null;
    };
  }
}
