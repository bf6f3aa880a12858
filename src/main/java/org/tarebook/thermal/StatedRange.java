package org.tarebook.thermal;

/**
 * A bound of a law whose figures are stated to hold in a range of temperatures only. A rate rises
 * with temperature, and more is not known beyond the range. The lower bound counts above the
 * highest temperature as at the highest, below the lowest as next to nothing. The upper bound
 * counts below the lowest as at the lowest; above the highest there is none, and it goes on by the
 * law: ask {@link HeatHistory#hottestAt} whether rubber came there.
 *
 * @param law what holds within the range
 * @param lowest degrees Celsius
 * @param highest degrees Celsius, above {@code lowest}
 * @param bound which of both
 */
public record StatedRange(CureLaw law, double lowest, double highest, Bound bound)
    implements CureLaw {

  /** A side on which the rate cannot lie. */
  public enum Bound {
    /** The least that the rate can be. */
    LOWER,
    /** The most that the rate can be, up to the highest temperature. */
    UPPER
  }

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

  /**
   * Returns the least that a rate can be where a temperature is known within an error only.
   *
   * @param error in kelvin, 0 or above; where it leaves no range, nothing is credited
   */
  public static StatedRange credited(CureLaw law, double lowest, double highest, double error) {
    double from = lowest + error;
    return new StatedRange(law, from, Math.max(highest, Math.nextUp(from)), Bound.LOWER);
  }

  /** {@inheritDoc} */
  @Override
  public double logRate(double celsius) {
    if (bound == Bound.UPPER) {
      return law.logRate(Math.max(celsius, lowest));
    }
    return celsius < lowest ? NEXT_TO_NOTHING : law.logRate(Math.min(celsius, highest));
  }

  /** {@inheritDoc} */
  @Override
  public double referenceCelsius() {
    return law.referenceCelsius();
  }
}
