package org.tarebook.stats.measuring;

import java.util.Optional;
import org.apache.commons.statistics.distribution.TDistribution;
import org.tarebook.stats.Arguments;
import org.tarebook.stats.Interval;
import org.tarebook.stats.LinearTrend;

/**
 * How far readings of a known standard lie from it on average.
 *
 * @param bias mean reading less the standard, in the unit of the readings
 * @param sd standard deviation of the readings, divisor {@code n - 1}
 * @param readings how many
 */
public record Bias(double bias, double sd, int readings) {

  /**
   * Returns the bias at one standard.
   *
   * @param y readings of the standard, at least two; not kept
   * @param standard its known value
   * @return the bias
   * @throws IllegalArgumentException if there are fewer or a figure is not finite
   */
  public static Bias of(double[] y, double standard) {
    Arguments.requireSeries("reading", y, 2);
    Arguments.requireFinite("standard", standard);
    double bias = 0;
    for (double value : y) {
      bias += (value - standard) / y.length;
    }
    double squares = 0;
    for (double value : y) {
      double left = value - standard - bias;
      squares += left * left;
    }
    return new Bias(bias, Math.sqrt(squares / (y.length - 1)), y.length);
  }

  /**
   * Returns the interval of the bias by Student's t. A bias is shown if 0 lies outside.
   *
   * @param confidence between 0 and 1, such as 0.95
   * @return two-sided
   * @throws IllegalArgumentException if the confidence lies outside
   */
  public Interval interval(double confidence) {
    double tail = (1 - Arguments.requireConfidence(confidence)) / 2;
    double t = TDistribution.of(readings - 1.0).inverseSurvivalProbability(tail);
    double reach = t * sd / Math.sqrt((double) readings);
    return new Interval(bias - reach, bias + reach);
  }

  /**
   * Returns how the bias changes over the range: the line through single errors {@code y -
   * standard} against the standard. No linearity error is shown if the interval of its slope holds
   * 0.
   *
   * @param standards known value of each reading; not kept
   * @param y readings, as many; not kept
   * @return the line; empty for fewer than three readings or one standard only
   * @throws IllegalArgumentException if lengths differ or a figure is not finite
   */
  public static Optional<LinearTrend> linearity(double[] standards, double[] y) {
    if (standards.length != y.length) {
      throw new IllegalArgumentException(
          "%d standards for %d readings".formatted(standards.length, y.length));
    }
    double[] errors = new double[y.length];
    for (int i = 0; i < y.length; i++) {
      errors[i] = y[i] - standards[i];
    }
    return LinearTrend.of(standards, errors);
  }
}
