package org.tarebook.stats;

/** Refusals of figures that are not what a formula takes. NaN is always refused. */
final class Arguments {

  private Arguments() {}

  static double requireFinite(String what, double value) {
    if (!Double.isFinite(value)) {
      throw new IllegalArgumentException("%s is %s, must be finite".formatted(what, value));
    }
    return value;
  }

  static double requireNotNegative(String what, double value) {
    if (!(value >= 0 && value < Double.POSITIVE_INFINITY)) {
      throw new IllegalArgumentException(
          "%s is %s, must be zero or positive and finite".formatted(what, value));
    }
    return value;
  }

  static double requirePositive(String what, double value) {
    if (!(value > 0 && value < Double.POSITIVE_INFINITY)) {
      throw new IllegalArgumentException(
          "%s is %s, must be positive and finite".formatted(what, value));
    }
    return value;
  }

  static double requireConfidence(double confidence) {
    if (!(confidence > 0 && confidence < 1)) {
      throw new IllegalArgumentException(
          "confidence is %s, must lie between 0 and 1, such as 0.95".formatted(confidence));
    }
    return confidence;
  }
}
