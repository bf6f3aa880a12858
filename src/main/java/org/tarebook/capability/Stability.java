package org.tarebook.capability;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import org.apache.commons.statistics.distribution.PoissonDistribution;
import org.springframework.stereotype.Component;
import org.tarebook.chart.Chart;
import org.tarebook.control.ChartedWindow;
import org.tarebook.control.Found;
import org.tarebook.control.LimitSet;
import org.tarebook.control.LimitSets;
import org.tarebook.control.Limits;
import org.tarebook.control.LimitsInForce;
import org.tarebook.control.Point;
import org.tarebook.control.RuleCosts;
import org.tarebook.control.ShownLimits;
import org.tarebook.control.Signals;
import org.tarebook.stats.Estimator;
import org.tarebook.stats.SpreadChances;

/** Tells whether a process was in control in a window. */
@Component
class Stability {

  private static final double SURE = 0.99;

  private static final String CRITERION =
      "In control: no signal in the window is open, and no more points complete a signal than the"
          + " 99 % point of a Poisson distribution with the number that chance gives. Runs overlap,"
          + " so signals come in clusters and the point is a rough one.";

  private static final String COMPUTED =
      " No limit set is in force in this window: it was judged by limits computed from itself,"
          + " which find less than limits of another time.";

  private final LimitSets limitSets;
  private final Signals signals;
  private final RuleCosts costs;

  Stability(LimitSets limitSets, Signals signals, RuleCosts costs) {
    this.limitSets = limitSets;
    this.signals = signals;
    this.costs = costs;
  }

  /**
   * Judges by the limits in force in the window; where there are none, by limits computed from the
   * window.
   *
   * @return empty where there are neither
   */
  Optional<Study.InControl> judge(ChartedWindow window, Estimator estimator) {
    Chart chart = window.asked().chart();
    LimitsInForce limits = limitSets.of(chart).asOf(window.asked().asOf().version());
    List<Point> judged =
        window.points().stream().filter(point -> limits.at(point).isPresent()).toList();
    return judged.isEmpty()
        ? byItsOwnLimits(chart.cut(), window.points(), estimator)
        : Optional.of(byFrozenLimits(window, limits, judged));
  }

  private Study.InControl byFrozenLimits(
      ChartedWindow window, LimitsInForce limits, List<Point> judged) {
    Chart chart = window.asked().chart();
    Set<Long> completing = judged.stream().map(Point::lastReading).collect(Collectors.toSet());
    Set<Long> signalled = new HashSet<>();
    long open = 0;
    for (Signals.Answered each : signals.standing(window.asked())) {
      if (completing.contains(each.signal().completedBy())) {
        signalled.add(each.signal().completedBy());
        open += each.open() ? 1 : 0;
      }
    }
    List<String> codes =
        judged.stream()
            .flatMap(point -> limits.at(point).stream())
            .map(LimitSet::code)
            .distinct()
            .toList();
    return decide(
        chart.cut(),
        judged.size(),
        signalled.size(),
        open,
        Study.InControl.Source.FROZEN,
        codes,
        Optional.empty());
  }

  private Optional<Study.InControl> byItsOwnLimits(
      Chart.Cut cut, List<Point> points, Estimator estimator) {
    return Limits.of(cut, estimator, points)
        .filter(limits -> limits.sigma().sigma() > 0)
        .map(
            limits -> {
              Set<Long> signalled = new HashSet<>();
              for (List<Point> ofStratum : byStratum(points).values()) {
                Found.in(cut, ofStratum, limits)
                    .forEach(found -> signalled.add(found.completing().lastReading()));
              }
              return decide(
                  cut,
                  points.size(),
                  signalled.size(),
                  0,
                  Study.InControl.Source.COMPUTED_FROM_WINDOW,
                  List.of(),
                  Optional.of(limits));
            });
  }

  private static Map<String, List<Point>> byStratum(List<Point> points) {
    Map<String, List<Point>> strata = new java.util.TreeMap<>();
    for (Point point : points) {
      strata.computeIfAbsent(point.stratum(), name -> new ArrayList<>()).add(point);
    }
    return strata;
  }

  private Study.InControl decide(
      Chart.Cut cut,
      long judged,
      long signalled,
      long open,
      Study.InControl.Source source,
      List<String> codes,
      Optional<Limits> computed) {
    double expected = judged * chance(cut);
    long most = PoissonDistribution.of(expected).inverseCumulativeProbability(SURE);
    return new Study.InControl(
        open == 0 && signalled <= most,
        source,
        codes,
        computed.map(limits -> ShownLimits.of(cut.kind(), limits)).orElse(null),
        judged,
        signalled,
        open,
        expected,
        most,
        source == Study.InControl.Source.FROZEN ? CRITERION : CRITERION + COMPUTED);
  }

  /**
   * Chance that a point in control completes a signal, of the points or of their spread; at most
   * the sum of both, which differ little.
   */
  private double chance(Chart.Cut cut) {
    double spread =
        switch (cut.kind()) {
          case XBAR_R -> SpreadChances.ofRange(cut.subgroupSize());
          case XBAR_S, BETWEEN_WITHIN -> SpreadChances.ofSd(cut.subgroupSize());
          case INDIVIDUALS -> SpreadChances.ofRange(2);
        };
    return Math.min(1, costs.perPoint(cut.rules()) + spread);
  }
}
