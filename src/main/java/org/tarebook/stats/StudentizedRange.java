package org.tarebook.stats;

/**
 * The studentised range: the range of {@code k} independent normal means over an independent
 * estimate of their standard error. It tells which of several strata differ. Dimensionless.
 *
 * <p>\[ P(Q \le q) = \int_0^\infty P(W_k \le q s) f_\nu(s) ds \]
 *
 * <p>with {@link RangeDistribution} inside and \( \nu s^2 \) a chi-square with \( \nu \) degrees of
 * freedom.
 *
 * <p><b>Source:</b> J. W. Tukey's procedure; H. L. Harter, Annals of Mathematical Statistics 31
 * (1960) 1122-1147, whose table is met.
 */
public final class StudentizedRange {

  private static final double NEGLIGIBLE = -42;
  private static final double STEP = 0.25;

  private StudentizedRange() {}

  /**
   * Returns the chance that a studentised range is at most {@code q}.
   *
   * <p><b>Accuracy:</b> error below 1e-10 for 2 and more degrees of freedom.
   *
   * @param q zero or positive
   * @param k means compared, 2 to {@value Factors#MAX_RANGE_SIZE}
   * @param degrees \( \nu \), positive, of the estimate
   * @return between 0 and 1
   * @throws IllegalArgumentException if an argument lies outside
   */
  public static double cumulative(double q, int k, double degrees) {
    Arguments.requireNotNegative("q", q);
    Arguments.requirePositive("degrees of freedom", degrees);
    double step = STEP / Math.sqrt(2 * degrees + 16);
    double weights = 0;
    double sum = 0;
    for (int direction = -1; direction <= 1; direction += 2) {
      for (int i = direction < 0 ? 1 : 0; ; i++) {
        double logS = direction * i * step;
        // The density of ln S against its peak at 0.
        double log = degrees * (logS - Math.expm1(2 * logS) / 2);
        if (log < NEGLIGIBLE) {
          break;
        }
        double weight = Math.exp(log);
        weights += weight;
        sum += weight * RangeDistribution.cumulative(q * Math.exp(logS), k);
      }
    }
    return sum / weights;
  }

  /**
   * Returns the studentised range that is exceeded with the chance {@code 1 - probability}.
   *
   * <p><b>Accuracy:</b> error below 1e-6 for 2 and more degrees of freedom and probabilities up to
   * 0.999.
   *
   * @param probability between 0 and 1, exclusive
   * @param k means compared, 2 to {@value Factors#MAX_RANGE_SIZE}
   * @param degrees \( \nu \), positive, of the estimate
   * @return positive
   * @throws IllegalArgumentException if an argument lies outside
   */
  public static double quantile(double probability, int k, double degrees) {
    Arguments.requireShare("probability", probability);
    double low = 0;
    double high = 8;
    while (cumulative(high, k, degrees) < probability) {
      low = high;
      high *= 2;
    }
    while (high - low > 1e-8 * high) {
      double middle = (low + high) / 2;
      if (cumulative(middle, k, degrees) < probability) {
        low = middle;
      } else {
        high = middle;
      }
    }
    return (low + high) / 2;
  }
}
