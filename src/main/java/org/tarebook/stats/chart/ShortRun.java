package org.tarebook.stats.chart;

import java.util.List;
import org.tarebook.stats.Arguments;
import org.tarebook.stats.ControlLimits;

/**
 * Readings of several sizes or codes on one chart, each as its distance from its own target,
 * because no run is long enough for a chart of its own.
 *
 * <p><b>Source:</b> D. C. Montgomery, Introduction to Statistical Quality Control, section 10.1.
 */
public final class ShortRun {

  /** Limits of {@link #standardised} figures: 0 ± 3. */
  public static final ControlLimits STANDARDISED = new ControlLimits(0, -3, 3);

  private ShortRun() {}

  /**
   * A point and what its code should be.
   *
   * @param value the plotted figure, a reading or the mean of {@code n}
   * @param target of its code, in the same unit
   * @param sigma of single readings of its code, in the same unit, positive
   * @param n readings in the point, at least 1
   */
  public record Point(double value, double target, double sigma, long n) {

    /**
     * Checks the figures.
     *
     * @throws IllegalArgumentException if a figure lies outside
     */
    public Point {
      Arguments.requireFinite("value", value);
      Arguments.requireFinite("target", target);
      Arguments.requirePositive("sigma", sigma);
      Arguments.requireAtLeast("readings per point", n, 1);
    }
  }

  /**
   * Returns the deviations from target, \( x_i - T_i \), which go on a chart of single readings or
   * means. That chart takes every code as equally spread: hold the codes' variances against each
   * other with {@link org.tarebook.stats.compare.EqualSpread} first.
   *
   * @param points in time order
   * @return in the unit of the points
   */
  public static double[] deviations(List<Point> points) {
    return points.stream().mapToDouble(point -> point.value() - point.target()).toArray();
  }

  /**
   * Returns the standardised deviations, \( (x_i - T_i) \sqrt{n_i} / \sigma_i \), which go on one
   * chart with the limits {@link #STANDARDISED} and under run rules.
   *
   * @param points in time order
   * @return dimensionless
   */
  public static double[] standardised(List<Point> points) {
    return points.stream()
        .mapToDouble(
            point ->
                (point.value() - point.target()) * Math.sqrt((double) point.n()) / point.sigma())
        .toArray();
  }
}
