package org.tarebook.capability;

import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import org.apache.commons.statistics.distribution.PoissonDistribution;
import org.springframework.stereotype.Component;
import org.tarebook.chart.Chart;
import org.tarebook.control.Found;
import org.tarebook.control.LimitSet;
import org.tarebook.control.Limits;
import org.tarebook.control.LimitsInForce;
import org.tarebook.control.Part;
import org.tarebook.control.Point;
import org.tarebook.control.PointSums;
import org.tarebook.control.RuleCosts;
import org.tarebook.control.ShownLimits;
import org.tarebook.control.Signals;
import org.tarebook.control.SummarisedWindow;
import org.tarebook.reading.ReadingWindow;
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
          + " which find less than limits of another time; its last 1,000 points were looked at.";

  private static final Signals.Counts NO_SIGNALS = new Signals.Counts(0, 0);

  private final Signals signals;
  private final RuleCosts costs;

  Stability(Signals signals, RuleCosts costs) {
    this.signals = signals;
    this.costs = costs;
  }

  /**
   * Judges by the limits in force in the window; where there are none, by limits computed from the
   * window.
   *
   * @param limits the limit sets of the chart, as they stood
   * @return empty where there are neither
   */
  Optional<Study.InControl> judge(
      SummarisedWindow window, LimitsInForce limits, Estimator estimator) {
    Judged judged = judged(window, limits);
    return judged.points() == 0
        ? byItsOwnLimits(window, estimator)
        : Optional.of(
            decide(
                window.cut(),
                judged.points(),
                judged.signals(),
                Study.InControl.Source.FROZEN,
                limits.all().stream().filter(judged.sets()::contains).map(LimitSet::code).toList(),
                Optional.empty()));
  }

  /** Points with limits in force, and what they signalled. */
  private record Judged(long points, Signals.Counts signals, Set<LimitSet> sets) {}

  private Judged judged(SummarisedWindow window, LimitsInForce limits) {
    if (limits.all().isEmpty()) {
      return new Judged(0, NO_SIGNALS, Set.of());
    }
    long points = 0;
    Signals.Counts found = new Signals.Counts(0, 0);
    Set<LimitSet> sets = new HashSet<>();
    ReadingWindow.Asked even = null;
    for (Part part : window.parts()) {
      ReadingWindow.Asked own = window.asked().over(part.from(), part.before());
      if (part.even()) {
        for (Map.Entry<String, PointSums> each : part.summary().points().entrySet()) {
          LimitSet set = limits.at(each.getKey(), part.from()).orElse(null);
          if (set != null) {
            points += each.getValue().count();
            sets.add(set);
          }
        }
        even = even == null ? own : even.over(even.from(), own.before());
      } else {
        found = found.plus(even == null ? NO_SIGNALS : signals.count(even, window.stratum()));
        even = null;
        List<Point> judged =
            part.points().stream().filter(point -> limits.at(point).isPresent()).toList();
        judged.forEach(point -> limits.at(point).ifPresent(sets::add));
        points += judged.size();
        found = found.plus(signalled(own, judged));
      }
    }
    found = found.plus(even == null ? NO_SIGNALS : signals.count(even, window.stratum()));
    return new Judged(points, found, sets);
  }

  private Signals.Counts signalled(ReadingWindow.Asked asked, List<Point> judged) {
    Set<Long> completing = judged.stream().map(Point::lastReading).collect(Collectors.toSet());
    Set<Long> signalled = new HashSet<>();
    long open = 0;
    for (Signals.Answered each : signals.standing(asked)) {
      if (completing.contains(each.signal().completedBy())) {
        signalled.add(each.signal().completedBy());
        open += each.open() ? 1 : 0;
      }
    }
    return new Signals.Counts(signalled.size(), open);
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
                  window.latest().size(),
                  new Signals.Counts(signalled.size(), 0),
                  Study.InControl.Source.COMPUTED_FROM_WINDOW,
                  List.of(),
                  Optional.of(limits));
            });
  }

  private Study.InControl decide(
      Chart.Cut cut,
      long judged,
      Signals.Counts signals,
      Study.InControl.Source source,
      List<String> codes,
      Optional<Limits> computed) {
    double expected = judged * chance(cut);
    long most = PoissonDistribution.of(expected).inverseCumulativeProbability(SURE);
    return new Study.InControl(
        signals.open() == 0 && signals.points() <= most,
        source,
        codes,
        computed.map(limits -> ShownLimits.of(cut.kind(), limits)).orElse(null),
        judged,
        signals.points(),
        signals.open(),
        expected,
        most,
        source == Study.InControl.Source.FROZEN ? CRITERION : CRITERION + COMPUTED);
  }

  /**
   * Chance that a point in control completes a signal, of the points or of their spread; at most
   * the sum of both, which differ little.
   */
  double chance(Chart.Cut cut) {
    double spread =
        switch (cut.kind()) {
          case XBAR_R -> SpreadChances.ofRange(cut.subgroupSize());
          case XBAR_S, BETWEEN_WITHIN -> SpreadChances.ofSd(cut.subgroupSize());
          case INDIVIDUALS -> SpreadChances.ofRange(2);
        };
    return Math.min(1, costs.perPoint(cut.rules()) + spread);
  }
}
