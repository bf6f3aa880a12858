package org.tarebook.thermal;

/**
 * How far hot water under pressure is from flashing into steam.
 *
 * @param margin pressure above the one at which it boils, kPa
 * @param subcooling kelvin below boiling
 * @param error how far the sensors may err on the subcooling, in kelvin: both largest errors added
 *     in squares, that of the pressure by the slope of saturation
 * @param state what can be said
 */
public record HotWater(double margin, double subcooling, double error, State state) {

  /** What can be said of the water. */
  public enum State {
    /** Below boiling beyond the sensors' error. */
    LIQUID,
    /** Within the sensors' error of boiling. */
    WITHIN_ERROR,
    /** Above boiling beyond the sensors' error. */
    FLASHING
  }

  /**
   * Judges hot water.
   *
   * @param kiloPascal absolute, at the lowest pressure of the circuit
   * @param celsius of the water
   * @param pressureError largest error of the pressure, kPa, 0 or above
   * @param temperatureError largest error of the temperature, K, 0 or above
   * @throws IllegalArgumentException outside the domain of {@link Saturation}
   */
  public static HotWater of(
      double kiloPascal, double celsius, double pressureError, double temperatureError) {
    Arguments.requireNotNegative("error of pressure in kPa", pressureError);
    Arguments.requireNotNegative("error of temperature in K", temperatureError);
    double subcooling = Saturation.celsiusAt(kiloPascal) - celsius;
    double error = Math.hypot(temperatureError, Saturation.slopeAt(kiloPascal) * pressureError);
    State state =
        Math.abs(subcooling) <= error
            ? State.WITHIN_ERROR
            : subcooling < 0 ? State.FLASHING : State.LIQUID;
    return new HotWater(kiloPascal - Saturation.kiloPascalAt(celsius), subcooling, error, state);
  }
}
