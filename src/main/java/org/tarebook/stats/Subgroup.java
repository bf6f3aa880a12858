package org.tarebook.stats;

import org.apache.commons.numbers.fraction.BigFraction;

/**
 * The readings of one chart point, as exact moments and range.
 *
 * <p>Order inside a subgroup does not matter. Figures are rounded once, when asked for.
 *
 * @param moments count, sum and sum of squares; at least one reading
 * @param exactRange greatest minus least reading, in the unit of the readings; 0 for one reading
 */
public record Subgroup(Moments moments, BigFraction exactRange) {

  /**
   * Checks that there is a reading and that the range is not negative.
   *
   * @throws IllegalArgumentException if not
   */
  public Subgroup {
    if (moments.count() < 1) {
      throw new IllegalArgumentException("a subgroup holds at least one reading, this one none");
    }
    if (exactRange.signum() < 0) {
      throw new IllegalArgumentException("range of a subgroup is negative: " + exactRange);
    }
  }

  /**
   * Returns the subgroup of all given readings.
   *
   * @param nanos at least one reading in 1e-9 of the unit, in any order; not kept
   * @return the subgroup, in the unit
   * @throws IllegalArgumentException if there is no reading
   */
  public static Subgroup of(long... nanos) {
    return of(nanos, 0, nanos.length);
  }

  /**
   * Returns the subgroup of a part of an array of readings.
   *
   * @param nanos readings in 1e-9 of the unit; not kept, not modified
   * @param from first index taken
   * @param to first index no longer taken, above {@code from}
   * @return the subgroup, in the unit
   * @throws IllegalArgumentException if the part is empty or does not lie inside the array
   */
  public static Subgroup of(long[] nanos, int from, int to) {
    MomentsAccumulator accumulator = MomentsAccumulator.of(nanos, from, to);
    if (accumulator.count() == 0) {
      throw new IllegalArgumentException("no reading from %d to %d".formatted(from, to));
    }
    return new Subgroup(accumulator.moments(), accumulator.range());
  }

  /**
   * Returns how many readings the subgroup has.
   *
   * @return \( n \), at least 1
   */
  public long count() {
    return moments.count();
  }

  /**
   * Returns the mean.
   *
   * @return the double nearest to the exact mean, in the unit of the readings
   */
  public double mean() {
    return moments.mean();
  }

  /**
   * Returns the range, greatest minus least reading.
   *
   * @return the double nearest to the exact range, in the unit of the readings; 0 for one reading
   */
  public double range() {
    return exactRange.doubleValue();
  }

  /**
   * Returns the sample standard deviation, divisor \( n - 1 \).
   *
   * @return the double nearest to the exact figure, in the unit of the readings; 0 for equal ones
   * @throws IllegalStateException if there is only one reading
   */
  public double sd() {
    return moments.sd();
  }
}
