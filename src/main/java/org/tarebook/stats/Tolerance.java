package org.tarebook.stats;

import org.jspecify.annotations.Nullable;

/**
 * What a characteristic may be: limits, of which at least one exists, and a target.
 *
 * @param lower lower specification limit, or null if the characteristic is not bounded below
 * @param upper upper specification limit, above {@code lower}, or null if not bounded above
 * @param target the target, or null if none is stated; need not be the middle
 */
public record Tolerance(@Nullable Double lower, @Nullable Double upper, @Nullable Double target) {

  /**
   * Checks the limits.
   *
   * @throws IllegalArgumentException if there is no limit, a figure is not finite, or the lower
   *     limit is not below the upper
   */
  public Tolerance {
    if (lower == null && upper == null) {
      throw new IllegalArgumentException(
          "a tolerance has a lower or an upper limit, this one none");
    }
    if (lower != null) {
      Arguments.requireFinite("lower limit", lower);
    }
    if (upper != null) {
      Arguments.requireFinite("upper limit", upper);
    }
    if (target != null) {
      Arguments.requireFinite("target", target);
    }
    if (lower != null && upper != null && !(lower < upper)) {
      throw new IllegalArgumentException(
          "lower limit %s is not below upper limit %s".formatted(lower, upper));
    }
  }

  /**
   * Returns a tolerance with both limits and no target.
   *
   * @param lower lower specification limit
   * @param upper upper specification limit, above {@code lower}
   * @return the tolerance
   * @throws IllegalArgumentException if a limit is not finite or they are out of order
   */
  public static Tolerance between(double lower, double upper) {
    return new Tolerance(lower, upper, null);
  }

  /**
   * Returns a tolerance with a lower limit only.
   *
   * @param lower lower specification limit
   * @return the tolerance
   * @throws IllegalArgumentException if the limit is not finite
   */
  public static Tolerance atLeast(double lower) {
    return new Tolerance(lower, null, null);
  }

  /**
   * Returns a tolerance with an upper limit only.
   *
   * @param upper upper specification limit
   * @return the tolerance
   * @throws IllegalArgumentException if the limit is not finite
   */
  public static Tolerance atMost(double upper) {
    return new Tolerance(null, upper, null);
  }
}
