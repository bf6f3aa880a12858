package org.tarebook.stats;

import java.math.BigInteger;
import org.apache.commons.numbers.fraction.BigFraction;

/**
 * Adds readings one by one, without an object per reading.
 *
 * <p>The sum is kept in 128 bits and the sum of squares in 192, which no number of {@code long}
 * readings below 2<sup>63</sup> can overflow. Not thread safe.
 */
public final class MomentsAccumulator {

  private long count;
  private long least = Long.MAX_VALUE;
  private long greatest = Long.MIN_VALUE;
  private long sumHigh;
  private long sumLow;
  private long squareHigh;
  private long squareMiddle;
  private long squareLow;

  /** Creates an accumulator that holds no reading. */
  public MomentsAccumulator() {}

  static MomentsAccumulator of(long[] nanos, int from, int to) {
    if (from < 0 || from > to || to > nanos.length) {
      throw new IllegalArgumentException(
          "part from %d to %d does not lie in an array of %d".formatted(from, to, nanos.length));
    }
    MomentsAccumulator accumulator = new MomentsAccumulator();
    for (int i = from; i < to; i++) {
      accumulator.add(nanos[i]);
    }
    return accumulator;
  }

  /**
   * Adds one reading.
   *
   * @param nanos the reading in 1e-9 of the unit; any {@code long}
   * @return this accumulator
   */
  public MomentsAccumulator add(long nanos) {
    count++;
    least = Math.min(least, nanos);
    greatest = Math.max(greatest, nanos);

    long low = sumLow + nanos;
    sumHigh += (nanos >> 63) + carry(low, sumLow);
    sumLow = low;

    long squared = squareLow + nanos * nanos;
    long carried = carry(squared, squareLow);
    squareLow = squared;
    // The high half of a square is at most 2^62, so adding the carry to it cannot overflow.
    long middle = squareMiddle + Math.multiplyHigh(nanos, nanos) + carried;
    squareHigh += carry(middle, squareMiddle);
    squareMiddle = middle;
    return this;
  }

  /** Returns 1 if the unsigned sum is smaller than a part of it, so that it has wrapped. */
  private static long carry(long total, long part) {
    return Long.compareUnsigned(total, part) < 0 ? 1 : 0;
  }

  /**
   * Returns how many readings were added.
   *
   * @return 0 or more
   */
  public long count() {
    return count;
  }

  /**
   * Returns the least reading.
   *
   * @return in 1e-9 of the unit
   * @throws IllegalStateException if none was added
   */
  public long least() {
    requireAny("least");
    return least;
  }

  /**
   * Returns the greatest reading.
   *
   * @return in 1e-9 of the unit
   * @throws IllegalStateException if none was added
   */
  public long greatest() {
    requireAny("greatest");
    return greatest;
  }

  /**
   * Returns the range, greatest minus least reading.
   *
   * @return exact, in the unit of the readings; 0 for one reading
   * @throws IllegalStateException if none was added
   */
  public BigFraction range() {
    BigInteger nanos = BigInteger.valueOf(greatest()).subtract(BigInteger.valueOf(least()));
    return BigFraction.of(nanos, Moments.NANOS_PER_UNIT);
  }

  /**
   * Returns the moments of all readings added so far.
   *
   * @return in the unit of the readings; equal to {@link Moments#EMPTY} if none was added
   */
  public Moments moments() {
    BigInteger sum = BigInteger.valueOf(sumHigh).shiftLeft(64).add(unsigned(sumLow));
    BigInteger squares =
        BigInteger.valueOf(squareHigh)
            .shiftLeft(64)
            .add(unsigned(squareMiddle))
            .shiftLeft(64)
            .add(unsigned(squareLow));
    return new Moments(count, sum, squares, Moments.NANOS_PER_UNIT);
  }

  private void requireAny(String figure) {
    if (count == 0) {
      throw new IllegalStateException("no reading was added, so there is no " + figure);
    }
  }

  private static BigInteger unsigned(long bits) {
    BigInteger value = BigInteger.valueOf(bits & Long.MAX_VALUE);
    return bits < 0 ? value.setBit(63) : value;
  }
}
