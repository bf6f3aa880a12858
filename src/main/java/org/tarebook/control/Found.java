package org.tarebook.control;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import org.tarebook.chart.Chart;
import org.tarebook.stats.AlternationRule;
import org.tarebook.stats.ControlLimits;
import org.tarebook.stats.RunRule;
import org.tarebook.stats.RunRules;
import org.tarebook.stats.RunSignal;
import org.tarebook.stats.Side;
import org.tarebook.stats.TrendRule;
import org.tarebook.stats.ZoneRule;

/**
 * A point, or run of points, found out of control.
 *
 * @param rule the code of the rule, or {@link #SPREAD_BEYOND_LIMITS}
 * @param side the half of the chart it lies in, or towards which a trend moves; absent for rules
 *     that look at both halves
 * @param first the first point that counts in the run
 * @param completing the point that completes it
 * @param value what lies out of control in that point: its value, or its spread
 */
public record Found(String rule, @Nullable Side side, Point first, Point completing, double value) {

  /** The one rule of the spread chart: a point beyond its limits. */
  public static final String SPREAD_BEYOND_LIMITS = "SPREAD_BEYOND_LIMITS";

  /** How many sigmas a point is off lines that coincide, if it is off at all. */
  private static final double FAR_OUT = 1000;

  /**
   * Judges successive points of one stratum by one set of limits: the chart's run rules on the
   * points, each held against the lines of its own number of readings, and each spread likewise.
   *
   * @param run in order
   * @param limits with a sigma above 0
   * @return of the points by completing point, then by rule; then of the spreads
   */
  public static List<Found> in(Chart.Cut cut, List<Point> run, Limits limits) {
    List<Found> found = new ArrayList<>();
    Map<Long, Limits.OfPoint> lines = new HashMap<>();
    for (Point point : run) {
      lines.computeIfAbsent(point.subgroup().count(), n -> limits.of(cut, n));
    }
    double[] z =
        run.stream()
            .mapToDouble(
                point -> {
                  double off = point.value() - limits.points().centre();
                  double reach =
                      Objects.requireNonNull(lines.get(point.subgroup().count())).sigmaOfPoint();
                  return reach > 0 ? off / reach : Math.signum(off) * FAR_OUT;
                })
            .toArray();
    for (RunSignal signal : signals(cut, run, limits, z, lines.size() == 1)) {
      Point completing = run.get(signal.completedAt());
      found.add(
          new Found(
              signal.rule().code(),
              signal.side(),
              run.get(signal.first()),
              completing,
              completing.value()));
    }
    for (Point point : run) {
      point
          .spread(cut.kind())
          .ifPresent(
              spread ->
                  addBeyond(
                      found,
                      point,
                      spread,
                      Objects.requireNonNull(lines.get(point.subgroup().count())).spread()));
    }
    return found;
  }

  /**
   * What the rules call a signal, by completing point, then by rule. Trends and points that go up
   * and down in turn are seen in the values, all others in how many of its own sigmas a point is
   * off.
   */
  private static List<RunSignal> signals(
      Chart.Cut cut, List<Point> run, Limits limits, double[] z, boolean oneSize) {
    if (oneSize) {
      return RunRules.signals(z, cut.rules());
    }
    List<RunRule> ofOrder =
        cut.rules().stream()
            .filter(rule -> rule instanceof TrendRule || rule instanceof AlternationRule)
            .toList();
    List<RunRule> others = cut.rules().stream().filter(rule -> !ofOrder.contains(rule)).toList();
    double[] values =
        run.stream().mapToDouble(point -> point.value() - limits.points().centre()).toArray();
    List<RunSignal> found = new ArrayList<>(RunRules.signals(z, others));
    found.addAll(RunRules.signals(values, ofOrder));
    found.sort(
        Comparator.comparingInt(RunSignal::completedAt)
            .thenComparingInt(signal -> cut.rules().indexOf(signal.rule())));
    return found;
  }

  /** The points beyond the limits of the points, and the spreads beyond theirs, in order. */
  static List<Found> beyond(Chart.Cut cut, List<Point> points, Limits limits) {
    Chart.Cut limitsOnly =
        new Chart.Cut(
            cut.kind(), cut.subgroupSize(), cut.strata(), List.of(ZoneRule.BEYOND_LIMITS));
    return in(limitsOnly, points, limits);
  }

  private static void addBeyond(
      List<Found> found, Point point, double spread, @Nullable ControlLimits limits) {
    if (limits == null) {
      return;
    }
    if (spread > limits.upper()) {
      found.add(new Found(SPREAD_BEYOND_LIMITS, Side.ABOVE, point, point, spread));
    } else if (spread < limits.lower()) {
      found.add(new Found(SPREAD_BEYOND_LIMITS, Side.BELOW, point, point, spread));
    }
  }
}
