package org.tarebook.stats;

import java.math.BigInteger;
import java.util.Arrays;
import java.util.Optional;
import java.util.stream.LongStream;
import org.jspecify.annotations.Nullable;

/**
 * Readings as the values shown, in whole 10<sup>-9</sup> of the unit, and how often each was shown.
 * Exact: adding those of the parts of a window gives that of the window, whatever the parts.
 *
 * <p>Immutable. Two are equal when they hold the same readings.
 */
public final class CountedNanos {

  /** No reading at all. */
  public static final CountedNanos EMPTY = new CountedNanos(new long[0], new long[0]);

  private final long[] nanos;
  private final long[] counts;

  private CountedNanos(long[] nanos, long[] counts) {
    this.nanos = nanos;
    this.counts = counts;
  }

  /** The step of a last decimal, in 1e-9 of the unit; of 0 to 9 decimals. */
  public static long ofDecimal(int decimals) {
    return LongStream.range(decimals, 9).reduce(1, (step, place) -> 10 * step);
  }

  /** What is done with each value and its count. */
  @FunctionalInterface
  public interface Visitor {
    /** Takes a value in 1e-9 of the unit and how often it occurs, 1 or more. */
    void visit(long nanos, long count);
  }

  /**
   * Counts readings.
   *
   * @param readings in 1e-9 of the unit, in any order; not kept
   */
  public static CountedNanos of(long... readings) {
    long[] sorted = readings.clone();
    Arrays.sort(sorted);
    long[] nanos = new long[sorted.length];
    long[] counts = new long[sorted.length];
    int distinct = 0;
    for (long each : sorted) {
      if (distinct == 0 || nanos[distinct - 1] != each) {
        nanos[distinct++] = each;
      }
      counts[distinct - 1]++;
    }
    return new CountedNanos(Arrays.copyOf(nanos, distinct), Arrays.copyOf(counts, distinct));
  }

  /**
   * Takes values and counts.
   *
   * @param nanos values in 1e-9 of the unit, ascending; not kept
   * @param counts how often each occurs, 1 or more; not kept
   * @throws IllegalArgumentException if the lengths differ, values do not ascend or a count is not
   *     positive
   */
  public static CountedNanos of(long[] nanos, long[] counts) {
    if (nanos.length != counts.length) {
      throw new IllegalArgumentException(
          "%d values with %d counts".formatted(nanos.length, counts.length));
    }
    for (int i = 0; i < nanos.length; i++) {
      if (counts[i] < 1 || (i > 0 && nanos[i] <= nanos[i - 1])) {
        throw new IllegalArgumentException(
            "value %d, %d, occurs %d times or does not ascend".formatted(i, nanos[i], counts[i]));
      }
    }
    return new CountedNanos(nanos.clone(), counts.clone());
  }

  /** The readings of both. */
  public CountedNanos plus(CountedNanos other) {
    if (nanos.length == 0 || other.nanos.length == 0) {
      return nanos.length == 0 ? other : this;
    }
    long[] values = new long[nanos.length + other.nanos.length];
    long[] sums = new long[values.length];
    int i = 0;
    int j = 0;
    int n = 0;
    while (i < nanos.length || j < other.nanos.length) {
      boolean mine = j == other.nanos.length || (i < nanos.length && nanos[i] <= other.nanos[j]);
      boolean theirs = i == nanos.length || (j < other.nanos.length && other.nanos[j] <= nanos[i]);
      values[n] = mine ? nanos[i] : other.nanos[j];
      long sum = mine ? counts[i++] : 0;
      sums[n++] = theirs ? Math.addExact(sum, other.counts[j++]) : sum;
    }
    return new CountedNanos(Arrays.copyOf(values, n), Arrays.copyOf(sums, n));
  }

  /** How many readings there are. */
  public long count() {
    return Arrays.stream(counts).sum();
  }

  /** How many values differ. */
  public int distinct() {
    return nanos.length;
  }

  /** Shows every value with its count, ascending. */
  public void forEach(Visitor visitor) {
    for (int i = 0; i < nanos.length; i++) {
      visitor.visit(nanos[i], counts[i]);
    }
  }

  /**
   * The same readings counted in whole steps.
   *
   * @param step in 1e-9 of the unit, 1 or more
   * @return values as numbers of steps; empty where a reading lies between two steps
   */
  public Optional<CountedNanos> inSteps(long step) {
    if (Arrays.stream(nanos).anyMatch(value -> value % step != 0)) {
      return Optional.empty();
    }
    return Optional.of(
        new CountedNanos(Arrays.stream(nanos).map(value -> value / step).toArray(), counts));
  }

  /** Count, sum and sum of squares, exact, in the unit; {@link Moments#EMPTY} without a reading. */
  public Moments moments() {
    BigInteger sum = BigInteger.ZERO;
    BigInteger squares = BigInteger.ZERO;
    for (int i = 0; i < nanos.length; i++) {
      BigInteger value = BigInteger.valueOf(nanos[i]);
      BigInteger together = value.multiply(BigInteger.valueOf(counts[i]));
      sum = sum.add(together);
      squares = squares.add(together.multiply(value));
    }
    return new Moments(count(), sum, squares, Moments.NANOS_PER_UNIT);
  }

  @Override
  public boolean equals(@Nullable Object other) {
    return other instanceof CountedNanos that
        && Arrays.equals(nanos, that.nanos)
        && Arrays.equals(counts, that.counts);
  }

  @Override
  public int hashCode() {
    return 31 * Arrays.hashCode(nanos) + Arrays.hashCode(counts);
  }

  @Override
  public String toString() {
    return "CountedNanos[%d readings, %d values]".formatted(count(), distinct());
  }
}
