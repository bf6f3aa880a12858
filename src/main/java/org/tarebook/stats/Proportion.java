package org.tarebook.stats;

import org.apache.commons.statistics.distribution.BetaDistribution;
import org.apache.commons.statistics.distribution.NormalDistribution;

/**
 * Confidence intervals of a share, such as a reject rate.
 *
 * <p>All are two-sided with equal tails, dimensionless, inside 0 and 1; the lower limit is exactly
 * 0 when nothing was counted and the upper exactly 1 when everything was.
 */
public final class Proportion {

  private Proportion() {}

  /**
   * So many counted out of so many.
   *
   * @param counted \( x \), 0 to {@code total}
   * @param total \( n \), at least 1
   */
  public record Count(long counted, long total) {

    /**
     * Checks the numbers.
     *
     * @throws IllegalArgumentException if {@code total} is below 1 or {@code counted} lies outside
     */
    public Count {
      if (total < 1) {
        throw new IllegalArgumentException(
            "total is %d, a share takes at least 1".formatted(total));
      }
      if (counted < 0 || counted > total) {
        throw new IllegalArgumentException("counted %d out of %d".formatted(counted, total));
      }
    }

    /**
     * Returns the share {@code counted / total}.
     *
     * @return 0 to 1
     */
    public double share() {
      return (double) counted / (double) total;
    }
  }

  /**
   * Returns the score interval of E. B. Wilson, without continuity correction.
   *
   * <p>\[ \frac{\hat p + \frac{z^2}{2n} \pm z \sqrt{\frac{\hat p (1 - \hat p)}{n} +
   * \frac{z^2}{4n^2}}}{1 + z^2/n} \]
   *
   * <p>Holds the stated confidence on average over rates; for one rate it may fall short a little.
   *
   * <p><b>Source:</b> R. G. Newcombe, Statistics in Medicine 17 (1998) 857-872, method 3.
   *
   * @param count \( x \) out of \( n \)
   * @param confidence between 0 and 1, such as 0.95
   * @return the interval
   * @throws IllegalArgumentException if the confidence lies outside
   */
  public static Interval wilson(Count count, double confidence) {
    double tail = (1 - Arguments.requireConfidence(confidence)) / 2;
    double z = NormalDistribution.of(0, 1).inverseSurvivalProbability(tail);
    return score(count, (double) count.total(), z);
  }

  /**
   * Returns the exact interval of Clopper and Pearson, which never falls short of its confidence.
   *
   * <p>\[ B_{\alpha/2}(x, n - x + 1), \quad B_{1-\alpha/2}(x + 1, n - x) \]
   *
   * <p>with \( B_q \) the quantile of the beta distribution.
   *
   * <p><b>Source:</b> C. J. Clopper and E. S. Pearson, Biometrika 26 (1934) 404-413; NIST/SEMATECH
   * e-Handbook, section 7.2.4.1.
   *
   * @param count \( x \) out of \( n \)
   * @param confidence between 0 and 1, such as 0.95
   * @return the interval
   * @throws IllegalArgumentException if the confidence lies outside
   */
  public static Interval clopperPearson(Count count, double confidence) {
    return beta(count, confidence, 0, 1);
  }

  /**
   * Returns the equal-tailed interval of Jeffreys, with the usual ends of 0 and 1.
   *
   * <p>\[ B_{\alpha/2}(x + 1/2, n - x + 1/2), \quad B_{1-\alpha/2}(x + 1/2, n - x + 1/2) \]
   *
   * <p><b>Source:</b> L. D. Brown, T. T. Cai and A. DasGupta, Statistical Science 16 (2001)
   * 101-133.
   *
   * @param count \( x \) out of \( n \)
   * @param confidence between 0 and 1, such as 0.95
   * @return the interval
   * @throws IllegalArgumentException if the confidence lies outside
   */
  public static Interval jeffreys(Count count, double confidence) {
    return beta(count, confidence, 0.5, 0.5);
  }

  /**
   * Returns the exact one-sided upper limit of a share, \( B_c(x + 1, n - x) \); with nothing
   * counted it is \( 1 - (1 - c)^{1/n} \), about \( 3 / n \) at 95 %.
   *
   * @param count \( x \) out of \( n \)
   * @param confidence \( c \), one-sided, between 0 and 1
   * @return above the share; exactly 1 if everything was counted
   * @throws IllegalArgumentException if the confidence lies outside
   */
  public static double upperLimit(Count count, double confidence) {
    Arguments.requireConfidence(confidence);
    long x = count.counted();
    long rest = count.total() - x;
    if (x == 0) {
      return -Math.expm1(Math.log1p(-confidence) / count.total());
    }
    return rest == 0
        ? 1
        : BetaDistribution.of(x + 1.0, (double) rest).inverseCumulativeProbability(confidence);
  }

