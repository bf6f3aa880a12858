package org.tarebook.control;

import java.util.List;
import java.util.Optional;
import org.tarebook.chart.Chart;
import org.tarebook.stats.ControlLimits;
import org.tarebook.stats.Estimator;
import org.tarebook.stats.Moments;
import org.tarebook.stats.SigmaEstimate;
import org.tarebook.stats.chart.BetweenWithin;

/**
 * Control limits of a chart, all in the chart's unit.
 *
 * @param points the lines of the points
 * @param spread the lines of the ranges, standard deviations or moving ranges
 * @param sigma the within-subgroup sigma both come from
 */
public record Limits(ControlLimits points, ControlLimits spread, SigmaEstimate sigma) {

  /**
   * Computes the three-sigma limits of points by their own grand mean and sigma.
   *
   * <ul>
   *   <li>No point, or no spread to estimate sigma from: empty.
   *   <li>Nothing varied: all lines of a chart coincide; such limits cannot be frozen.
   * </ul>
   *
   * <p><b>Source:</b> NIST/SEMATECH e-Handbook, sections 6.3.2.1 and 6.3.2.2.
   *
   * <p>Points of the kind BETWEEN_WITHIN are judged by how their means move.
   *
   * @param points in one unit, in order
   */
  public static Optional<Limits> of(Chart.Cut cut, Estimator estimator, List<Point> points) {
    if (cut.kind() == Chart.Kind.BETWEEN_WITHIN) {
      return WithinSigma.betweenWithin(points).map(Limits::of);
    }
    PointSums sums = PointSums.of(points);
    return WithinSigma.of(estimator, sums)
        .map(sigma -> of(cut, sums.subgroups().readings(), sigma));
  }

  static Limits of(BetweenWithin three) {
    return new Limits(three.means(), three.within(), three.sigmaTogether());
  }

  static Limits of(Chart.Cut cut, Moments readings, SigmaEstimate sigma) {
    int n = cut.subgroupSize();
    ControlLimits spread =
        switch (cut.kind()) {
          case XBAR_R -> ControlLimits.ofRange(sigma.sigma(), n);
          case XBAR_S, BETWEEN_WITHIN -> ControlLimits.ofSd(sigma.sigma(), n);
          case INDIVIDUALS -> ControlLimits.ofMovingRange(sigma.sigma());
        };
    return new Limits(ControlLimits.ofMean(readings.mean(), sigma.sigma(), n), spread, sigma);
  }

  /**
   * Whether points can be judged by the lines. Where nothing varies they coincide; so they do where
   * the spread is so small beside the mean that a double does not show it.
   */
  public boolean apart() {
    return sigma.sigma() > 0 && sigmaOfPoint() > 0;
  }

  /**
   * The distance that counts as one sigma on the chart of points: a third of that of its limits.
   */
  public double sigmaOfPoint() {
    return (points.upper() - points.centre()) / 3;
  }
}
