package org.tarebook.stats;

import java.math.BigDecimal;
import java.math.MathContext;
import java.util.Collection;
import java.util.Iterator;
import java.util.Optional;
import java.util.SortedMap;
import org.apache.commons.numbers.fraction.BigFraction;

/**
 * Estimates of sigma from subgroups, moving ranges or all readings together.
 *
 * <p>Sums are exact, so neither the order of subgroups nor the order in which windows are merged
 * changes a digit. An estimate is empty when there is nothing to estimate from (no subgroup of two,
 * no moving range); it is 0 when there is, and nothing varied.
 */
public final class Spread {

  /** \( Cov(|X_1 - X_2|, |X_2 - X_3|) / \sigma^2 \) of independent normal values. */
  private static final double NEIGHBOUR_COVARIANCE =
      4 / Math.PI * (Math.sqrt(3) / 2 + Math.PI / 12 - 1);

  /** \( Var(|X_1 - X_2|) / \sigma^2 \), which is \( d_3(2)^2 \). */
  private static final double MOVING_RANGE_VARIANCE = 2 - 4 / Math.PI;

  /** \( E(|X_1 - X_2|) / \sigma \), which is \( d_2(2) \). */
  private static final double MOVING_RANGE_MEAN = 2 / Math.sqrt(Math.PI);

  private Spread() {}

  /**
   * Returns the pooled within-subgroup sigma, without a bias correction.
   *
   * <p>\[ \hat\sigma^2 = \frac{\sum_i \sum_j (x_{ij} - \bar x_i)^2}{\sum_i (n_i - 1)}, \qquad \nu =
   * \sum_i (n_i - 1) \]
   *
   * <p>Sizes may differ; a subgroup of one reading adds nothing and is not counted.
   *
   * <p><b>Accuracy:</b> the double nearest to the exact figure.
   *
   * @param subgroups in any order, in one unit
   * @return sigma in the unit of the readings; empty without a subgroup of two
   */
  public static Optional<SigmaEstimate> pooled(Collection<Subgroup> subgroups) {
    ExactSum squaredDeviations = new ExactSum();
    long degrees = 0;
    long used = 0;
    for (Subgroup subgroup : subgroups) {
      if (subgroup.count() > 1) {
        subgroup.moments().addSquaredDeviationsTo(squaredDeviations);
        degrees = Math.addExact(degrees, subgroup.count() - 1);
        used++;
      }
    }
    return pooled(squaredDeviations.total(), degrees, used);
  }

  /**
   * Returns the pooled within-subgroup sigma from sums that were already added up.
   *
   * @param squaredDeviations exact sum over all subgroups of the squared deviations from their own
   *     means, in the unit squared; zero or positive
   * @param degrees \( \sum (n_i - 1) \)
   * @param subgroups how many subgroups of two and more went in
   * @return as {@link #pooled(Collection)}; empty for no degrees of freedom
   * @throws IllegalArgumentException if an argument is negative
   */
  public static Optional<SigmaEstimate> pooled(
      BigFraction squaredDeviations, long degrees, long subgroups) {
    if (degrees < 0) {
      throw new IllegalArgumentException("degrees of freedom are negative: " + degrees);
    }
    if (degrees == 0) {
      return Optional.empty();
    }
    double sigma = ExactRounding.root(squaredDeviations.divide(degrees));
    return Optional.of(new SigmaEstimate(sigma, degrees, Estimator.POOLED, subgroups));
  }

  /**
   * Returns the mean range over \( d_2 \): \( \hat\sigma = \bar R / d_2(n) \).
   *
   * <p>The degrees of freedom are those of a chi-square with the relative variance \( d_3^2 / (k
   * d_2^2) \) of the mean of \( k \) ranges.
   *
   * @param subgroups {@code k} subgroups of one size {@code n}, 2 to {@value
   *     Factors#MAX_RANGE_SIZE}; in any order, in one unit
   * @return sigma in the unit of the readings; empty for no subgroup
   * @throws IllegalArgumentException if sizes differ or lie outside; the message names the place
   */
  public static Optional<SigmaEstimate> meanRange(Collection<Subgroup> subgroups) {
    if (subgroups.isEmpty()) {
      return Optional.empty();
    }
    ExactSum sum = new ExactSum();
    for (Subgroup subgroup : subgroups) {
      sum.add(subgroup.exactRange());
    }
    return meanRange(commonSize(subgroups), sum.total(), subgroups.size());
  }

  /**
   * Returns the mean range over \( d_2 \) from ranges that were already added up.
   *
   * @param n the one size of all subgroups, 2 to {@value Factors#MAX_RANGE_SIZE}
   * @param sumOfRanges exact, in the unit of the readings; zero or positive
   * @param subgroups {@code k}, how many ranges went in
   * @return as {@link #meanRange(Collection)}; empty for no subgroup
   * @throws IllegalArgumentException if {@code n} lies outside or another argument is negative
   */
  public static Optional<SigmaEstimate> meanRange(long n, BigFraction sumOfRanges, long subgroups) {
    double d2 = Factors.d2(n);
    if (subgroups == 0) {
      return Optional.empty();
    }
    double sigma = sumOfRanges.divide(subgroups).doubleValue() / d2;
    double relativeSd = Factors.d3(n) / d2;
    double degrees = ChiMean.degreesFor(relativeSd * relativeSd / subgroups);
    return Optional.of(new SigmaEstimate(sigma, degrees, Estimator.R_BAR, subgroups));
  }

