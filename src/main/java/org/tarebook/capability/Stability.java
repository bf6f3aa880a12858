package org.tarebook.capability;

import java.util.ArrayList;
import java.util.Collection;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
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
import org.tarebook.control.Point;
import org.tarebook.control.ShownLimits;
import org.tarebook.control.Signals;
import org.tarebook.control.SummarisedWindow;
import org.tarebook.stats.ChanceBounds;
import org.tarebook.stats.Estimator;
import org.tarebook.stats.Factors;
import org.tarebook.stats.SigmaEstimate;
import org.tarebook.stats.SignalledPoints;
import org.tarebook.stats.Spread;
import org.tarebook.stats.SpreadChances;
import org.tarebook.stats.SubgroupSums;

/** Tells whether a process was in control in a window. */
@Component
class Stability {

  /** The chance that an unchanged process, all of whose signals were answered, is in control. */
  static final double SURE = 0.99;

  /** The chance that an unchanged process has a point, a spread or a scatter beyond its bound. */
  private static final double RARE = 0.001;

  /** Points that were not judged one by one may always scatter so much; in squares of sigma. */
  private static final double MOST_SCATTER = 1.5;

  /** Points below which nothing is said to be in control, judged or in a baseline. */
  static final int FEWEST = 20;

  private static final int MOST_REMEMBERED = 500;

