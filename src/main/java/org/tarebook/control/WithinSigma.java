package org.tarebook.control;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;
import org.tarebook.chart.Chart;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.stats.Estimator;
import org.tarebook.stats.SigmaEstimate;
import org.tarebook.stats.Spread;
import org.tarebook.stats.Subgroup;
import org.tarebook.stats.chart.BetweenWithin;

/** The sigma within subgroups, by the estimators that each kind of chart allows. */
public final class WithinSigma {

  private WithinSigma() {}

  /**
   * The estimator asked for, or the usual one of the chart.
   *
   * @param pointer where it was asked for
   * @throws Problem if the kind of chart does not allow it
   */
  public static Estimator require(Chart chart, @Nullable Estimator asked, String pointer) {
    List<Estimator> allowed = chart.cut().kind().estimators();
    Estimator estimator = asked == null ? chart.usual().estimator() : asked;
    if (!allowed.contains(estimator)) {
      throw Problem.at(
          ProblemType.RULE_BROKEN,
          pointer,
          estimator
              + " does not go with "
              + chart.code()
              + ", a chart of the kind "
              + chart.cut().kind()
              + "; use "
              + String.join(" or ", allowed.stream().map(Enum::name).toList()));
    }
    return estimator;
  }

  /**
   * Estimates sigma from points.
   *
   * @param cut how the points were cut
   * @param points of one chart, in order for BETWEEN_WITHIN
   * @return in the chart's unit; empty when there is nothing to estimate it from, 0 when nothing
   *     varied
   */
  public static Optional<SigmaEstimate> of(Chart.Cut cut, Estimator estimator, List<Point> points) {
    return estimator == Estimator.BETWEEN_WITHIN
        ? betweenWithin(cut, points).map(BetweenWithin::sigmaTogether)
        : of(estimator, PointSums.of(points));
  }

  /** The same from sums; not for means that move by themselves. */
  static Optional<SigmaEstimate> of(Estimator estimator, PointSums sums) {
    return switch (estimator) {
      case R_BAR -> sums.subgroups().byMeanRange();
      case S_BAR -> sums.subgroups().byMeanSd();
      case POOLED -> sums.subgroups().pooled();
      case POOLED_C4 -> sums.subgroups().pooled().map(SigmaEstimate::withoutBias);
      case MOVING_RANGE -> Spread.meanMovingRange(sums.moved(), Math.max(1, sums.movedSeries()));
      case BETWEEN_WITHIN, TOTAL ->
          throw new IllegalArgumentException(estimator + " is not computed from sums of points");
    };
  }

  /** The three charts of the strata of some points, in order. */
  static Optional<BetweenWithin> betweenWithin(Chart.Cut cut, List<Point> points) {
    Map<String, List<Subgroup>> strata = new TreeMap<>();
    for (Point point : points) {
      strata.computeIfAbsent(point.stratum(), name -> new ArrayList<>()).add(point.subgroup());
    }
    return BetweenWithin.ofSeries(List.copyOf(strata.values()), cut.subgroupSize());
  }
}