  /**
   * Returns the mean standard deviation over \( c_4 \): \( \hat\sigma = \bar s / c_4(n) \).
   *
   * <p>The degrees of freedom are those of a chi-square with the relative variance \( (1 - c_4^2) /
   * (k c_4^2) \) of the mean of \( k \) standard deviations.
   *
   * <p><b>Accuracy:</b> each standard deviation is correctly rounded and their sum is exact.
   *
   * @param subgroups {@code k} subgroups of one size {@code n}, at least 2; in any order, in one
   *     unit
   * @return sigma in the unit of the readings; empty for no subgroup
   * @throws IllegalArgumentException if sizes differ or are below 2; the message names the place
   */
  public static Optional<SigmaEstimate> meanSd(Collection<Subgroup> subgroups) {
    if (subgroups.isEmpty()) {
      return Optional.empty();
    }
    long n = commonSize(subgroups);
    double unused = Factors.c4(n); // refuses single readings
    BigDecimal sum = BigDecimal.ZERO;
    for (Subgroup subgroup : subgroups) {
      sum = sum.add(new BigDecimal(subgroup.sd()));
    }
    return meanSd(n, sum, subgroups.size());
  }

  /**
   * Returns the same from a sum kept before.
   *
   * @param n size of every subgroup, at least 2
   * @param sumOfSds exact sum of the standard deviations, each rounded once
   * @param subgroups how many, zero or more
   * @return as {@link #meanSd(Collection)}; empty for no subgroup
   * @throws IllegalArgumentException if {@code n} lies outside
   */
  public static Optional<SigmaEstimate> meanSd(long n, BigDecimal sumOfSds, long subgroups) {
    double c4 = Factors.c4(n);
    if (subgroups == 0) {
      return Optional.empty();
    }
    double mean =
        sumOfSds.divide(BigDecimal.valueOf(subgroups), MathContext.DECIMAL128).doubleValue();
    double relativeSd = Factors.c5(n) / c4;
    double degrees = ChiMean.degreesFor(relativeSd * relativeSd / subgroups);
    return Optional.of(new SigmaEstimate(mean / c4, degrees, Estimator.S_BAR, subgroups));
  }

  /**
   * Returns sigma by the ranges of subgroups of several sizes, each weighted by how well it tells
   * sigma.
   *
   * <p>\[ \hat\sigma = \frac{\sum_i w_i R_i / d_2(n_i)}{\sum_i w_i}, \qquad w_i = \frac{d_2(n_i)^2}
   * {d_3(n_i)^2} \]
   *
   * <p>The estimate is unbiased for normal readings, and of all weightings of these ranges it
   * scatters least; its relative variance is \( 1 / \sum w_i \). Subgroups of one reading and of
   * more than {@value Factors#MAX_RANGE_SIZE} have no part in it and are not counted.
   *
   * <p><b>Accuracy:</b> 1e-14 of itself, given the factors.
   *
   * <p><b>Source:</b> I. W. Burr, Journal of Quality Technology 1 (1969) 163-167, from memory.
   *
   * @param sizes what the subgroups of each size come to
   * @return sigma in the unit of the readings; empty without a subgroup that has a part
   */
  public static Optional<SigmaEstimate> weightedRanges(SortedMap<Long, SubgroupSums.OfSize> sizes) {
    Weighted weighted = new Weighted();
    sizes
        .subMap(2L, Factors.MAX_RANGE_SIZE + 1L)
        .forEach(
            (n, each) ->
                weighted.add(
                    each.subgroups(),
                    each.ranges().divide(each.subgroups()).doubleValue(),
                    Factors.d2(n),
                    Factors.d3(n)));
    return weighted.estimate(Estimator.R_BAR);
  }

  /**
   * Returns sigma by the standard deviations of subgroups of several sizes, each weighted by how
   * well it tells sigma: as {@link #weightedRanges} with \( c_4 \) and \( \sqrt{1 - c_4^2} \) in
   * the place of \( d_2 \) and \( d_3 \), for any size from 2.
   *
   * @param sizes what the subgroups of each size come to
   * @return sigma in the unit of the readings; empty without a subgroup of two
   */
  public static Optional<SigmaEstimate> weightedSds(SortedMap<Long, SubgroupSums.OfSize> sizes) {
    Weighted weighted = new Weighted();
    sizes
        .tailMap(2L)
        .forEach(
            (n, each) ->
                weighted.add(
                    each.subgroups(),
                    each.sds()
                        .divide(BigDecimal.valueOf(each.subgroups()), MathContext.DECIMAL128)
                        .doubleValue(),
                    Factors.c4(n),
                    Factors.c5(n)));
    return weighted.estimate(Estimator.S_BAR);
  }

  /** Figures of spread of subgroups of several sizes, put together. */
  private static final class Weighted {
    private long subgroups;
    private double weights;
    private double sum;

