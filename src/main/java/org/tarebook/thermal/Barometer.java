package org.tarebook.thermal;

/** Air pressure by height: the standard atmosphere ISO 2533:1975, troposphere. */
public final class Barometer {

  /** Standard air pressure at sea level, kPa. */
  public static final double SEA_LEVEL = 101.325;

  private static final double KELVIN_AT_SEA_LEVEL = 288.15;
  private static final double KELVIN_PER_METRE = 0.0065;
  private static final double EXPONENT = 9.80665 / (287.05287 * KELVIN_PER_METRE);

  private Barometer() {}

  /**
   * Returns the standard air pressure at a height, in kPa. Weather moves the real one by some 3 kPa
   * either way (common practice).
   *
   * @param metres geopotential altitude, -2000 to 11000 m
   * @throws IllegalArgumentException outside
   */
  public static double kiloPascalAt(double metres) {
    Arguments.requireWithin("altitude", metres, "m", -2000, 11000);
    return SEA_LEVEL * Math.pow(1 - KELVIN_PER_METRE * metres / KELVIN_AT_SEA_LEVEL, EXPONENT);
  }
}
