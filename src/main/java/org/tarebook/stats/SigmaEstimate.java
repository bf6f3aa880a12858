package org.tarebook.stats;

/**
 * An estimate of sigma that says how it was made and how far it can be trusted.
 *
 * @param sigma the estimate, in the unit of the readings; 0 when nothing varied
 * @param degreesOfFreedom \( \nu \), positive: exact for {@link Estimator#POOLED}, {@link
 *     Estimator#POOLED_C4} and {@link Estimator#TOTAL}, otherwise those of a chi-square with the
 *     same relative scatter
 * @param estimator how it was made
 * @param subgroups how many subgroups gave spread; moving ranges for {@link
 *     Estimator#MOVING_RANGE}; 1 for {@link Estimator#TOTAL}
 */
public record SigmaEstimate(
    double sigma, double degreesOfFreedom, Estimator estimator, long subgroups) {

  /**
   * Checks the figures.
   *
   * @throws IllegalArgumentException if sigma is negative or not finite, or the degrees of freedom
   *     or the number of subgroups is not positive
   */
  public SigmaEstimate {
    Arguments.requireNotNegative("sigma", sigma);
    Arguments.requirePositive("degrees of freedom", degreesOfFreedom);
    if (subgroups < 1) {
      throw new IllegalArgumentException(
          "subgroups is %d, must be at least 1".formatted(subgroups));
    }
  }

  /**
   * Returns the pooled sigma without its bias, \( \hat\sigma / c_4(\nu + 1) \). Its degrees of
   * freedom are the same, and so are intervals made of it.
   *
   * <p><b>Source:</b> NIST/SEMATECH e-Handbook, section 6.3.2, for \( c_4 \) of one subgroup; of \(
   * \nu + 1 \) readings for a pooled sigma.
   *
   * @return by {@link Estimator#POOLED_C4}
   * @throws IllegalStateException unless this is by {@link Estimator#POOLED}
   */
  public SigmaEstimate withoutBias() {
    if (estimator != Estimator.POOLED) {
      throw new IllegalStateException(estimator + " has no bias of a pooled sigma");
    }
    double c4 = Math.exp(ChiMean.log(degreesOfFreedom));
    return new SigmaEstimate(sigma / c4, degreesOfFreedom, Estimator.POOLED_C4, subgroups);
  }

  /**
   * Returns the estimate on the scale on which \( \nu \hat\sigma^2 / \sigma^2 \) is a chi-square:
   * sigma itself for {@link Estimator#POOLED} and {@link Estimator#TOTAL}, \( c_4(\nu + 1)
   * \hat\sigma \) for the unbiased ones (for ranges this is \( \bar R / d_2^* \), for {@link
   * Estimator#POOLED_C4} the pooled sigma).
   *
   * @return in the unit of the readings; 0 when nothing varied
   */
  public double chiScaled() {
    return estimator.unbiased() ? sigma * Math.exp(ChiMean.log(degreesOfFreedom)) : sigma;
  }
}