  /**
   * Returns the exact one-sided lower limit of a share, \( B_{1-c}(x, n - x + 1) \).
   *
   * @param count \( x \) out of \( n \)
   * @param confidence \( c \), one-sided, between 0 and 1
   * @return below the share; exactly 0 if nothing was counted
   * @throws IllegalArgumentException if the confidence lies outside
   */
  public static double lowerLimit(Count count, double confidence) {
    Arguments.requireConfidence(confidence);
    long x = count.counted();
    long rest = count.total() - x;
    if (rest == 0) {
      return Math.exp(Math.log1p(-confidence) / count.total());
    }
    return x == 0
        ? 0
        : BetaDistribution.of((double) x, rest + 1.0).inverseSurvivalProbability(confidence);
  }

  /**
   * Returns how many items without a single one counted it takes to say that a share is below a
   * bound.
   *
   * @param bound the share, between 0 and 1
   * @param confidence one-sided, between 0 and 1
   * @return the smallest \( n \) with \( (1 - p)^n \le 1 - c \)
   * @throws IllegalArgumentException if an argument lies outside
   */
  public static long itemsWithoutOne(double bound, double confidence) {
    Arguments.requireShare("bound", bound);
    Arguments.requireConfidence(confidence);
    double items = Math.log1p(-confidence) / Math.log1p(-bound);
    // A whole number may have come out a little above itself.
    double nearest = Math.rint(items);
    return (long) (Math.abs(items - nearest) < 1e-11 * items ? nearest : Math.ceil(items));
  }

  /**
   * Returns {@link #wilson} of a share that so many independent items would have given, a number
   * that need not be whole, such as {@link ClusteredShare#effectiveTotal}.
   *
   * @param share 0 to 1
   * @param total positive
   * @param confidence between 0 and 1, such as 0.95
   * @return the interval
   * @throws IllegalArgumentException if an argument lies outside
   */
  public static Interval wilson(double share, double total, double confidence) {
    double tail = (1 - Arguments.requireConfidence(confidence)) / 2;
    return score(
        requireIn(share),
        Arguments.requirePositive("total", total),
        NormalDistribution.of(0, 1).inverseSurvivalProbability(tail));
  }

  /**
   * Returns {@link #clopperPearson} of a share that so many independent items would have given, a
   * number that need not be whole.
   *
   * @param share 0 to 1
   * @param total positive
   * @param confidence between 0 and 1, such as 0.95
   * @return the interval
   * @throws IllegalArgumentException if an argument lies outside
   */
  public static Interval clopperPearson(double share, double total, double confidence) {
    return beta(requireIn(share), total, confidence, 0, 1);
  }

  /**
   * Returns {@link #jeffreys} of a share that so many independent items would have given, a number
   * that need not be whole.
   *
   * @param share 0 to 1
   * @param total positive
   * @param confidence between 0 and 1, such as 0.95
   * @return the interval
   * @throws IllegalArgumentException if an argument lies outside
   */
  public static Interval jeffreys(double share, double total, double confidence) {
    return beta(requireIn(share), total, confidence, 0.5, 0.5);
  }

  private static double requireIn(double share) {
    if (!(share >= 0 && share <= 1)) {
      throw new IllegalArgumentException("share is " + share + ", not between 0 and 1");
    }
    return share;
  }

  private static Interval beta(double share, double total, double confidence, double a, double b) {
    double tail = (1 - Arguments.requireConfidence(confidence)) / 2;
    double x = share * Arguments.requirePositive("total", total);
    double rest = total - x;
    double lower =
        share == 0 ? 0 : BetaDistribution.of(x + a, rest + b).inverseCumulativeProbability(tail);
    double upper =
        share == 1 ? 1 : BetaDistribution.of(x + b, rest + a).inverseSurvivalProbability(tail);
    return new Interval(lower, upper);
  }

  /** Beta quantiles; the shapes of the lower limit are x + a and n - x + b, then crosswise. */
  private static Interval beta(Count count, double confidence, double a, double b) {
    double tail = (1 - Arguments.requireConfidence(confidence)) / 2;
    long x = count.counted();
    long rest = count.total() - x;
    double lower =
        x == 0 ? 0 : BetaDistribution.of(x + a, rest + b).inverseCumulativeProbability(tail);
    double upper =
        rest == 0 ? 1 : BetaDistribution.of(x + b, rest + a).inverseSurvivalProbability(tail);
    return new Interval(lower, upper);
  }

  static Interval score(Count count, double effectiveTotal, double z) {
    return score(count.share(), effectiveTotal, z);
  }

  /** Wilson's interval of a share that so many items would have given; exact at 0 and 1. */
  static Interval score(double share, double effectiveTotal, double z) {
    double z2 = z * z / effectiveTotal;
    double middle = share + z2 / 2;
    double reach = Math.sqrt(z2 * (share * (1 - share) + z2 / 4));
    return new Interval(
        share == 0 ? 0 : Math.max(0, (middle - reach) / (1 + z2)),
        share == 1 ? 1 : Math.min(1, (middle + reach) / (1 + z2)));
  }
}
