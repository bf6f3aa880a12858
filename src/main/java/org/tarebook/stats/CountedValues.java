package org.tarebook.stats;

import java.util.Arrays;
import java.util.Map;
import java.util.SortedMap;
import java.util.function.DoubleUnaryOperator;

/**
 * Readings as the values that occur and how often: what is left of readings when their order does
 * not matter. Instruments show steps, so a year of readings has some hundred values, and what is
 * computed from these costs the same for 10<sup>3</sup> readings as for 10<sup>7</sup>.
 *
 * <p>Immutable. Two are equal when they hold the same readings.
 */
public final class CountedValues {

  private final double[] values;
  private final long[] upTo;

  /** The values ascend and differ; {@code upTo[i]} readings are at most {@code values[i]}. */
  private CountedValues(double[] values, long[] upTo) {
    this.values = values;
    this.upTo = upTo;
  }

  /**
   * Counts readings.
   *
   * @param x in any order; not kept
   * @throws IllegalArgumentException if one is not finite; the message names its index
   */
  public static CountedValues of(double[] x) {
    double[] sorted = Arguments.requireSeries("reading", x, 0).clone();
    Arrays.sort(sorted);
    double[] values = new double[sorted.length];
    long[] upTo = new long[sorted.length];
    int distinct = 0;
    for (int i = 0; i < sorted.length; i++) {
      double value = sorted[i] + 0.0; // minus zero is zero
      if (distinct > 0 && values[distinct - 1] == value) {
        upTo[distinct - 1]++;
      } else {
        values[distinct] = value;
        upTo[distinct++] = i + 1L;
      }
    }
    return new CountedValues(Arrays.copyOf(values, distinct), Arrays.copyOf(upTo, distinct));
  }

  /**
   * Takes values with their counts.
   *
   * @param counts how often each value occurs, more than 0; not kept
   * @throws IllegalArgumentException if a value is not finite or a count not positive
   */
  public static CountedValues of(SortedMap<Double, Long> counts) {
    double[] values = new double[counts.size()];
    long[] upTo = new long[counts.size()];
    int i = 0;
    long all = 0;
    for (Map.Entry<Double, Long> each : counts.entrySet()) {
      if (each.getValue() < 1) {
        throw new IllegalArgumentException(
            "value %s occurs %d times".formatted(each.getKey(), each.getValue()));
      }
      values[i] = Arguments.requireFinite("value", each.getKey());
      all = Math.addExact(all, each.getValue());
      upTo[i++] = all;
    }
    return new CountedValues(values, upTo);
  }

  /** How many readings there are. */
  public long count() {
    return upTo.length == 0 ? 0 : upTo[upTo.length - 1];
  }

  /** How many values differ. */
  public int distinct() {
    return values.length;
  }

  /**
   * The value at a place, ascending.
   *
   * @param place from 0, below {@link #distinct()}
   */
  public double value(int place) {
    return values[place];
  }

  /**
   * How often the value at a place occurs.
   *
   * @param place from 0, below {@link #distinct()}
   */
  public long count(int place) {
    return upTo[place] - (place == 0 ? 0 : upTo[place - 1]);
  }

  /**
   * The reading of a rank.
   *
   * @param rank from 0 for the least, below {@link #count()}
   */
  public double ranked(long rank) {
    int found = Arrays.binarySearch(upTo, rank + 1);
    return values[found < 0 ? -found - 1 : found];
  }

  /** The least reading; there must be one. */
  public double least() {
    return values[0];
  }

  /** The greatest reading; there must be one. */
  public double greatest() {
    return values[values.length - 1];
  }

  /** The sum of a function over all readings, ascending. */
  public double sum(DoubleUnaryOperator function) {
    double sum = 0;
    for (int i = 0; i < values.length; i++) {
      sum += count(i) * function.applyAsDouble(values[i]);
    }
    return sum;
  }

  /**
   * The mean of a function over all readings, against its figure for the least one, so that a large
   * common value costs no digits. There must be a reading.
   */
  public double mean(DoubleUnaryOperator function) {
    double first = function.applyAsDouble(values[0]);
    return first + sum(value -> function.applyAsDouble(value) - first) / count();
  }

  @Override
  public boolean equals(@org.jspecify.annotations.Nullable Object other) {
    return other instanceof CountedValues that
        && Arrays.equals(values, that.values)
        && Arrays.equals(upTo, that.upTo);
  }

  @Override
  public int hashCode() {
    return 31 * Arrays.hashCode(values) + Arrays.hashCode(upTo);
  }

  @Override
  public String toString() {
    return "CountedValues[%d readings, %d values]".formatted(count(), distinct());
  }
}
