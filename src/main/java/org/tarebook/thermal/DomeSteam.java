package org.tarebook.thermal;

import org.jspecify.annotations.Nullable;

/**
 * What a pressure and a temperature say of the steam in a dome.
 *
 * <p>Air adds its own pressure (Dalton), so that the steam is colder than the gauge alone would
 * have it: \( y = 1 - p_{sat}(T)/p \). Within the sensors' own error nothing is claimed.
 *
 * @param depression how far the dome is colder than saturation at its pressure, K; negative where
 *     it is hotter
 * @param depressionError largest error of the depression from both sensors, K, root of squares
 * @param airFraction part of the moles that is air; only with {@link State#AIR}
 * @param airLeast the same were the depression less by its largest error
 * @param airMost the same were the depression more by its largest error
 * @param state what can be said
 */
public record DomeSteam(
    double depression,
    double depressionError,
    @Nullable Double airFraction,
    @Nullable Double airLeast,
    @Nullable Double airMost,
    State state) {

  /** What can be said of the steam. */
  public enum State {
    /** At saturation as well as the sensors can tell. */
    SATURATED,
    /** Colder than saturation beyond the sensors' error: air, or a cold layer. */
    AIR,
    /** Hotter than saturation beyond the sensors' error: superheat, or a wrong sensor. */
    NOT_SATURATED
  }

  /**
   * Judges the steam.
   *
   * @param kiloPascal absolute
   * @param celsius measured in the dome
   * @param pressureError largest error of the pressure, kPa, 0 or above
   * @param temperatureError largest error of the temperature, K, 0 or above
   * @throws IllegalArgumentException outside the domain of {@link Saturation}
   */
  public static DomeSteam of(
      double kiloPascal, double celsius, double pressureError, double temperatureError) {
    Arguments.requireNotNegative("error of pressure in kPa", pressureError);
    Arguments.requireNotNegative("error of temperature in K", temperatureError);
    double depression = Saturation.celsiusAt(kiloPascal) - celsius;
    double error = Math.hypot(temperatureError, Saturation.slopeAt(kiloPascal) * pressureError);
    if (depression > error) {
      return new DomeSteam(
          depression,
          error,
          airFraction(kiloPascal, celsius),
          airFraction(kiloPascal, celsius + error),
          airFraction(kiloPascal, celsius - error),
          State.AIR);
    }
    return new DomeSteam(
        depression,
        error,
        null,
        null,
        null,
        -depression > error ? State.NOT_SATURATED : State.SATURATED);
  }

  /**
   * Returns the part of the moles that is air, \( 1 - p_{sat}(T)/p \); negative above saturation.
   *
   * @param kiloPascal absolute
   */
  public static double airFraction(double kiloPascal, double celsius) {
    return 1 - Saturation.kiloPascalAt(celsius) / kiloPascal;
  }

  /**
   * Returns how cold a dome is that holds so much air under a pressure, degrees Celsius.
   *
   * @param kiloPascal absolute
   * @param airFraction from 0 to below 1
   */
  public static double celsiusWithAir(double kiloPascal, double airFraction) {
    Arguments.requireWithin("air fraction", airFraction, "", 0, Math.nextDown(1.0));
    return Saturation.celsiusAt(kiloPascal * (1 - airFraction));
  }
}
