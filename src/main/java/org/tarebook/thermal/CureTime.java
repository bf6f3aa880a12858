package org.tarebook.thermal;

/**
 * A cure time measured at one temperature, such as t90 on a cure meter.
 *
 * @param celsius temperature of the test, degrees Celsius
 * @param minutes time to the same state of cure, above 0
 */
public record CureTime(double celsius, double minutes) {

  /**
   * Checks the measurement.
   *
   * @throws IllegalArgumentException if the temperature is not above absolute zero or the time not
   *     above 0
   */
  public CureTime {
    Arguments.requireTemperature("temperature of the cure time", celsius);
    Arguments.requirePositive("cure time in minutes", minutes);
  }
}
