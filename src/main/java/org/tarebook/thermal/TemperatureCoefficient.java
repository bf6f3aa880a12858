package org.tarebook.thermal;

/**
 * The rule of thumb that the cure is {@code factor} times faster for every {@code perKelvin}, \( k
 * = K^{(T - T_{ref}) / \Delta} \).
 *
 * <p>A stated alternative to {@link Arrhenius}. Doubling every 10 K is no single activation energy:
 * it means about 101 kJ/mol from 140 to 150 degC and about 111 kJ/mol from 160 to 170 degC.
 *
 * @param factor K, above 1
 * @param perKelvin the temperature difference of one factor, above 0; 18 degF are 10 K
 * @param referenceCelsius temperature whose minutes are counted, degrees Celsius
 */
public record TemperatureCoefficient(double factor, double perKelvin, double referenceCelsius)
    implements CureLaw {

  /**
   * Checks the law.
   *
   * @throws IllegalArgumentException if the factor is not above 1, the difference not above 0 or
   *     the reference temperature not above absolute zero
   */
  public TemperatureCoefficient {
    if (!(factor > 1) || !Double.isFinite(factor)) {
      throw new IllegalArgumentException(
          "temperature coefficient is %s, must be above 1".formatted(factor));
    }
    Arguments.requirePositive("temperature difference of one factor in K", perKelvin);
    Arguments.requireTemperature("reference temperature", referenceCelsius);
  }

  /** {@inheritDoc} */
  @Override
  public double logRate(double celsius) {
    return Math.log(factor) * (celsius - referenceCelsius) / perKelvin;
  }
}
