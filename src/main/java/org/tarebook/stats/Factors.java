package org.tarebook.stats;

import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;

/**
 * Factors that turn the spread of normal subgroups into sigma and into control limits.
 *
 * <p>Computed, not looked up: printed tables carry misprints and only three or four digits. All
 * factors are dimensionless, and all assume independent, normal readings (see the package).
 *
 * <p>{@code n} is the subgroup size. The factors that rest on the standard deviation take any size
 * from 2; those that rest on the range take 2 to {@value #MAX_RANGE_SIZE}.
 *
 * <p><b>Accuracy:</b> relative error below 1e-12 for {@code n <= 100}, held by a test against 20
 * digit values.
 *
 * <p><b>Source:</b> definitions as in ISO 7870-2 and NIST/SEMATECH e-Handbook, section 6.3.2.
 */
public final class Factors {

  /** The largest subgroup whose range factors are offered; far beyond any range chart in use. */
  public static final int MAX_RANGE_SIZE = 100;

  private static final Map<Integer, RangeMoments> RANGES = new ConcurrentHashMap<>();

  private Factors() {}

  /**
   * Returns the mean of \( s / \sigma \) over subgroups of {@code n}:
   *
   * <p>\[ c_4(n) = \sqrt{\frac{2}{n-1}}\; \frac{\Gamma(n/2)}{\Gamma((n-1)/2)} \]
   *
   * @param n subgroup size, at least 2
   * @return between 0.797 and 1
   * @throws IllegalArgumentException if {@code n} is below 2
   */
  public static double c4(long n) {
    return Math.exp(logC4(n));
  }

  /**
   * Returns the standard deviation of \( s / \sigma \), \( c_5(n) = \sqrt{1 - c_4(n)^2} \).
   *
   * @param n subgroup size, at least 2
   * @return between 0 and 0.603
   * @throws IllegalArgumentException if {@code n} is below 2
   */
  public static double c5(long n) {
    return Math.sqrt(-Math.expm1(2 * logC4(n)));
  }

  /**
   * Returns the mean of the range over sigma, \( d_2(n) = E(R) / \sigma \).
   *
   * @param n subgroup size, 2 to {@value #MAX_RANGE_SIZE}
   * @return between 1.128 and 5.02
   * @throws IllegalArgumentException if {@code n} lies outside
   */
  public static double d2(long n) {
    return range(n).mean();
  }

  /**
   * Returns the standard deviation of the range over sigma, \( d_3(n) \).
   *
   * @param n subgroup size, 2 to {@value #MAX_RANGE_SIZE}
   * @return between 0.60 and 0.89
   * @throws IllegalArgumentException if {@code n} lies outside
   */
  public static double d3(long n) {
    return range(n).sd();
  }

  /**
   * Returns \( A_2 = 3 / (d_2 \sqrt n) \): limits for means lie at the centre ± \( A_2 \bar R \).
   *
   * @param n subgroup size, 2 to {@value #MAX_RANGE_SIZE}
   * @return positive
   * @throws IllegalArgumentException if {@code n} lies outside
   */
  public static double meanByRange(long n) {
    return 3 / (d2(n) * Math.sqrt((double) n));
  }

  /**
   * Returns \( A_3 = 3 / (c_4 \sqrt n) \): limits for means lie at the centre ± \( A_3 \bar s \).
   *
   * @param n subgroup size, at least 2
   * @return positive
   * @throws IllegalArgumentException if {@code n} is below 2
   */
  public static double meanBySd(long n) {
    return 3 / (c4(n) * Math.sqrt((double) n));
  }

  /**
   * Returns \( B_3 = \max(0, 1 - 3 c_5 / c_4) \): the lower limit of a standard deviation is \( B_3
   * \bar s \).
   *
   * @param n subgroup size, at least 2
   * @return 0 exactly for {@code n <= 5}, below 1
   * @throws IllegalArgumentException if {@code n} is below 2
   */
  public static double sdLower(long n) {
    return Math.max(0, 1 - 3 * c5(n) / c4(n));
  }

  /**
   * Returns \( B_4 = 1 + 3 c_5 / c_4 \): the upper limit of a standard deviation is \( B_4 \bar s
   * \).
   *
   * @param n subgroup size, at least 2
   * @return above 1
   * @throws IllegalArgumentException if {@code n} is below 2
   */
  public static double sdUpper(long n) {
    return 1 + 3 * c5(n) / c4(n);
  }

  /**
   * Returns \( D_3 = \max(0, 1 - 3 d_3 / d_2) \): the lower limit of a range is \( D_3 \bar R \).
   *
   * @param n subgroup size, 2 to {@value #MAX_RANGE_SIZE}
   * @return 0 exactly for {@code n <= 6}, below 1
   * @throws IllegalArgumentException if {@code n} lies outside
   */
  public static double rangeLower(long n) {
    return Math.max(0, 1 - 3 * d3(n) / d2(n));
  }

  /**
   * Returns \( D_4 = 1 + 3 d_3 / d_2 \): the upper limit of a range is \( D_4 \bar R \).
   *
   * @param n subgroup size, 2 to {@value #MAX_RANGE_SIZE}
   * @return above 1
   * @throws IllegalArgumentException if {@code n} lies outside
   */
  public static double rangeUpper(long n) {
    return 1 + 3 * d3(n) / d2(n);
  }

  /**
   * Returns \( E_2 = 3 / d_2 \): limits for single readings lie at the centre ± \( E_2 \) times the
   * mean range of {@code n} successive readings (2 for the usual moving range).
   *
   * @param n readings in one range, 2 to {@value #MAX_RANGE_SIZE}
   * @return positive
   * @throws IllegalArgumentException if {@code n} lies outside
   */
  public static double individualByRange(long n) {
    return 3 / d2(n);
  }

  private static double logC4(long n) {
    requireSize(n, Long.MAX_VALUE);
    return ChiMean.log((double) (n - 1));
  }

  private static RangeMoments range(long n) {
    requireSize(n, MAX_RANGE_SIZE);
    return RANGES.computeIfAbsent((int) n, RangeMoments::ofNormal);
  }

  private static void requireSize(long n, long most) {
    if (n < 2) {
      throw new IllegalArgumentException("subgroup size %d: factors start at 2".formatted(n));
    }
    if (n > most) {
      throw new IllegalArgumentException(
          "subgroup size %d: range factors end at %d, use the standard deviation"
              .formatted(n, most));
    }
  }
}
