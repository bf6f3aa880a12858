package org.tarebook.thermal;

/**
 * A law that takes credit only where its figures are stated to hold: above the highest temperature
 * it counts as at the highest, below the lowest as next to nothing. For lower bounds of a cure.
 *
 * @param law what holds within the range
 * @param lowest degrees Celsius
 * @param highest degrees Celsius, above {@code lowest}
 */
public record StatedRange(CureLaw law, double lowest, double highest) implements CureLaw {

  /** Logarithm of a rate that adds nothing to any sum of minutes; its exponential is no zero. */
  private static final double NEXT_TO_NOTHING = -600;

  /**
   * Checks the range.
   *
   * @throws IllegalArgumentException if the lowest is not below the highest
   */
  public StatedRange {
    if (!(lowest < highest)) {
      throw new IllegalArgumentException(
          "lowest temperature %s must be below the highest %s".formatted(lowest, highest));
    }
  }

  /** {@inheritDoc} */
  @Override
  public double logRate(double celsius) {
    return celsius < lowest ? NEXT_TO_NOTHING : law.logRate(Math.min(celsius, highest));
  }

  /** {@inheritDoc} */
  @Override
  public double referenceCelsius() {
    return law.referenceCelsius();
  }
}
