package org.tarebook.stats;

/**
 * Two limits that hold an unknown figure with a stated confidence.
 *
 * @param lower the lower limit, at most {@code upper}
 * @param upper the upper limit
 */
public record Interval(double lower, double upper) {

  /**
   * Checks the order.
   *
   * @throws IllegalArgumentException if a limit is not a number or they are out of order
   */
  public Interval {
    if (!(lower <= upper)) {
      throw new IllegalArgumentException("interval from %s to %s".formatted(lower, upper));
    }
  }
}
