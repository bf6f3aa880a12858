package org.tarebook.stats;

/**
 * An estimate of sigma that says how it was made and how far it can be trusted.
 *
 * @param sigma the estimate, in the unit of the readings; 0 when nothing varied
 * @param degreesOfFreedom \( \nu \), positive: exact for {@link Estimator#POOLED} and {@link
 *     Estimator#TOTAL}, otherwise those of a chi-square with the same relative scatter
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
   * Returns the estimate on the scale on which \( \nu \hat\sigma^2 / \sigma^2 \) is a chi-square:
   * sigma itself for {@link Estimator#POOLED} and {@link Estimator#TOTAL}, \( c_4(\nu + 1)
   * \hat\sigma \) for the unbiased ones (for ranges this is \( \bar R / d_2^* \)).
   *
   * @return in the unit of the readings; 0 when nothing varied
   */
  public double chiScaled() {
    return estimator.unbiased() ? sigma * Math.exp(ChiMean.log(degreesOfFreedom)) : sigma;
  }
}
