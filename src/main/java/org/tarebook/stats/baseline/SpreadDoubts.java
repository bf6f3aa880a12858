package org.tarebook.stats.baseline;

import java.math.BigDecimal;
import java.util.List;
import java.util.Optional;
import org.apache.commons.statistics.distribution.FDistribution;
import org.tarebook.stats.Arguments;
import org.tarebook.stats.Autocorrelation;
import org.tarebook.stats.OneWayAnova;
import org.tarebook.stats.SigmaEstimate;
import org.tarebook.stats.SubgroupSums;

/** Doubts whether a baseline can give a sigma: too short, too coarse, dependent or wrongly cut. */
public final class SpreadDoubts {

  private SpreadDoubts() {}

  /**
   * Returns how well sigma is known, \( 1 / \sqrt{2 \nu} \): 9 % for 20 subgroups of 4.
   *
   * <p>An approximation, good to a tenth of itself from 5 degrees of freedom.
   *
   * @param sigma the estimate with its degrees of freedom
   * @param bound the largest relative error accepted, positive, such as 0.1
   * @return raised if sigma is known less well
   * @throws IllegalArgumentException if the bound is not positive
   */
  public static Doubt fewSubgroups(SigmaEstimate sigma, double bound) {
    Arguments.requirePositive("bound", bound);
    double error = 1 / Math.sqrt(2 * sigma.degreesOfFreedom());
    return Doubt.above(Doubt.Kind.FEW_SUBGROUPS, error, bound);
  }

  /**
   * Returns the instrument's interval over sigma, held against 1. Rounding adds a variance of the
   * interval squared over 12, 4 % of sigma at the bound, and makes ranges take few values.
   *
   * <p><b>Source:</b> as {@link org.tarebook.stats.Resolution}.
   *
   * @param interval step of the instrument, positive
   * @param sigma estimate, positive, in the same unit
   * @return raised if the interval is larger than sigma
   * @throws IllegalArgumentException if an argument lies outside
   */
  public static Doubt coarse(double interval, double sigma) {
    double ratio =
        Arguments.requirePositive("interval", interval) / Arguments.requirePositive("sigma", sigma);
    return Doubt.above(Doubt.Kind.COARSE_INSTRUMENT, ratio, 1);
  }

  /**
   * Returns how closely readings follow each other, held against what chance allows. {@link
   * Autocorrelation#movingRangeBias} says what it does to the sigma of moving ranges.
   *
   * @param readings in time order
   * @param confidence between 0 and 1, such as 0.95
   * @return the doubt; empty for fewer than two readings and when nothing varied
   * @throws IllegalArgumentException if the confidence lies outside
   */
  public static Optional<Doubt> following(List<BigDecimal> readings, double confidence) {
    return Autocorrelation.of(readings)
        .map(
            found ->
                Doubt.above(
                    Doubt.Kind.READINGS_FOLLOW_EACH_OTHER,
                    Math.abs(found.lag1()),
                    found.chanceReach(confidence)));
  }

  /**
   * Returns the chance of so large differences between streams (dies, cavities, stations) that
   * always stand at the same place inside a subgroup.
   *
   * <p>With subgroups as rows and streams as columns, \( F \) is the mean square between columns
   * over what rows and columns leave. If streams differ, the spread inside a subgroup is not that
   * of the process, and limits from it are too wide.
   *
   * @param rows at least 2 subgroups of one size of at least 2, in one unit; not kept
   * @param bound chance below which to warn, such as 0.01
   * @return the doubt; empty when rows and columns leave nothing
   * @throws IllegalArgumentException if sizes differ or are too small, a reading is not finite or
   *     the bound lies outside
   */
  public static Optional<Doubt> streamsMixed(double[][] rows, double bound) {
    Arguments.requireAtLeast("number of subgroups", rows.length, 2);
    int n = rows[0].length;
    double all = 0;
    double[] rowMeans = new double[rows.length];
    double[] columnMeans = new double[n];
    for (int i = 0; i < rows.length; i++) {
      Arguments.requireSeries("subgroup " + i + " reading", rows[i], 2);
      if (rows[i].length != n) {
        throw new IllegalArgumentException(
            "subgroup %d has %d readings, subgroup 0 has %d".formatted(i, rows[i].length, n));
      }
      for (int j = 0; j < n; j++) {
        // Against the first reading, so that a large common value costs no digits.
        double value = rows[i][j] - rows[0][0];
        rowMeans[i] += value / n;
        columnMeans[j] += value / rows.length;
        all += value / n / rows.length;
      }
    }
    double between = 0;
    double rest = 0;
    for (int j = 0; j < n; j++) {
      double off = columnMeans[j] - all;
      between += rows.length * off * off;
      for (int i = 0; i < rows.length; i++) {
        double left = rows[i][j] - rows[0][0] - rowMeans[i] - columnMeans[j] + all;
        rest += left * left;
      }
    }
    if (rest == 0) {
      return Optional.empty();
    }
    double degrees = (rows.length - 1.0) * (n - 1);
    double f = between / (n - 1) / (rest / degrees);
    double p = FDistribution.of(n - 1, degrees).survivalProbability(f);
    return Optional.of(Doubt.chance(Doubt.Kind.STREAMS_MIXED_IN_SUBGROUP, p, bound));
  }

  /**
   * Returns the chance of subgroup means that agree so well with each other: \( P(F \le f) \) of
   * the one-way comparison of subgroups. Means hug the centre when each subgroup mixes streams, or
   * when readings were made up.
   *
   * @param subgroups in one unit
   * @param bound chance below which to warn, such as 0.01
   * @return the doubt; empty when {@link OneWayAnova} is
   * @throws IllegalArgumentException if the bound lies outside
   */
  public static Optional<Doubt> tooAlike(SubgroupSums subgroups, double bound) {
    return OneWayAnova.of(subgroups)
        .map(
            anova ->
                Doubt.chance(
                    Doubt.Kind.SUBGROUPS_TOO_ALIKE,
                    FDistribution.of(
                            (double) anova.degreesBetween(), (double) anova.degreesWithin())
                        .cumulativeProbability(anova.f()),
                    bound));
  }
}
