package org.tarebook.stats.fit;

import java.util.Optional;
import java.util.function.DoubleUnaryOperator;
import org.tarebook.stats.Arguments;

/**
 * Skewness and excess kurtosis of readings; both 0 for a normal distribution.
 *
 * @param skewness \( g_1 = m_3 / m_2^{3/2} \) from central moments with divisor \( n \); positive
 *     with a long tail above
 * @param kurtosis \( g_2 = m_4 / m_2^2 - 3 \), positive with heavy tails
 * @param readings \( n \)
 */
public record Shape(double skewness, double kurtosis, int readings) {

  /**
   * Returns the shape of readings.
   *
   * <p><b>Accuracy:</b> about 1e-13 for readings whose mean is below 1000 standard deviations; the
   * readings themselves, as doubles, limit it beyond.
   *
   * <p><b>Source:</b> D. N. Joanes and C. A. Gill, The Statistician 47 (1998) 183-189.
   *
   * @param x in any order; not kept
   * @return empty for fewer than two readings and when nothing varied
   * @throws IllegalArgumentException if one is not finite
   */
  public static Optional<Shape> of(double[] x) {
    Arguments.requireSeries("reading", x, 0);
    if (x.length < 2) {
      return Optional.empty();
    }
    double mean = mean(x, v -> v);
    double m2 = mean(x, v -> Fits.square(v - mean));
    if (m2 == 0) {
      return Optional.empty();
    }
    double m3 = mean(x, v -> Math.pow(v - mean, 3));
    double m4 = mean(x, v -> Math.pow(v - mean, 4));
    return Optional.of(new Shape(m3 / Math.pow(m2, 1.5), m4 / m2 / m2 - 3, x.length));
  }

  /**
   * Returns the skewness corrected for sample size, \( G_1 = g_1 \sqrt{n (n - 1)} / (n - 2) \), as
   * spreadsheets give it.
   *
   * @return empty for fewer than three readings
   */
  public Optional<Double> adjustedSkewness() {
    double n = readings;
    return readings < 3
        ? Optional.empty()
        : Optional.of(skewness * Math.sqrt(n * (n - 1)) / (n - 2));
  }

  /**
   * Returns the excess kurtosis corrected for sample size, \( G_2 = \frac{n - 1}{(n - 2)(n - 3)}
   * ((n + 1) g_2 + 6) \).
   *
   * @return empty for fewer than four readings
   */
  public Optional<Double> adjustedKurtosis() {
    double n = readings;
    return readings < 4
        ? Optional.empty()
        : Optional.of((n - 1) / (n - 2) / (n - 3) * ((n + 1) * kurtosis + 6));
  }

  /** The mean of a function, against its figure for the first reading, so that digits are kept. */
  static double mean(double[] x, DoubleUnaryOperator function) {
    double first = function.applyAsDouble(x[0]);
    double sum = 0;
    for (double value : x) {
      sum += function.applyAsDouble(value) - first;
    }
    return first + sum / x.length;
  }
}
