package org.tarebook.stats;

import org.apache.commons.statistics.distribution.NormalDistribution;

/**
 * Confidence intervals of capability and performance indices.
 *
 * <p>Two numbers speak of how much is known. The degrees of freedom \( \nu \) of the sigma estimate
 * say how well the spread is known; {@code readings} \( N \) says how well the mean is known. With
 * the total sigma \( \nu = N - 1 \); with a within-subgroup sigma \( \nu \) is smaller, such as \(
 * N - k \) for \( k \) pooled subgroups.
 *
 * <p>For {@link Estimator#POOLED}, {@link Estimator#POOLED_C4} and {@link Estimator#TOTAL} the
 * distributions named are exact for independent normal readings from one stable process. The other
 * estimators are brought to the chi scale by {@link SigmaEstimate#chiScaled()} first, and then are
 * approximations in two moments.
 */
public final class CapabilityIntervals {

  private CapabilityIntervals() {}

  /**
   * Returns the interval of Cp or Pp:
   *
   * <p>\[ \hat C \sqrt{\chi^2_{\nu, \alpha/2} / \nu}, \quad \hat C \sqrt{\chi^2_{\nu, 1 - \alpha/2}
   * / \nu} \]
   *
   * <p><b>Source:</b> NIST/SEMATECH e-Handbook, section 6.1.6; Montgomery, Introduction to
   * Statistical Quality Control, section 8.3.
   *
   * @param potential the estimate \( \hat C \), zero or positive, made with {@code sigma}
   * @param sigma the estimate of sigma, not 0
   * @param confidence between 0 and 1, such as 0.95
   * @return two-sided, equal tails, dimensionless
   * @throws IllegalArgumentException if an argument lies outside
   */
  public static Interval ofPotential(double potential, SigmaEstimate sigma, double confidence) {
    double index = onChiScale(Arguments.requireNotNegative("index", potential), sigma);
    double tail = (1 - Arguments.requireConfidence(confidence)) / 2;
    double degrees = sigma.degreesOfFreedom();
    return new Interval(
        index * Math.sqrt(ChiSquared.ratio(degrees, tail)),
        index * Math.sqrt(ChiSquared.upperRatio(degrees, tail)));
  }

  /**
   * Returns the interval of a one-sided index, CpU, CpL, PpU or PpL, and so of Cpk or Ppk when only
   * one limit exists.
   *
   * <p>\( 3 \sqrt N \hat C \) has a noncentral t distribution with \( \nu \) degrees of freedom and
   * noncentrality \( 3 \sqrt N C \); the limits are the indices \( C \) that put \( \alpha/2 \) of
   * it beyond the estimate.
   *
   * <p><b>Accuracy:</b> error below 1e-9 for indices within ±5 and {@code N} up to 10 000.
   *
   * <p><b>Source:</b> Y. M. Chou, D. B. Owen and S. A. Borrego, Journal of Quality Technology 22
   * (1990) 223-229, by inversion instead of tables.
   *
   * @param index the estimate \( \hat C \), made with {@code sigma}; may be negative
   * @param sigma the estimate of sigma, not 0
   * @param readings \( N \), readings in the mean, at least 2
   * @param confidence between 0 and 1, such as 0.95; the lower limit alone then holds with {@code
   *     (1 + confidence) / 2}
   * @return two-sided, equal tails, dimensionless
   * @throws IllegalArgumentException if an argument lies outside
   */
  public static Interval ofOneSide(
      double index, SigmaEstimate sigma, long readings, double confidence) {
    double scaled = onChiScale(Arguments.requireFinite("index", index), sigma);
    double tail = (1 - Arguments.requireConfidence(confidence)) / 2;
    double root = 3 * Math.sqrt(requireReadings(readings));
    double degrees = sigma.degreesOfFreedom();
    return new Interval(
        NoncentralT.noncentralityFor(root * scaled, degrees, 1 - tail) / root,
        NoncentralT.noncentralityFor(root * scaled, degrees, tail) / root);
  }

  /**
   * Returns the approximate interval of Cpk or Ppk for a tolerance with two limits:
   *
   * <p>\[ \hat C \pm z_{1-\alpha/2} \sqrt{\frac{1}{9N} + \frac{\hat C^2}{2\nu}} \]
   *
   * <p>An approximation for large samples, for any estimator; with fewer than 25 readings it is too
   * narrow below. It takes the nearer limit as the only one that matters.
   *
   * <p><b>Source:</b> A. F. Bissell, Applied Statistics 39 (1990) 331-340.
   *
   * @param minimum the estimate \( \hat C \), made with {@code sigma}; may be negative
   * @param sigma the estimate of sigma, not 0
   * @param readings \( N \), readings in the mean, at least 2
   * @param confidence between 0 and 1, such as 0.95
   * @return two-sided, dimensionless
   * @throws IllegalArgumentException if an argument lies outside
   */
  public static Interval ofMinimum(
      double minimum, SigmaEstimate sigma, long readings, double confidence) {
    double index = onChiScale(Arguments.requireFinite("index", minimum), sigma);
    double tail = (1 - Arguments.requireConfidence(confidence)) / 2;
    double reach =
        NormalDistribution.of(0, 1).inverseSurvivalProbability(tail)
            * Math.sqrt(
                1 / (9 * requireReadings(readings))
                    + index * index / (2 * sigma.degreesOfFreedom()));
    return new Interval(index - reach, index + reach);
  }

  /** The index that the estimate on the chi scale would have given. */
  private static double onChiScale(double index, SigmaEstimate sigma) {
    Arguments.requirePositive("sigma", sigma.sigma());
    return index * (sigma.sigma() / sigma.chiScaled());
  }

  private static double requireReadings(long readings) {
    if (readings < 2) {
      throw new IllegalArgumentException(
          "readings is %d, an interval takes at least 2".formatted(readings));
    }
    return (double) readings;
  }
}
