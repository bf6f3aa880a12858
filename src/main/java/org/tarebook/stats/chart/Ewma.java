package org.tarebook.stats.chart;

import java.util.ArrayList;
import java.util.List;
import org.tarebook.stats.Arguments;
import org.tarebook.stats.ControlLimits;

/**
 * The exponentially weighted moving average chart, which sees small lasting shifts sooner than
 * single points do.
 *
 * <p>\[ z_i = \lambda x_i + (1 - \lambda) z_{i-1}, \qquad z_0 = \mu_0 \]
 *
 * <p><b>Source:</b> S. W. Roberts, Technometrics 1 (1959) 239-250; NIST/SEMATECH e-Handbook,
 * section 6.3.2.4, whose limits are the steady ones.
 *
 * @param weight \( \lambda \), share of the newest point, above 0 and at most 1; 1 is the plain
 *     chart
 * @param reach \( L \), distance of the limits from the centre in sigma of the average, positive
 */
public record Ewma(double weight, double reach) {

  /**
   * Checks the figures.
   *
   * @throws IllegalArgumentException if a figure lies outside
   */
  public Ewma {
    if (!(weight > 0 && weight <= 1)) {
      throw new IllegalArgumentException(
          "weight of the newest point is %s, must be above 0 and at most 1".formatted(weight));
    }
    Arguments.requirePositive("reach", reach);
  }

  /**
   * One average and its own limits.
   *
   * @param average \( z_i \), in the unit of the points
   * @param limits exact for this place in the series
   */
  public record Point(double average, ControlLimits limits) {

    /**
     * Returns whether the average lies beyond its limits; a point on a limit does not.
     *
     * @return true for a signal
     */
    public boolean beyond() {
      return average > limits.upper() || average < limits.lower();
    }
  }

  /**
   * Returns the averages of a series with their exact limits.
   *
   * <p>\[ \mu_0 \pm L \sigma \sqrt{\frac{\lambda}{2 - \lambda} \left(1 - (1 - \lambda)^{2i}\right)}
   * \]
   *
   * @param x points in time order; not kept
   * @param centre \( \mu_0 \), the centre line and start
   * @param sigma of one point, zero or positive
   * @return one for each point
   * @throws IllegalArgumentException if a figure is not finite or sigma is negative
   */
  public List<Point> points(double[] x, double centre, double sigma) {
    Arguments.requireSeries("point", x, 0);
    List<Point> points = new ArrayList<>(x.length);
    double average = Arguments.requireFinite("centre", centre);
    for (int i = 0; i < x.length; i++) {
      average = weight * x[i] + (1 - weight) * average;
      points.add(new Point(average, limits(centre, sigma, i + 1L)));
    }
    return List.copyOf(points);
  }

  /**
   * Returns the exact limits of the average of the first {@code i} points.
   *
   * @param centre \( \mu_0 \)
   * @param sigma of one point, zero or positive
   * @param i number of points so far, at least 1
   * @return in the unit of the points
   * @throws IllegalArgumentException if an argument lies outside
   */
  public ControlLimits limits(double centre, double sigma, long i) {
    Arguments.requireAtLeast("number of points", i, 1);
    return around(centre, sigma, sdOfAverage(i));
  }

  /**
   * Returns the limits that the exact ones approach, \( \mu_0 \pm L \sigma \sqrt{\lambda / (2 -
   * \lambda)} \).
   *
   * @param centre \( \mu_0 \)
   * @param sigma of one point, zero or positive
   * @return in the unit of the points
   * @throws IllegalArgumentException if an argument lies outside
   */
  public ControlLimits steadyLimits(double centre, double sigma) {
    return around(centre, sigma, Math.sqrt(weight / (2 - weight)));
  }

  /** Standard deviation of the average of i points over sigma. */
  double sdOfAverage(long i) {
    // 1 - (1 - weight)^(2i) without loss of digits for a small weight.
    double settled = weight == 1 ? 1 : -Math.expm1(2 * i * Math.log1p(-weight));
    return Math.sqrt(weight / (2 - weight) * settled);
  }

  private ControlLimits around(double centre, double sigma, double share) {
    double half = reach * Arguments.requireNotNegative("sigma", sigma) * share;
    return new ControlLimits(centre, centre - half, centre + half);
  }
}
