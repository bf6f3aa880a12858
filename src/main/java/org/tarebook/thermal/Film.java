package org.tarebook.thermal;

/**
 * How heat passes between a medium and a face.
 *
 * <p>Taking the medium for the face ({@link #PERFECT}) heats the section faster than it is heated
 * and errs unsafe, unless the sensor lies in the face itself.
 *
 * @param coefficient heat transfer coefficient, W/(m2 K), above 0; infinite for {@link #PERFECT}
 */
public record Film(double coefficient) {

  /** The face has the temperature of the trace. */
  public static final Film PERFECT = new Film(Double.POSITIVE_INFINITY);

  /**
   * Checks the film.
   *
   * @throws IllegalArgumentException if the coefficient is not above 0
   */
  public Film {
    if (!(coefficient > 0)) {
      throw new IllegalArgumentException(
          "film coefficient is %s W/(m2 K), must be above 0".formatted(coefficient));
    }
  }
}
