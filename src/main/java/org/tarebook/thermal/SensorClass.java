package org.tarebook.thermal;

/**
 * Classes of temperature sensors with the largest error they allow: thermocouples by IEC 60584-1,
 * platinum resistors by IEC 60751. The figures are as makers tabulate them, the parts in per cent
 * from memory of the standards.
 */
public enum SensorClass {
  /** Types J, K and N, class 1: 1.5 K, or 0.4 % of the temperature where that is more. */
  THERMOCOUPLE_JKN_1(1.5, 0.004, true),
  /** Types J, K and N, class 2: 2.5 K, or 0.75 % of the temperature where that is more. */
  THERMOCOUPLE_JKN_2(2.5, 0.0075, true),
  /** Type T, class 1: 0.5 K, or 0.4 % of the temperature where that is more. */
  THERMOCOUPLE_T_1(0.5, 0.004, true),
  /** Type T, class 2: 1 K, or 0.75 % of the temperature where that is more. */
  THERMOCOUPLE_T_2(1.0, 0.0075, true),
  /** Pt100 class A: 0.15 K and 0.2 % of the temperature. */
  PT100_A(0.15, 0.002, false),
  /** Pt100 class B: 0.30 K and 0.5 % of the temperature. */
  PT100_B(0.30, 0.005, false);

  private final double constant;
  private final double part;
  private final boolean larger;

  SensorClass(double constant, double part, boolean larger) {
    this.constant = constant;
    this.part = part;
    this.larger = larger;
  }

  /** Returns the largest error at a temperature, K, plus and minus. */
  public double errorAt(double celsius) {
    double byTemperature = part * Math.abs(celsius);
    return larger ? Math.max(constant, byTemperature) : constant + byTemperature;
  }
}
