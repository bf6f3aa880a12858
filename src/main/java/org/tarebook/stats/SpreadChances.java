package org.tarebook.stats;

import org.apache.commons.statistics.distribution.ChiSquaredDistribution;

/**
 * How often a point of a spread chart lies beyond its limits while the process is in control, for
 * independent normal readings and known sigma. Dimensionless.
 *
 * <p>Ranges and standard deviations are skewed, so the chances are larger than the 0.0027 of means.
 */
public final class SpreadChances {

  private SpreadChances() {}

  /**
   * Returns the chance that the range of {@code n} readings lies beyond {@link
   * ControlLimits#ofRange}.
   *
   * <p>From {@link RangeDistribution}.
   *
   * <p><b>Accuracy:</b> error below 1e-12.
   *
   * @param n readings in a point, 2 to {@value Factors#MAX_RANGE_SIZE}; 2 for a moving range
   * @return between 0 and 1
   * @throws IllegalArgumentException if {@code n} lies outside
   */
  public static double ofRange(int n) {
    return ofRange(n, 1);
  }

  /**
   * The same where limits are made of a wrong sigma.
   *
   * @param ratio that sigma over the true one, positive
   */
  public static double ofRange(int n, double ratio) {
    double d2 = Factors.d2(n) * Arguments.requirePositive("ratio", ratio);
    double lower = Factors.rangeLower(n) * d2;
    double upper = Factors.rangeUpper(n) * d2;
    return 1 - RangeDistribution.cumulative(upper, n) + RangeDistribution.cumulative(lower, n);
  }

  /**
   * Returns the chance that the standard deviation of {@code n} readings lies beyond {@link
   * ControlLimits#ofSd}, from \( (n - 1) s^2 / \sigma^2 \sim \chi^2_{n-1} \).
   *
   * @param n readings in a point, at least 2
   * @return between 0 and 1
   * @throws IllegalArgumentException if {@code n} lies outside
   */
  public static double ofSd(int n) {
    return ofSd(n, 1);
  }

  /**
   * The same where limits are made of a wrong sigma.
   *
   * @param ratio that sigma over the true one, positive
   */
  public static double ofSd(int n, double ratio) {
    double c4 = Factors.c4(n) * Arguments.requirePositive("ratio", ratio);
    double lower = Factors.sdLower(n) * c4;
    double upper = Factors.sdUpper(n) * c4;
    ChiSquaredDistribution chiSquared = ChiSquaredDistribution.of(n - 1);
    return chiSquared.survivalProbability((n - 1) * upper * upper)
        + chiSquared.cumulativeProbability((n - 1) * lower * lower);
  }
}
