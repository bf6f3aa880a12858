package org.tarebook.stats;

import java.math.BigDecimal;
import java.math.BigInteger;
import java.util.Arrays;
import java.util.List;
import java.util.Objects;
import org.apache.commons.numbers.fraction.BigFraction;
import org.jspecify.annotations.Nullable;

/**
 * Count, sum and sum of squares of readings, kept exactly.
 *
 * <p>With \( n \) readings \( x_i \) it holds \( n \), \( S = \sum x_i \) and \( Q = \sum x_i^2 \)
 * as integers over one common denominator. Adding, merging and converting units lose nothing, so
 * the order in which segments of a window are merged changes no digit of any figure. A figure is
 * rounded once, when it is asked for as a {@code double}.
 *
 * <p>Immutable. Two moments are equal when their counts and exact sums are.
 *
 * <p><b>Source:</b> elementary; held to the certified values of the NIST Statistical Reference
 * Datasets, univariate.
 */
public final class Moments {

  /** Decimals of a reading held in a {@code long}: one unit is 10<sup>9</sup> steps. */
  public static final int DECIMALS = 9;

  private static final int MAX_SCALE = 100;
  static final BigInteger NANOS_PER_UNIT = BigInteger.TEN.pow(DECIMALS);

  /** No reading at all: count 0, sum 0, sum of squares 0; mean and variance do not exist. */
  public static final Moments EMPTY =
      new Moments(0, BigInteger.ZERO, BigInteger.ZERO, NANOS_PER_UNIT);

  private final long count;
  private final BigInteger sum;
  private final BigInteger squares;
  private final BigInteger denominator;

  /** The sum is {@code sum / denominator}, the sum of squares {@code squares / denominator²}. */
  Moments(long count, BigInteger sum, BigInteger squares, BigInteger denominator) {
    this.count = count;
    this.sum = sum;
    this.squares = squares;
    this.denominator = denominator;
  }

  /**
   * Returns the moments of readings given in 10<sup>-9</sup> of the unit.
   *
   * @param nanos readings in 1e-9 of the unit, in any order, any length; not kept, not modified
   * @return their moments in the unit; {@link #EMPTY} for no reading
   */
  public static Moments of(long[] nanos) {
    return of(nanos, 0, nanos.length);
  }

  /**
   * Returns the moments of a part of an array of readings.
   *
   * @param nanos readings in 1e-9 of the unit, in any order; not kept, not modified
   * @param from first index taken, {@code 0 <= from <= to}
   * @param to first index no longer taken, {@code to <= nanos.length}
   * @return their moments in the unit; equal to {@link #EMPTY} when {@code from == to}
   * @throws IllegalArgumentException if the part does not lie inside the array
   */
  public static Moments of(long[] nanos, int from, int to) {
    return MomentsAccumulator.of(nanos, from, to).moments();
  }

  /**
   * Returns the moments of decimals.
   *
   * @param readings readings in one unit, in any order, each with at most 100 decimals
   * @return their moments in that unit; equal to {@link #EMPTY} for no reading
   * @throws IllegalArgumentException if a reading has more decimals or more trailing zeros than
   *     that; the message names its place
   */
  public static Moments ofDecimals(BigDecimal... readings) {
    return of(Arrays.asList(readings));
  }

  /**
   * Returns the moments of decimals.
   *
   * @param readings readings in one unit, in any order, each with at most 100 decimals; not kept
   * @return their moments in that unit; equal to {@link #EMPTY} for an empty list
   * @throws IllegalArgumentException if a reading has more decimals or more trailing zeros than
   *     that; the message names its place
   */
  public static Moments of(List<BigDecimal> readings) {
    int scale = DECIMALS;
    for (int i = 0; i < readings.size(); i++) {
      int own = readings.get(i).scale();
      if (own > MAX_SCALE || own < -MAX_SCALE) {
        throw new IllegalArgumentException(
            "reading %d has %d decimals, at most %d are taken".formatted(i, own, MAX_SCALE));
      }
      scale = Math.max(scale, own);
    }
    BigInteger sum = BigInteger.ZERO;
    BigInteger squares = BigInteger.ZERO;
    for (BigDecimal reading : readings) {
      BigInteger steps = reading.setScale(scale).unscaledValue();
      sum = sum.add(steps);
      squares = squares.add(steps.multiply(steps));
    }
    return new Moments(readings.size(), sum, squares, BigInteger.TEN.pow(scale));
  }

