package org.tarebook.stats.fit;

import org.tarebook.stats.CountedValues;

/**
 * How well a fitted distribution meets the readings where it matters for capability: in the tails.
 *
 * <p>At thousands of readings every test rejects every distribution; what counts is how far the
 * percentiles are off. Differences are fitted minus empirical percentile, over a sixth of the
 * fitted spread from 0.135 % to 99.865 %, which is sigma for a normal one.
 *
 * @param tail share beyond the percentiles compared: 0.135 %, or five readings if that is more
 * @param lower difference at the low percentile, in sigma
 * @param lowerError standard error of the empirical low percentile by the fit, in sigma
 * @param upper difference at the high percentile, in sigma
 * @param upperError standard error of the empirical high percentile by the fit, in sigma
 */
public record TailAgreement(
    double tail, double lower, double lowerError, double upper, double upperError) {

  /** Readings below which tails are not compared. */
  public static final int FEWEST = 20;

  /** Share beyond the percentiles that indices look at. */
  public static final double LEAST_TAIL = 0.00135;

  /** So many readings lie beyond the percentiles that are compared. */
  public static final double READINGS_BEYOND = 5;

  /**
   * Compares a fit with readings.
   *
   * <p><b>Source:</b> large-sample variance \( p (1 - p) / (n f(x_p)^2) \) of a percentile, H. A.
   * David and H. N. Nagaraja, Order Statistics, section 10.2.
   *
   * @param fit the distribution
   * @param x at least 20 readings, in any order; not kept
   * @return the differences
   * @throws IllegalArgumentException if there are fewer readings or one is not finite
   */
  public static TailAgreement of(FittedDistribution fit, double[] x) {
    return of(fit, CountedValues.of(x));
  }

  /** The same of counted readings; costs as much as the values that differ. */
  public static TailAgreement of(FittedDistribution fit, CountedValues x) {
    if (x.count() < FEWEST) {
      throw new IllegalArgumentException(
          "reading has %d values, it takes at least %d".formatted(x.count(), FEWEST));
    }
    EmpiricalPercentiles own = EmpiricalPercentiles.of(x);
    double tail = Math.max(LEAST_TAIL, READINGS_BEYOND / x.count());
    double unit = (fit.quantile(1 - LEAST_TAIL) - fit.quantile(LEAST_TAIL)) / 6;
    double low = fit.quantile(tail);
    double high = fit.quantile(1 - tail);
    double scatter = Math.sqrt(tail * (1 - tail) / x.count()) / unit;
    return new TailAgreement(
        tail,
        (low - own.quantile(tail)) / unit,
        scatter / fit.density(low),
        (high - own.quantile(1 - tail)) / unit,
        scatter / fit.density(high));
  }

  /**
   * Returns whether both tails agree.
   *
   * @param sigmas largest difference that does no harm, such as 0.25
   * @param errors largest difference in standard errors that chance may give, such as 3
   * @return true if each difference is within one of the two
   */
  public boolean within(double sigmas, double errors) {
    return Math.abs(lower) <= Math.max(sigmas, errors * lowerError)
        && Math.abs(upper) <= Math.max(sigmas, errors * upperError);
  }

  /**
   * Returns whether both tails agree within a quarter sigma, or three standard errors; common
   * practice.
   *
   * @return true if each difference is within one of the two
   */
  public boolean agree() {
    return within(0.25, 3);
  }
}
