package org.tarebook.thermal;

/** Refuses arguments that cannot be; a value that is not a number never passes. */
final class Arguments {

  static final double ABSOLUTE_ZERO = -273.15;

  private Arguments() {}

  static double requireFinite(String what, double value) {
    if (!Double.isFinite(value)) {
      throw new IllegalArgumentException("%s is %s, must be a number".formatted(what, value));
    }
    return value;
  }

  static double requirePositive(String what, double value) {
    if (!(value > 0) || !Double.isFinite(value)) {
      throw new IllegalArgumentException("%s is %s, must be above 0".formatted(what, value));
    }
    return value;
  }

  static double requireNotNegative(String what, double value) {
    if (!(value >= 0) || !Double.isFinite(value)) {
      throw new IllegalArgumentException("%s is %s, must be 0 or above".formatted(what, value));
    }
    return value;
  }

  /** A temperature in degrees Celsius above absolute zero. */
  static double requireTemperature(String what, double celsius) {
    if (!(celsius > ABSOLUTE_ZERO) || !Double.isFinite(celsius)) {
      throw new IllegalArgumentException(
          "%s is %s degC, must be above %s degC".formatted(what, celsius, ABSOLUTE_ZERO));
    }
    return celsius;
  }

  static double requireWithin(String what, double value, String unit, double low, double high) {
    if (!(low <= value && value <= high)) {
      throw new IllegalArgumentException(
          "%s is %s %s, must lie from %s to %s %s".formatted(what, value, unit, low, high, unit));
    }
    return value;
  }

  static void requireBefore(double from, double to) {
    requireFinite("from", from);
    requireFinite("to", to);
    if (!(from < to)) {
      throw new IllegalArgumentException(
          "from %s s to %s s is no time span: from must be before to".formatted(from, to));
    }
  }
}