  /**
   * Returns moments from sums kept before.
   *
   * @param count \( n \), 0 or more
   * @param sum \( S \), as {@link #sum()} tells it
   * @param squares \( Q \), as {@link #sumOfSquares()} tells it
   * @return the moments that have these
   * @throws IllegalArgumentException if the count is negative
   */
  public static Moments ofSums(long count, BigFraction sum, BigFraction squares) {
    if (count < 0) {
      throw new IllegalArgumentException("count is negative: " + count);
    }
    BigInteger shared = sum.getDenominator().gcd(squares.getDenominator());
    BigInteger common = sum.getDenominator().divide(shared).multiply(squares.getDenominator());
    return new Moments(
        count,
        sum.multiply(common).getNumerator(),
        squares.multiply(common).multiply(common).getNumerator(),
        common);
  }

  /**
   * Returns how many readings went in, \( n \).
   *
   * @return 0 or more
   */
  public long count() {
    return count;
  }

  /**
   * Returns the exact sum \( S \).
   *
   * @return in the unit of the readings; 0 for no reading
   */
  public BigFraction sum() {
    return BigFraction.of(sum, denominator);
  }

  /**
   * Returns the exact sum of squares \( Q \), about zero.
   *
   * @return in the unit of the readings, squared; 0 for no reading
   */
  public BigFraction sumOfSquares() {
    return BigFraction.of(squares, denominator.multiply(denominator));
  }

  /**
   * Returns the exact mean \( S / n \).
   *
   * @return in the unit of the readings
   * @throws IllegalStateException if there is no reading
   */
  public BigFraction exactMean() {
    requireCount(1, "mean");
    return BigFraction.of(sum, denominator.multiply(BigInteger.valueOf(count)));
  }

  /**
   * Returns the exact sum of squared deviations from the mean, \( Q - S^2 / n \).
   *
   * <ul>
   *   <li>No reading, one reading or equal readings: exactly 0.
   * </ul>
   *
   * @return in the unit of the readings, squared; never negative
   */
  public BigFraction exactSquaredDeviations() {
    if (count == 0) {
      return BigFraction.ZERO;
    }
    return BigFraction.of(scaledDeviations(), deviationsDenominator());
  }

  /** Adds the squared deviations from the mean, without reducing the fraction first. */
  void addSquaredDeviationsTo(ExactSum total) {
    if (count > 0) {
      total.add(scaledDeviations(), deviationsDenominator());
    }
  }

  /**
   * Returns the exact variance \( (Q - S^2 / n) / (n - 1) \).
   *
   * @return in the unit of the readings, squared; never negative, 0 exactly when all are equal
   * @throws IllegalStateException if there are fewer than two readings
   */
  public BigFraction exactVariance() {
    requireCount(2, "variance");
    return BigFraction.of(scaledDeviations(), varianceDenominator());
  }

  /**
   * Returns the mean \( \bar x = S / n \), rounded once.
   *
   * <p><b>Accuracy:</b> the double nearest to the exact mean.
   *
   * @return in the unit of the readings
   * @throws IllegalStateException if there is no reading
   */
  public double mean() {
    requireCount(1, "mean");
    return ExactRounding.quotient(sum, denominator.multiply(BigInteger.valueOf(count)));
  }

  /**
   * Returns the sample variance \( s^2 = (Q - S^2 / n) / (n - 1) \), rounded once.
   *
   * <p><b>Accuracy:</b> the double nearest to the exact variance.
   *
   * @return in the unit of the readings, squared; never negative
   * @throws IllegalStateException if there are fewer than two readings
   */
  public double variance() {
    requireCount(2, "variance");
    return ExactRounding.quotient(scaledDeviations(), varianceDenominator());
  }

