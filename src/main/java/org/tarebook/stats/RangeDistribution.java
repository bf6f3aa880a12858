package org.tarebook.stats;

import org.apache.commons.statistics.distribution.NormalDistribution;

/**
 * The distribution of the relative range: the range of {@code n} independent standard normal
 * values, that is a subgroup's range over sigma. Dimensionless.
 *
 * <p>\[ P(W \le w) = n \int \varphi(x) [\Phi(x + w) - \Phi(x)]^{n-1} dx \]
 *
 * <p><b>Source:</b> H. A. David and H. N. Nagaraja, Order Statistics, section 2.3.
 */
public final class RangeDistribution {

  private static final NormalDistribution NORMAL = NormalDistribution.of(0, 1);
  private static final double FARTHEST = 9;
  private static final double STEP = 1.0 / 16;

  private RangeDistribution() {}

  /**
   * Returns the chance that a relative range is at most {@code w}.
   *
   * <p><b>Accuracy:</b> error below 1e-13.
   *
   * @param w any number; 0 for negative ones
   * @param n values, 2 to {@value Factors#MAX_RANGE_SIZE}
   * @return between 0 and 1
   * @throws IllegalArgumentException if {@code n} lies outside or {@code w} is NaN
   */
  public static double cumulative(double w, int n) {
    requireSize(n);
    if (Double.isNaN(w)) {
      throw new IllegalArgumentException("range is NaN, must be a number");
    }
    return w <= 0 ? 0 : Math.min(1, atMost(Math.min(w, 4 * FARTHEST), n));
  }

  /**
   * Returns the relative range that is exceeded with the chance {@code 1 - probability}. The
   * quantile of 0.5 is the factor \( d_4 \) of the median range.
   *
   * <p><b>Accuracy:</b> error below 1e-9 for probabilities from 1e-6 to {@code 1 - 1e-6}.
   *
   * @param probability between 0 and 1, exclusive
   * @param n values, 2 to {@value Factors#MAX_RANGE_SIZE}
   * @return positive
   * @throws IllegalArgumentException if an argument lies outside
   */
  public static double quantile(double probability, int n) {
    requireSize(n);
    Arguments.requireShare("probability", probability);
    return Roots.increasing(w -> atMost(w, n) - probability, 0, 4 * FARTHEST);
  }

  /** The trapezoid rule, which errs less than any power of its step on smooth vanishing curves. */
  private static double atMost(double w, int n) {
    double sum = 0;
    // Both extremes within reach: the integrand is the same about the middle of the range.
    for (double x = -FARTHEST - w; x <= FARTHEST; x += STEP) {
      sum += NORMAL.density(x) * Math.pow(NORMAL.probability(x, x + w), n - 1);
    }
    return n * sum * STEP;
  }

  private static void requireSize(int n) {
    if (n < 2 || n > Factors.MAX_RANGE_SIZE) {
      throw new IllegalArgumentException(
          "range of %d values, must be 2 to %d".formatted(n, Factors.MAX_RANGE_SIZE));
    }
  }
}
