package org.tarebook.thermal;

/**
 * The rate of a reaction with one activation energy, \( k(T) = \exp(-\frac E R (\frac 1 T - \frac 1
 * {T_{ref}})) \) with absolute temperatures, 0 degC being 273.15 K.
 *
 * <p><b>Accuracy:</b> rates within a relative 1e-13 from 0 to 250 degC for energies to 250 kJ/mol.
 *
 * <p><b>Source:</b> \( R = N_A k \), both exact since the 9th edition of the SI brochure.
 *
 * @param joulesPerMole activation energy E in J/mol, above 0; sulphur cures lie mostly between
 *     75,000 and 120,000
 * @param referenceCelsius temperature whose minutes are counted, degrees Celsius
 */
public record Arrhenius(double joulesPerMole, double referenceCelsius) implements CureLaw {

  /** Molar gas constant, J/(mol K). */
  public static final double GAS_CONSTANT = 8.31446261815324;

  /** Absolute temperature of 0 degC, K. */
  public static final double KELVIN_AT_ZERO_CELSIUS = 273.15;

  /**
   * Checks the law.
   *
   * @throws IllegalArgumentException if the energy is not above 0 or the reference temperature not
   *     above absolute zero
   */
  public Arrhenius {
    Arguments.requirePositive("activation energy in J/mol", joulesPerMole);
    Arguments.requireTemperature("reference temperature", referenceCelsius);
  }

  /** {@inheritDoc} */
  @Override
  public double logRate(double celsius) {
    return joulesPerMole
        * (celsius - referenceCelsius)
        / (GAS_CONSTANT
            * (celsius + KELVIN_AT_ZERO_CELSIUS)
            * (referenceCelsius + KELVIN_AT_ZERO_CELSIUS));
  }

  /**
   * Returns how many times faster the cure is at {@code b} than at {@code a}.
   *
   * @param a degrees Celsius
   * @param b degrees Celsius
   * @throws IllegalArgumentException if a temperature is not above absolute zero
   */
  public double factorBetween(double a, double b) {
    Arguments.requireTemperature("temperature a", a);
    Arguments.requireTemperature("temperature b", b);
    return new Arrhenius(joulesPerMole, a).rate(b);
  }

  /**
   * Returns the activation energy that makes the cure {@code factor} times faster at {@code b} than
   * at {@code a}, \( E = R \ln K / (1/T_a - 1/T_b) \) in J/mol.
   *
   * @param factor above 0, not 1
   * @param a degrees Celsius
   * @param b degrees Celsius, other than {@code a}
   * @throws IllegalArgumentException if an argument is outside, or the energy would not be above 0
   */
  public static double energyForFactor(double factor, double a, double b) {
    Arguments.requirePositive("factor", factor);
    Arguments.requireTemperature("temperature a", a);
    Arguments.requireTemperature("temperature b", b);
    double energy =
        GAS_CONSTANT
            * Math.log(factor)
            * (a + KELVIN_AT_ZERO_CELSIUS)
            * (b + KELVIN_AT_ZERO_CELSIUS)
            / (b - a);
    if (!(energy > 0) || !Double.isFinite(energy)) {
      throw new IllegalArgumentException(
          "factor %s from %s to %s degC gives no activation energy: the cure must be quicker at the hotter of two temperatures"
              .formatted(factor, a, b));
    }
    return energy;
  }
}
