package org.tarebook.stats.chart;

import java.util.ArrayList;
import java.util.List;
import org.tarebook.stats.Arguments;

/**
 * The two-sided tabular cumulative sum chart.
 *
 * <p>\[ H_i = \max(0, x_i - (T + K) + H_{i-1}), \qquad L_i = \max(0, (T - K) - x_i + L_{i-1}) \]
 *
 * <p>A sum above the decision value is a signal. Sums go on after a signal; whoever resets the
 * process starts a new series. All four figures are in the unit of the points.
 *
 * <p><b>Source:</b> NIST/SEMATECH e-Handbook, section 6.3.2.3; head start of J. M. Lucas and R. B.
 * Crosier, Technometrics 24 (1982) 199-205.
 *
 * @param target \( T \)
 * @param allowance \( K \), half the shift that is to be found, zero or positive
 * @param decision the decision value, positive
 * @param headStart \( H_0 = L_0 \), zero to below {@code decision}; half the decision value finds a
 *     process that starts off target sooner
 */
public record Cusum(double target, double allowance, double decision, double headStart) {

  /**
   * Checks the figures.
   *
   * @throws IllegalArgumentException if a figure lies outside
   */
  public Cusum {
    Arguments.requireFinite("target", target);
    Arguments.requireNotNegative("allowance", allowance);
    Arguments.requirePositive("decision value", decision);
    Arguments.requireNotNegative("head start", headStart);
    if (headStart >= decision) {
      throw new IllegalArgumentException(
          "head start %s is not below the decision value %s".formatted(headStart, decision));
    }
  }

  /**
   * Returns a chart described in sigma of the plotted figure.
   *
   * @param target \( T \), in the unit of the points
   * @param sigma of one point, positive
   * @param k allowance in sigma, such as 0.5
   * @param h decision value in sigma, such as 5
   * @return without a head start
   * @throws IllegalArgumentException if a figure lies outside
   */
  public static Cusum inSigma(double target, double sigma, double k, double h) {
    Arguments.requirePositive("sigma", sigma);
    return new Cusum(target, k * sigma, h * sigma, 0);
  }

  /**
   * The sums after one more point.
   *
   * @param high \( H_i \), zero or positive
   * @param low \( L_i \), zero or positive
   * @param pointsHigh points since {@code high} last was 0: a shift began about so many points ago
   * @param pointsLow the same of {@code low}
   * @param signalHigh whether {@code high} is above the decision value
   * @param signalLow whether {@code low} is
   */
  public record Point(
      double high,
      double low,
      int pointsHigh,
      int pointsLow,
      boolean signalHigh,
      boolean signalLow) {

    /**
     * Returns whether either side signals.
     *
     * @return true for a signal
     */
    public boolean signal() {
      return signalHigh || signalLow;
    }
  }

  /**
   * Returns the sums of a series.
   *
   * @param x points in time order; not kept
   * @return one for each point
   * @throws IllegalArgumentException if a point is not finite; the message names its index
   */
  public List<Point> points(double[] x) {
    Arguments.requireSeries("point", x, 0);
    List<Point> points = new ArrayList<>(x.length);
    double high = headStart;
    double low = headStart;
    int pointsHigh = 0;
    int pointsLow = 0;
    for (double value : x) {
      high = Math.max(0, value - (target + allowance) + high);
      low = Math.max(0, (target - allowance) - value + low);
      pointsHigh = high > 0 ? pointsHigh + 1 : 0;
      pointsLow = low > 0 ? pointsLow + 1 : 0;
      points.add(new Point(high, low, pointsHigh, pointsLow, high > decision, low > decision));
    }
    return List.copyOf(points);
  }
}
