package org.tarebook.stats.fit;

import java.util.Arrays;
import java.util.Optional;
import org.apache.commons.statistics.distribution.NormalDistribution;
import org.tarebook.stats.Arguments;

/**
 * The Shapiro-Wilk test whether readings are normal, by Royston's weights and chance.
 *
 * <p>\[ W = \frac{(\sum a_i x_{(i)})^2}{\sum (x_i - \bar x)^2} \]
 *
 * <p><b>Source:</b> P. Royston, Applied Statistics 44 (1995) 547-551, algorithm AS R94; the test is
 * of S. S. Shapiro and M. B. Wilk, Biometrika 52 (1965) 591-611.
 *
 * @param w between 0 and 1, 1 for readings exactly as expected
 * @param p chance of a {@code w} at most this large of normal readings
 */
public record ShapiroWilk(double w, double p) {

  private static final NormalDistribution NORMAL = NormalDistribution.of(0, 1);
  private static final double[] LAST = {0, 0.221157, -0.147981, -2.07119, 4.434685, -2.706056};
  private static final double[] BEFORE = {0, 0.042981, -0.293762, -1.752461, 5.682633, -3.582633};
  private static final double[] SMALL_BOUND = {-2.273, 0.459};
  private static final double[] SMALL_MEAN = {0.544, -0.39978, 0.025054, -6.714e-4};
  private static final double[] SMALL_LOG_SD = {1.3822, -0.77857, 0.062767, -0.0020322};
  private static final double[] MEAN = {-1.5861, -0.31082, -0.083751, 0.0038915};
  private static final double[] LOG_SD = {-0.4803, -0.082676, 0.0030302};

  /**
   * Tests readings.
   *
   * <p><b>Accuracy:</b> {@code w} to 1e-8; {@code p} as the published approximation gives it.
   *
   * @param x 3 to 5000 readings in any order; not kept
   * @return empty when nothing varied
   * @throws IllegalArgumentException if there are fewer or more, or one is not finite
   */
  public static Optional<ShapiroWilk> of(double[] x) {
    double[] sorted = Arguments.requireSeries("reading", x, 3).clone();
    int n = sorted.length;
    if (n > 5000) {
      throw new IllegalArgumentException(
          "%d readings, the test is known for 5000 at most: compare tails".formatted(n));
    }
    Arrays.sort(sorted);
    if (sorted[0] == sorted[n - 1]) {
      return Optional.empty();
    }
    double[] a = weights(n);
    double mean = Shape.mean(sorted, v -> v);
    double weighted = 0;
    double squares = 0;
    double weights = 0;
    for (int i = 0; i < n; i++) {
      double weight = i < n / 2 ? -a[i] : i >= n - n / 2 ? a[n - 1 - i] : 0;
      weighted += weight * (sorted[i] - mean);
      squares += Fits.square(sorted[i] - mean);
      weights += weight * weight;
    }
    double root = Math.sqrt(weights * squares);
    // The rest 1 - W without a difference of squares.
    double rest = Math.max(0, (root - weighted) * (root + weighted) / (weights * squares));
    return Optional.of(new ShapiroWilk(1 - rest, chance(rest, n)));
  }

  /** The upper half of the weights, the largest first. */
  private static double[] weights(int n) {
    int half = n / 2;
    double[] a = new double[half];
    if (n == 3) {
      a[0] = Math.sqrt(0.5);
      return a;
    }
    double[] m = new double[half];
    double squares = 0;
    for (int i = 0; i < half; i++) {
      m[i] = -NORMAL.inverseCumulativeProbability((i + 1 - 0.375) / (n + 0.25));
      squares += 2 * m[i] * m[i];
    }
    double root = 1 / Math.sqrt((double) n);
    int fixed = n > 5 ? 2 : 1;
    double left = squares;
    double share = 1;
    for (int i = 0; i < fixed; i++) {
      a[i] = m[i] / Math.sqrt(squares) + polynomial(i == 0 ? LAST : BEFORE, root);
      left -= 2 * m[i] * m[i];
      share -= 2 * a[i] * a[i];
    }
    for (int i = fixed; i < half; i++) {
      a[i] = m[i] / Math.sqrt(left / share);
    }
    return a;
  }

  private static double chance(double rest, int n) {
    if (n == 3) {
      double angle = Math.asin(Math.sqrt(1 - rest)) - Math.asin(Math.sqrt(0.75));
      return Math.max(0, 6 / Math.PI * angle);
    }
    double y = Math.log(rest);
    if (n <= 11) {
      double bound = polynomial(SMALL_BOUND, n);
      if (y >= bound) {
        return 0;
      }
      double z =
          (-Math.log(bound - y) - polynomial(SMALL_MEAN, n))
              / Math.exp(polynomial(SMALL_LOG_SD, n));
      return NORMAL.survivalProbability(z);
    }
    double log = Math.log((double) n);
    return NORMAL.survivalProbability(
        (y - polynomial(MEAN, log)) / Math.exp(polynomial(LOG_SD, log)));
  }

  private static double polynomial(double[] coefficients, double x) {
    double value = 0;
    for (int i = coefficients.length - 1; i >= 0; i--) {
      value = value * x + coefficients[i];
    }
    return value;
  }
}
