package org.tarebook.stats;

import org.apache.commons.statistics.distribution.ChiSquaredDistribution;
import org.apache.commons.statistics.distribution.FDistribution;
import org.apache.commons.statistics.distribution.TDistribution;

/**
 * What the points of an unchanged process hardly go beyond, whose centre and sigma were estimated
 * from other points. Readings are normal and independent.
 *
 * <p><b>Accuracy:</b> the bounds of the farthest point and the largest spread hold with at least
 * the chance stated (Bonferroni's inequality over the points; each alone is exact for an
 * independent estimate whose square is a scaled chi-square). That of the mean square adds two
 * quantiles, of the scatter and of the centre's own error, and holds with at least the chance
 * stated less once that chance.
 */
public final class ChanceBounds {

  private ChanceBounds() {}

  /**
   * How far the farthest of some points lies from the centre.
   *
   * <p>\[ \sqrt{1 + 1/m} \; t_{\nu, 1 - \alpha / (2N)} \]
   *
   * <p><b>Source:</b> the prediction interval of a further normal value, W. Q. Meeker, G. J. Hahn
   * and L. A. Escobar, Statistical Intervals, 2nd edition, section 4.8; from memory.
   *
   * @param points \( N \), at least 1
   * @param baseline \( m \), points that the centre comes from, at least 1
   * @param degrees \( \nu \), degrees of freedom of sigma, positive
   * @param chance \( \alpha \), between 0 and 1
   * @return in sigmas of a point
   * @throws IllegalArgumentException if an argument lies outside
   */
  public static double farthest(long points, long baseline, double degrees, double chance) {
    double tail = requireChance(chance) / 2 / Arguments.requireAtLeast("points", points, 1);
    double wider = Math.sqrt(1 + 1.0 / Arguments.requireAtLeast("baseline", baseline, 1));
    Arguments.requirePositive("degrees of freedom", degrees);
    return wider * TDistribution.of(degrees).inverseSurvivalProbability(tail);
  }

  /**
   * How large the largest standard deviation of some subgroups is.
   *
   * <p>\[ \sqrt{F_{n - 1, \nu, 1 - \alpha / N}} \]
   *
   * @param size \( n \), readings of a subgroup, at least 2
   * @param points \( N \), at least 1
   * @param degrees \( \nu \), degrees of freedom of sigma, positive
   * @param chance \( \alpha \), between 0 and 1
   * @return in sigmas of a reading
   * @throws IllegalArgumentException if an argument lies outside
   */
  public static double largestSd(long size, long points, double degrees, double chance) {
    Arguments.requireAtLeast("size", size, 2);
    double tail = requireChance(chance) / Arguments.requireAtLeast("points", points, 1);
    Arguments.requirePositive("degrees of freedom", degrees);
    return Math.sqrt(FDistribution.of(size - 1.0, degrees).inverseSurvivalProbability(tail));
  }

  /**
   * How large the mean square of some points about the centre is.
   *
   * <p>\[ F_{k, \nu, 1 - \alpha} + \chi^2_{1, 1 - \alpha} / m \]
   *
   * @param points \( k \), at least 1
   * @param baseline \( m \), points that the centre comes from, at least 1
   * @param degrees \( \nu \), degrees of freedom of sigma, positive
   * @param chance \( \alpha \), between 0 and 1
   * @return in squares of the sigma of a point
   * @throws IllegalArgumentException if an argument lies outside
   */
  public static double meanSquare(long points, long baseline, double degrees, double chance) {
    Arguments.requireAtLeast("points", points, 1);
    Arguments.requireAtLeast("baseline", baseline, 1);
    Arguments.requirePositive("degrees of freedom", degrees);
    return FDistribution.of((double) points, degrees)
            .inverseSurvivalProbability(requireChance(chance))
        + ChiSquaredDistribution.of(1).inverseSurvivalProbability(chance) / baseline;
  }

  private static double requireChance(double chance) {
    return Arguments.requireConfidence(chance);
  }
}