    /**
     * Adds subgroups of one size.
     *
     * @param figure the mean of their figures
     * @param factor mean of a figure over sigma
     * @param scatter standard deviation of a figure over sigma
     */
    void add(long count, double figure, double factor, double scatter) {
      double weight = count * (factor / scatter) * (factor / scatter);
      subgroups += count;
      weights += weight;
      sum += weight * figure / factor;
    }

    Optional<SigmaEstimate> estimate(Estimator estimator) {
      return subgroups == 0
          ? Optional.empty()
          : Optional.of(
              new SigmaEstimate(
                  sum / weights, ChiMean.degreesFor(1 / weights), estimator, subgroups));
    }
  }

  /**
   * Returns the moments of the moving ranges \( |x_i - x_{i-1}| \) of single readings.
   *
   * @param nanos readings in 1e-9 of the unit, in time order, each of at most 18 digits
   * @return {@code nanos.length - 1} moving ranges, in the unit; none for fewer than two readings
   * @throws IllegalArgumentException if two neighbours lie so far apart that their difference does
   *     not fit a {@code long}, which 18 digits never do; the message names the place
   */
  public static Moments movingRanges(long[] nanos) {
    MomentsAccumulator accumulator = new MomentsAccumulator();
    for (int i = 1; i < nanos.length; i++) {
      try {
        accumulator.add(Math.absExact(Math.subtractExact(nanos[i], nanos[i - 1])));
      } catch (ArithmeticException e) {
        throw new IllegalArgumentException(
            "readings %d and %d lie too far apart: %d and %d"
                .formatted(i - 1, i, nanos[i - 1], nanos[i]),
            e);
      }
    }
    return accumulator.moments();
  }

  /**
   * Returns the mean moving range of two over \( d_2(2) = 2 / \sqrt\pi \).
   *
   * <p>The degrees of freedom are those of a chi-square with the relative variance of the mean of
   * \( k \) moving ranges from \( s \) unbroken series, neighbours in a series sharing a reading:
   *
   * <p>\[ \frac{Var(\overline{MR})}{E(\overline{MR})^2} = \frac{k (2 - 4/\pi) + 2 (k - s) c}{k^2
   * \cdot 4/\pi}, \qquad c = \frac{4}{\pi}\left(\frac{\sqrt 3}{2} + \frac{\pi}{12} - 1\right) \]
   *
   * <p><b>Source:</b> exact variance for independent normal readings, J. D. Cryer and T. P. Ryan,
   * Journal of Quality Technology 22 (1990) 187-192.
   *
   * @param movingRanges moments of the {@code k} moving ranges, see {@link #movingRanges}
   * @param series \( s \), how many unbroken series they come from, 1 to {@code k}
   * @return sigma in the unit of the readings; empty for no moving range
   * @throws IllegalArgumentException if {@code series} lies outside
   */
  public static Optional<SigmaEstimate> meanMovingRange(Moments movingRanges, long series) {
    long k = movingRanges.count();
    if (k == 0) {
      return Optional.empty();
    }
    double sigma = movingRanges.mean() / MOVING_RANGE_MEAN;
    double degrees = degreesOfMovingRanges(k, series);
    return Optional.of(new SigmaEstimate(sigma, degrees, Estimator.MOVING_RANGE, k));
  }

  /**
   * Returns the degrees of freedom of a mean moving range of two: those of a chi with the same
   * relative scatter. Neighbouring ranges share a reading, so each brings less than one.
   *
   * @param k moving ranges, at least 1
   * @param series unbroken series they come from, 1 to {@code k}
   * @return positive
   * @throws IllegalArgumentException if a number lies outside
   */
  public static double degreesOfMovingRanges(long k, long series) {
    if (series < 1 || series > k) {
      throw new IllegalArgumentException(
          "%d moving ranges cannot come from %d series".formatted(k, series));
    }
    double variance =
        (MOVING_RANGE_VARIANCE + 2 * NEIGHBOUR_COVARIANCE * ((double) (k - series) / k)) / k;
    return ChiMean.degreesFor(variance / (MOVING_RANGE_MEAN * MOVING_RANGE_MEAN));
  }

  /**
   * Returns the standard deviation of all readings together, divisor \( n - 1 \).
   *
   * @param moments of all readings
   * @return sigma in the unit of the readings, the double nearest to the exact figure; empty for
   *     fewer than two readings
   */
  public static Optional<SigmaEstimate> total(Moments moments) {
    if (moments.count() < 2) {
      return Optional.empty();
    }
    return Optional.of(new SigmaEstimate(moments.sd(), moments.count() - 1, Estimator.TOTAL, 1));
  }

  private static long commonSize(Collection<Subgroup> subgroups) {
    Iterator<Subgroup> each = subgroups.iterator();
    long n = each.next().count();
    for (int i = 1; each.hasNext(); i++) {
      long size = each.next().count();
      if (size != n) {
        throw new IllegalArgumentException(
            "subgroup %d has %d readings, subgroup 0 has %d: pool unequal subgroups instead"
                .formatted(i, size, n));
      }
    }
    return n;
  }
}
