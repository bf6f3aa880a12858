package org.tarebook.control;

import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.tarebook.chart.Chart;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.stats.Estimator;
import org.tarebook.stats.Moments;
import org.tarebook.stats.SigmaEstimate;
import org.tarebook.stats.Spread;
import org.tarebook.stats.Subgroup;

/** The sigma within subgroups, by the estimators that each kind of chart allows. */
public final class WithinSigma {

  private WithinSigma() {}

  /** The estimators of a kind of chart, the usual one first. */
  public static List<Estimator> estimators(Chart.Kind kind) {
    return switch (kind) {
      case XBAR_R -> List.of(Estimator.R_BAR, Estimator.POOLED);
      case XBAR_S -> List.of(Estimator.S_BAR, Estimator.POOLED);
      case INDIVIDUALS -> List.of(Estimator.MOVING_RANGE);
    };
  }

  /**
   * The estimator asked for, or the usual one.
   *
   * @param pointer where it was asked for
   * @throws Problem if the kind of chart does not allow it
   */
  public static Estimator require(Chart chart, @Nullable Estimator asked, String pointer) {
    List<Estimator> allowed = estimators(chart.cut().kind());
    Estimator estimator = asked == null ? allowed.get(0) : asked;
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
   * @param points of one chart, in any order
   * @return in the chart's unit; empty when there is nothing to estimate it from, 0 when nothing
   *     varied
   */
  public static Optional<SigmaEstimate> of(Estimator estimator, List<Point> points) {
    List<Subgroup> subgroups = points.stream().map(Point::subgroup).toList();
    return switch (estimator) {
      case R_BAR -> Spread.meanRange(subgroups);
      case S_BAR -> Spread.meanSd(subgroups);
      case POOLED -> Spread.pooled(subgroups);
      case MOVING_RANGE -> ofMovingRanges(points);
      case TOTAL -> throw new IllegalArgumentException("TOTAL is not a sigma within subgroups");
    };
  }

  private static Optional<SigmaEstimate> ofMovingRanges(List<Point> points) {
    Moments sizes = Moments.EMPTY;
    for (Point point : points) {
      Point.Moved moved = point.moved();
      sizes = moved == null ? sizes : sizes.plus(moved.size());
    }
    long series =
        points.stream()
            .filter(point -> point.moved() != null)
            .map(Point::segment)
            .distinct()
            .count();
    return Spread.meanMovingRange(sizes, Math.max(1, series));
  }
}
