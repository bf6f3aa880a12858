package org.tarebook.stats;

/** Refusals of figures that are not what a formula takes. NaN is always refused. */
public final class Arguments {

  private Arguments() {}

  /**
   * Returns a number that must be finite and neither NaN nor infinite.
   *
   * @param what its name, for the message
   * @param value the number
   * @return {@code value}
   * @throws IllegalArgumentException if it is not
   */
  public static double requireFinite(String what, double value) {
    if (!Double.isFinite(value)) {
      throw new IllegalArgumentException("%s is %s, must be finite".formatted(what, value));
    }
    return value;
  }

  /**
   * Returns a number that must be zero or positive and finite.
   *
   * @param what its name, for the message
   * @param value the number
   * @return {@code value}
   * @throws IllegalArgumentException if it is not
   */
  public static double requireNotNegative(String what, double value) {
    if (!(value >= 0 && value < Double.POSITIVE_INFINITY)) {
      throw new IllegalArgumentException(
          "%s is %s, must be zero or positive and finite".formatted(what, value));
    }
    return value;
  }

  /**
   * Returns a number that must be positive and finite.
   *
   * @param what its name, for the message
   * @param value the number
   * @return {@code value}
   * @throws IllegalArgumentException if it is not
   */
  public static double requirePositive(String what, double value) {
    if (!(value > 0 && value < Double.POSITIVE_INFINITY)) {
      throw new IllegalArgumentException(
          "%s is %s, must be positive and finite".formatted(what, value));
    }
    return value;
  }

  /**
   * Returns a confidence, which lies between 0 and 1.
   *
   * @param confidence such as 0.95
   * @return {@code confidence}
   * @throws IllegalArgumentException if it does not
   */
  public static double requireConfidence(double confidence) {
    if (!(confidence > 0 && confidence < 1)) {
      throw new IllegalArgumentException(
          "confidence is %s, must lie between 0 and 1, such as 0.95".formatted(confidence));
    }
    return confidence;
  }

  /**
   * Returns a share or chance that must lie between 0 and 1, exclusive.
   *
   * @param what its name, for the message
   * @param share the share
   * @return {@code share}
   * @throws IllegalArgumentException if it does not
   */
  public static double requireShare(String what, double share) {
    if (!(share > 0 && share < 1)) {
      throw new IllegalArgumentException(
          "%s is %s, must lie between 0 and 1".formatted(what, share));
    }
    return share;
  }

  /**
   * Returns a series of finite numbers that is long enough.
   *
   * @param what its name, for the message
   * @param values the series, not kept
   * @param least how many it takes
   * @return {@code values}
   * @throws IllegalArgumentException if it is shorter, or a value is not finite; the message names
   *     its index
   */
  public static double[] requireSeries(String what, double[] values, int least) {
    if (values.length < least) {
      throw new IllegalArgumentException(
          "%s has %d values, it takes at least %d".formatted(what, values.length, least));
    }
    for (int i = 0; i < values.length; i++) {
      requireFinite(what + " " + i, values[i]);
    }
    return values;
  }

  /**
   * Returns a whole number that must be large enough.
   *
   * @param what its name, for the message
   * @param value the number
   * @param least the smallest that is taken
   * @return {@code value}
   * @throws IllegalArgumentException if it is smaller
   */
  public static long requireAtLeast(String what, long value, long least) {
    if (value < least) {
      throw new IllegalArgumentException(
          "%s is %d, must be at least %d".formatted(what, value, least));
    }
    return value;
  }
}
