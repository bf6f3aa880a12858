package org.tarebook.control;

import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.tarebook.chart.Chart;
import org.tarebook.stats.ControlLimits;
import org.tarebook.stats.Estimator;
import org.tarebook.stats.Factors;
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
      return WithinSigma.betweenWithin(cut, points).map(Limits::of);
    }
    PointSums sums = PointSums.of(points);
    return WithinSigma.of(estimator, sums)
        .map(sigma -> of(cut, sums.subgroups().readings(), sigma));
  }

  /** The limits of means that move by themselves. */
  public static Limits of(BetweenWithin three) {
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
   * The lines of a point that has another number of readings than most: of a sample of which some
   * are missing, for example.
   *
   * <p>Sigma of a mean of {@code n} readings is sigma over the root of {@code n}. Where means move
   * by themselves, its square is that of the limits plus \( \hat\sigma_w^2 (1/n - 1/n_0) \) for the
   * planned \( n_0 \): what moves the means stays, and what is inside averages out; but it is never
   * less, or more, than if there were nothing but what is inside.
   *
   * @param readings how many the point has, at least 1
   * @return the lines; of the spread none where there is none of so many readings
   */
  public OfPoint of(Chart.Cut cut, long readings) {
    if (readings == cut.subgroupSize()) {
      return new OfPoint(points, spread);
    }
    double centre = points.centre();
    return switch (cut.kind()) {
      case INDIVIDUALS -> new OfPoint(points, spread);
      case XBAR_R ->
          new OfPoint(
              ControlLimits.ofMean(centre, sigma.sigma(), readings),
              readings < 2 || readings > Factors.MAX_RANGE_SIZE
                  ? null
                  : ControlLimits.ofRange(sigma.sigma(), readings));
      case XBAR_S ->
          new OfPoint(
              ControlLimits.ofMean(centre, sigma.sigma(), readings),
              readings < 2 ? null : ControlLimits.ofSd(sigma.sigma(), readings));
      case BETWEEN_WITHIN -> {
        double within = spread.centre() / Factors.c4(cut.subgroupSize());
        yield new OfPoint(
            ControlLimits.ofIndividual(
                centre,
                BetweenWithin.sigmaOfMean(
                    sigmaOfPoint(), within, 1.0 / cut.subgroupSize(), 1.0 / readings)),
            readings < 2 ? null : ControlLimits.ofSd(within, readings));
      }
    };
  }

  /**
   * The lines of one point.
   *
   * @param spread absent where there is none of its number of readings
   */
  public record OfPoint(ControlLimits points, @Nullable ControlLimits spread) {
    /** The distance that counts as one sigma on the chart of points. */
    public double sigmaOfPoint() {
      return (points.upper() - points.centre()) / 3;
    }
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
