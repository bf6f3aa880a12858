package org.tarebook.stats;

import org.apache.commons.statistics.distribution.ChiSquaredDistribution;
import org.apache.commons.statistics.distribution.NormalDistribution;

/**
 * Quantiles of the chi-square distribution, divided by its degrees of freedom, for any number of
 * degrees: so the ratio of a variance to its estimate.
 *
 * <p>From a million degrees on by the expansion of Cornish and Fisher, with \( w = \sqrt{2 / \nu}
 * \) and \( z \) the quantile of the normal distribution:
 *
 * <p>\[ \frac{\chi^2_{\nu, p}}{\nu} = 1 + w z + w^2 \frac{z^2 - 1}{3} + w^3 \frac{z^3 - 7 z}{36} -
 * w^4 \frac{3 z^4 + 7 z^2 - 16}{810} + w^5 \frac{9 z^5 + 256 z^3 - 433 z}{38880} + \dots \]
 *
 * <p>A search for the root of the distribution function finds no place there: from some \( 10^{13}
 * \) degrees on, neighbouring doubles are farther apart than its tolerance.
 *
 * <p><b>Accuracy:</b> relative error below 1e-12 for probabilities from 0.0005 to 0.9995, from a
 * million degrees on below 1e-14.
 *
 * <p><b>Source:</b> H. Goldberg and H. Levine, Annals of Mathematical Statistics 17 (1946) 216-225.
 */
public final class ChiSquared {

  private static final double MANY = 1e6;
  private static final NormalDistribution NORMAL = NormalDistribution.of(0, 1);

  private ChiSquared() {}

  /**
   * Returns the quantile over the degrees of freedom.
   *
   * @param degrees \( \nu \), positive; may be infinite
   * @param probability that lies below, between 0 and 1, exclusive
   */
  public static double ratio(double degrees, double probability) {
    return degrees < MANY
        ? ChiSquaredDistribution.of(degrees).inverseCumulativeProbability(probability) / degrees
        : expanded(degrees, NORMAL.inverseCumulativeProbability(probability));
  }

  /**
   * Returns the quantile over the degrees of freedom.
   *
   * @param degrees \( \nu \), positive; may be infinite
   * @param tail the probability that lies above, between 0 and 1, exclusive
   */
  public static double upperRatio(double degrees, double tail) {
    return degrees < MANY
        ? ChiSquaredDistribution.of(degrees).inverseSurvivalProbability(tail) / degrees
        : expanded(degrees, NORMAL.inverseSurvivalProbability(tail));
  }

  private static double expanded(double degrees, double z) {
    double w = Math.sqrt(2 / degrees);
    double z2 = z * z;
    double fifth = z * ((9 * z2 + 256) * z2 - 433) / 38_880;
    double fourth = -((3 * z2 + 7) * z2 - 16) / 810;
    double third = z * (z2 - 7) / 36;
    double second = (z2 - 1) / 3;
    return 1 + w * (z + w * (second + w * (third + w * (fourth + w * fifth))));
  }
}
