package org.tarebook.thermal;

/**
 * How fast a compound cures at a temperature, against a reference temperature.
 *
 * <p>There is no default: the law belongs to a compound and comes from its cure times at two or
 * more temperatures, see {@link ActivationEnergy}.
 */
public sealed interface CureLaw permits Arrhenius, TemperatureCoefficient, StatedRange {

  /** Returns the natural logarithm of {@link #rate}; 0 at the reference temperature. */
  double logRate(double celsius);

  /**
   * Returns the equivalent minutes at the reference temperature that one minute at {@code celsius}
   * is worth; 1 at the reference temperature.
   *
   * @throws IllegalArgumentException if {@code celsius} is not above absolute zero
   */
  default double rate(double celsius) {
    return Math.exp(logRate(Arguments.requireTemperature("temperature", celsius)));
  }

  /** Returns the temperature whose minutes are counted, in degrees Celsius. */
  double referenceCelsius();
}
