package org.tarebook.stats;

import java.util.List;
import java.util.Optional;
import org.apache.commons.numbers.fraction.BigFraction;
import org.apache.commons.statistics.distribution.FDistribution;

/**
 * Whether the means of strata (dies, stations, cavities) differ by more than the spread inside them
 * explains: a sign that a chart mixes them.
 *
 * @param squaresBetween exact sum of squares between strata, in the unit squared
 * @param squaresWithin exact sum of squares inside strata, in the unit squared
 * @param degreesBetween strata less one
 * @param degreesWithin readings less strata
 * @param f the mean squares' ratio; positive or 0
 * @param p chance of an {@code f} at least this large if all strata had one mean
 */
public record OneWayAnova(
    BigFraction squaresBetween,
    BigFraction squaresWithin,
    long degreesBetween,
    long degreesWithin,
    double f,
    double p) {

  /**
   * Compares the means of strata.
   *
   * <p>\[ F = \frac{\sum_i n_i (\bar x_i - \bar x)^2 / (k - 1)}{\sum_i \sum_j (x_{ij} - \bar x_i)^2
   * / (N - k)} \]
   *
   * <p>Strata without a reading are left out. Order does not matter.
   *
   * <p><b>Accuracy:</b> {@code f} is the double nearest to the exact ratio.
   *
   * <p><b>Source:</b> elementary; held to the NIST Statistical Reference Datasets, analysis of
   * variance.
   *
   * @param strata moments of each, in one unit
   * @return the comparison; empty with fewer than two strata, with one reading in each, or when
   *     nothing varies inside any stratum
   */
  public static Optional<OneWayAnova> of(List<Moments> strata) {
    Moments all = Moments.EMPTY;
    ExactSum deviations = new ExactSum();
    long k = 0;
    for (Moments stratum : strata) {
      if (stratum.count() > 0) {
        all = all.plus(stratum);
        stratum.addSquaredDeviationsTo(deviations);
        k++;
      }
    }
    return of(k, all, deviations.total());
  }

  /**
   * Compares the means of subgroups from their sums.
   *
   * @return as {@link #of(List)}
   */
  public static Optional<OneWayAnova> of(SubgroupSums sums) {
    return of(sums.subgroups(), sums.readings(), sums.squaredDeviations());
  }

  private static Optional<OneWayAnova> of(long strata, Moments all, BigFraction within) {
    long degreesBetween = strata - 1;
    long degreesWithin = all.count() - strata;
    if (degreesBetween < 1 || degreesWithin < 1 || within.signum() == 0) {
      return Optional.empty();
    }
    BigFraction between = all.exactSquaredDeviations().subtract(within);
    BigFraction ratio = between.multiply(degreesWithin).divide(within.multiply(degreesBetween));
    double f = ratio.doubleValue();
    double p =
        FDistribution.of((double) degreesBetween, (double) degreesWithin).survivalProbability(f);
    return Optional.of(new OneWayAnova(between, within, degreesBetween, degreesWithin, f, p));
  }
}