  /**
   * Returns the sample standard deviation \( s \), the root of the variance with divisor \( n - 1
   * \), rounded once.
   *
   * <p><b>Accuracy:</b> the double nearest to the root of the exact variance.
   *
   * @return in the unit of the readings; never negative
   * @throws IllegalStateException if there are fewer than two readings
   */
  public double sd() {
    requireCount(2, "variance");
    return ExactRounding.root(scaledDeviations(), varianceDenominator());
  }

  /**
   * Returns the moments of both sets of readings together.
   *
   * @param other moments in the same unit
   * @return exact; the same whichever way round and in whatever order sets are merged
   */
  public Moments plus(Moments other) {
    if (denominator.equals(other.denominator)) {
      return new Moments(
          Math.addExact(count, other.count),
          sum.add(other.sum),
          squares.add(other.squares),
          denominator);
    }
    BigInteger shared = denominator.gcd(other.denominator);
    BigInteger common = denominator.divide(shared).multiply(other.denominator);
    BigInteger mine = common.divide(denominator);
    BigInteger theirs = common.divide(other.denominator);
    return new Moments(
        Math.addExact(count, other.count),
        sum.multiply(mine).add(other.sum.multiply(theirs)),
        squares.multiply(mine.pow(2)).add(other.squares.multiply(theirs.pow(2))),
        common);
  }

  /**
   * Returns the moments that the readings would have in another unit, \( x' = f x + o \).
   *
   * <p>\[ S' = f S + n o, \qquad Q' = f^2 Q + 2 f o S + n o^2 \]
   *
   * @param factor \( f \), new units per old unit; negative and zero are allowed
   * @param offset \( o \), in the new unit
   * @return exact, in the new unit
   */
  public Moments affine(BigFraction factor, BigFraction offset) {
    BigInteger scaled = denominator.multiply(factor.getDenominator());
    BigInteger shared = scaled.gcd(offset.getDenominator());
    BigInteger common = scaled.divide(shared).multiply(offset.getDenominator());
    // Over the common denominator every reading X becomes a X + b, in integers.
    BigInteger a = factor.getNumerator().multiply(common.divide(scaled));
    BigInteger b = offset.getNumerator().multiply(common.divide(offset.getDenominator()));
    BigInteger n = BigInteger.valueOf(count);
    BigInteger cross = a.multiply(b).multiply(sum).shiftLeft(1);
    return new Moments(
        count,
        a.multiply(sum).add(b.multiply(n)),
        a.multiply(a).multiply(squares).add(cross).add(b.multiply(b).multiply(n)),
        common);
  }

  /** Returns \( n Q - S^2 \) over the denominator squared: never negative, by Cauchy. */
  private BigInteger scaledDeviations() {
    return squares.multiply(BigInteger.valueOf(count)).subtract(sum.multiply(sum));
  }

  private BigInteger deviationsDenominator() {
    return BigInteger.valueOf(count).multiply(denominator).multiply(denominator);
  }

  private BigInteger varianceDenominator() {
    return deviationsDenominator().multiply(BigInteger.valueOf(count - 1));
  }

  private void requireCount(int least, String figure) {
    if (count < least) {
      throw new IllegalStateException(
          "%d reading(s) have no %s, it takes %d".formatted(count, figure, least));
    }
  }

  @Override
  public boolean equals(@Nullable Object other) {
    return other instanceof Moments that
        && count == that.count
        && sum().equals(that.sum())
        && sumOfSquares().equals(that.sumOfSquares());
  }

  @Override
  public int hashCode() {
    return Objects.hash(count, sum(), sumOfSquares());
  }

  @Override
  public String toString() {
    return "Moments[count=%d, sum=%s, sumOfSquares=%s]".formatted(count, sum(), sumOfSquares());
  }
}
