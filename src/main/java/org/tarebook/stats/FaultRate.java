package org.tarebook.stats;

/**
 * Faults counted over a size looked at (square metres, tyres, hours), any number on one.
 *
 * @param faults \( c \), zero or more
 * @param size \( a \), positive
 */
public record FaultRate(long faults, double size) {

  /**
   * Checks the numbers.
   *
   * @throws IllegalArgumentException if a number lies outside
   */
  public FaultRate {
    Arguments.requireAtLeast("faults", faults, 0);
    Arguments.requirePositive("size", size);
  }

  /**
   * Returns faults over size.
   *
   * @return zero or positive, per unit of the size
   */
  public double rate() {
    return faults / size;
  }

  /**
   * Returns the exact interval of the rate, which never falls short of its confidence.
   *
   * <p>\[ G_{\alpha/2}(c) / a, \quad G_{1-\alpha/2}(c + 1) / a \]
   *
   * <p>with \( G_q(k) \) the quantile of the gamma distribution of shape \( k \), half that of a
   * chi-square with \( 2 k \) degrees of freedom.
   *
   * <p><b>Source:</b> F. Garwood, Biometrika 28 (1936) 437-442.
   *
   * @param confidence between 0 and 1, such as 0.95
   * @return two-sided, equal tails; the lower limit exactly 0 if no fault was counted
   * @throws IllegalArgumentException if the confidence lies outside
   */
  public Interval interval(double confidence) {
    double tail = (1 - Arguments.requireConfidence(confidence)) / 2;
    double lower = faults == 0 ? 0 : faults * ChiSquared.ratio(2.0 * faults, tail);
    double upper = (faults + 1.0) * ChiSquared.upperRatio(2 * (faults + 1.0), tail);
    return new Interval(lower / size, upper / size);
  }

  /**
   * Returns the exact one-sided upper limit of the rate; with no fault it is \( -\ln(1 - c) / a \),
   * about \( 3 / a \) at 95 %.
   *
   * @param confidence between 0 and 1
   * @return above the rate
   * @throws IllegalArgumentException if the confidence lies outside
   */
  public double upperLimit(double confidence) {
    Arguments.requireConfidence(confidence);
    return (faults + 1.0) * ChiSquared.ratio(2 * (faults + 1.0), confidence) / size;
  }
}