  private static final String CRITERION =
      "In control: no signal in the window is open, and no more points complete a signal than 99 %"
          + " of windows of an unchanged process have (98 to 100 % in simulation), whose limits were"
          + " estimated from as many points as these; no signalled point lies farther off, and no"
          + " signalled spread is larger, than in 999 of 1,000 such windows. Points from before limits"
          + " came into force are held by their scatter about the centre of the first: its mean"
          + " square is at most that of 999 of 1,000 such windows, or 1.5 squares of sigma if that is"
          + " more. Of 25 points most windows that ran one sigma of a"
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
          + " which find less than limits of another time; where it has more than 1,000 points, the last"
          + " 1,000 were looked at one by one and all of them by their scatter.";

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
    Evidence.OfStratum judged = found.of(window.stratum());
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
                judged.together(),
                Optional.empty()));
  }

  /** Finds what the limits in force found. */
  Evidence evidence(SummarisedWindow window, LimitsInForce limits) {
    return Evidence.find(signals, window, limits);
  }

  /**
   * Points judged by one set of limits.
   *
   * @param baseline what the limits were estimated from; absent where it is these points
   * @param spreads how many points of what they were estimated from told a spread
   * @param from how many points the limits were estimated from
   * @param degrees degrees of freedom of their sigma of a point
   */
  record Stretch(
      long points,
      SignalledPoints.@Nullable Baseline baseline,
      long spreads,
      long from,
      double degrees) {

    /** Points judged by a frozen set of limits. */
    static Stretch of(Chart.Cut cut, LimitSet set, long points) {
      return frozen(cut, points, set.baseline().points(), set.limits().sigma());
    }

    static Stretch frozen(Chart.Cut cut, long points, long from, SigmaEstimate sigma) {
      SignalledPoints.Baseline baseline = Stability.baseline(cut, from, sigma);
      return new Stretch(
          points, baseline, spreads(cut, from, sigma), from, baseline.sigma().degreesOfFreedom());
    }

    /** Points judged by limits computed from them and those before. */
    static Stretch ofItself(Chart.Cut cut, long points, long from, SigmaEstimate sigma) {
      return new Stretch(
          points,
          null,
          spreads(cut, from, sigma),
          from,
          Stability.baseline(cut, from, sigma).sigma().degreesOfFreedom());
    }

    /** Points that tell a spread: of single readings all do, together with those beside them. */
    private static long spreads(Chart.Cut cut, long points, SigmaEstimate sigma) {
      return cut.kind() == Chart.Kind.INDIVIDUALS ? points : Math.min(points, sigma.subgroups());
    }
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

  private Optional<Study.InControl> byItsOwnLimits(SummarisedWindow window, Estimator estimator) {
    Chart.Cut cut = window.cut();
    return window
        .limits(estimator)
        .filter(Limits::apart)
        .map(
            limits -> {
              SubgroupSums all = window.summary().together().subgroups();
              List<Evidence.Together> together =
                  window.latest().size() < window.points()
                      ? List.of(Evidence.Together.of(cut, all, limits, window.points()))
                      : List.of();
              return decide(
                  cut,
                  List.of(
                      Stretch.ofItself(
                          cut, window.latest().size(), window.points(), limits.sigma())),
                  counts(cut, window.latestByStratum().values(), limits),
                  Study.InControl.Source.COMPUTED_FROM_WINDOW,
                  List.of(),
                  together,
                  Optional.of(ShownLimits.of(cut.kind(), window.unit(), limits)));
            });
  }

  /** What limits find in points, the series of each stratum by itself. */
  static Signals.Counts counts(Chart.Cut cut, Collection<List<Point>> series, Limits limits) {
    Set<Long> signalled = new HashSet<>();
    Signals.Far far = Signals.Far.NONE;
    for (List<Point> each : series) {
      for (Found found : Found.in(cut, each, limits)) {
        signalled.add(found.completing().lastReading());
        long readings = found.completing().subgroup().count();
        far = far.plus(Signals.Far.of(found.rule(), found.value(), readings, limits, cut));
      }
    }
    return new Signals.Counts(signalled.size(), Signals.Open.NONE, far);
  }

  /** Decides by the points that each set of limits judged and what they signalled together. */
  Study.InControl decide(
      Chart.Cut cut,
      List<Stretch> stretches,
      Signals.Counts signals,
      Study.InControl.Source source,
      List<String> codes,
      List<Evidence.Together> together,
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
    Farthest farthest = Farthest.of(cut, stretches, signals.far());
    Scatter scatter = Scatter.of(cut, together);
    List<Study.InControl.Ground> against = new ArrayList<>();
    add(against, signals.open().signals() > 0, Study.InControl.Ground.OPEN_SIGNALS);
    add(against, signals.points() > most, Study.InControl.Ground.TOO_MANY_SIGNALS);
    add(against, farthest.tooFar(), Study.InControl.Ground.TOO_FAR);
    add(against, farthest.tooWide(), Study.InControl.Ground.SPREAD_TOO_LARGE);
    add(against, scatter.tooLarge(), Study.InControl.Ground.SCATTER);
    boolean tooFew = Math.min(judged, fewest) < FEWEST;
    return new Study.InControl(
        !against.isEmpty() ? Boolean.FALSE : tooFew ? null : Boolean.TRUE,
        against,
        source,
        codes,
        computed.orElse(null),
        judged,
        signals.points(),
        source == Study.InControl.Source.FROZEN ? (Long) signals.open().signals() : null,
        signals.open().since(),
        expected,
        most,
        farthest.sigmas() > 0 ? (Double) farthest.sigmas() : null,
        farthest.most(),
        scatter.points() > 0
            ? new Study.InControl.Together(scatter.points(), scatter.meanSquare(), scatter.most())
            : null,
        source == Study.InControl.Source.FROZEN ? CRITERION : CRITERION + COMPUTED);
  }

  private static void add(
      List<Study.InControl.Ground> against, boolean holds, Study.InControl.Ground ground) {
    if (holds) {
      against.add(ground);
    }
  }

  /**
   * How far out points lay, and how far out those of an unchanged process do.
   *
   * @param sigmas the farthest signalled point from its centre, in its sigmas; 0 without one
   * @param tooWide whether a spread is larger than chance makes it
   */
  private record Farthest(double sigmas, double most, boolean tooWide) {

    static Farthest of(Chart.Cut cut, List<Stretch> stretches, Signals.Far far) {
      long points = stretches.stream().mapToLong(Stretch::points).sum();
      long from = stretches.stream().mapToLong(Stretch::from).min().orElse(1);
      double degrees = stretches.stream().mapToDouble(Stretch::degrees).min().orElse(1);
      boolean any = points > 0 && from > 0 && degrees > 0;
      return new Farthest(
          far.sigmas(),
          any ? ChanceBounds.farthest(points, from, degrees, RARE) : Double.MAX_VALUE,
          any && far.spread() > 0 && tooWide(cut, points, degrees, far.spread()));
    }

    /** A range is at least as surely too wide as the smallest standard deviation that gives it. */
    private static boolean tooWide(Chart.Cut cut, long points, double degrees, double spread) {
      int n = cut.subgroupSize();
      return switch (cut.kind()) {
        case INDIVIDUALS -> false;
        case XBAR_R ->
            spread * Factors.d2(n) / Math.sqrt(2.0 * (n - 1))
                > ChanceBounds.largestSd(n, points, degrees, RARE);
        case XBAR_S, BETWEEN_WITHIN ->
            spread * Factors.c4(n) > ChanceBounds.largestSd(n, points, degrees, RARE);
      };
    }

    boolean tooFar() {
      return sigmas > most;
    }
  }

  /**
   * How points scatter that were not judged one by one, of the part of them that scatters most
   * against what chance allows.
   */
  private record Scatter(long points, double meanSquare, double most) {

    static Scatter of(Chart.Cut cut, List<Evidence.Together> together) {
      long points = 0;
      Scatter worst = new Scatter(0, 0, MOST_SCATTER);
      for (Evidence.Together each : together) {
        points += each.points();
        double degrees =
            baseline(cut, each.baseline(), each.limits().sigma()).sigma().degreesOfFreedom();
        double most =
            each.points() > 0 && each.baseline() > 0 && degrees > 0
                ? Math.max(
                    MOST_SCATTER,
                    ChanceBounds.meanSquare(each.points(), each.baseline(), degrees, RARE))
                : Double.MAX_VALUE;
        if (each.meanSquare() / most > worst.meanSquare / worst.most) {
          worst = new Scatter(0, each.meanSquare(), most);
        }
      }
      return new Scatter(points, worst.meanSquare, worst.most);
    }

    boolean tooLarge() {
      return meanSquare > most;
    }
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
