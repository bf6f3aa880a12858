package org.tarebook.thermal;

/**
 * Saturation of water and steam by the industrial formulation IAPWS-IF97, region 4.
 *
 * <p>Valid from 0 to 373.946 degrees Celsius and from 0.611213 to 22064 kPa absolute; both
 * directions agree with each other to 1e-9 of a kelvin. <b>Source:</b> IAPWS R7-97(2012), equations
 * 30 and 31; checked with its Tables 35 and 36.
 */
public final class Saturation {

  private static final double N1 = 0.11670521452767e4;
  private static final double N2 = -0.72421316703206e6;
  private static final double N3 = -0.17073846940092e2;
  private static final double N4 = 0.12020824702470e5;
  private static final double N5 = -0.32325550322333e7;
  private static final double N6 = 0.14915108613530e2;
  private static final double N7 = -0.48232657361591e4;
  private static final double N8 = 0.40511340542057e6;
  private static final double N9 = -0.23855557567849;
  private static final double N10 = 0.65017534844798e3;

  private static final double HOTTEST_KELVIN = 647.096;
  private static final double LEAST = 0.611213;
  private static final double MOST = 22064;

  private Saturation() {}

  /**
   * Returns the pressure at which water of a temperature boils, in kPa absolute.
   *
   * @throws IllegalArgumentException outside 0 to 373.946 degrees Celsius
   */
  public static double kiloPascalAt(double celsius) {
    double kelvin = celsius + Arrhenius.KELVIN_AT_ZERO_CELSIUS;
    if (!(celsius >= 0) || !(kelvin <= HOTTEST_KELVIN * (1 + 1e-15))) {
      throw new IllegalArgumentException(
          "temperature is %s degC: saturation is known from 0 (273.15 K) to 373.946 degC (647.096 K)"
              .formatted(celsius));
    }
    double theta = kelvin + N9 / (kelvin - N10);
    double a = theta * theta + N1 * theta + N2;
    double b = N3 * theta * theta + N4 * theta + N5;
    double c = N6 * theta * theta + N7 * theta + N8;
    double root = 2 * c / (-b + Math.sqrt(b * b - 4 * a * c));
    return 1000 * root * root * root * root;
  }

  /**
   * Returns the temperature at which water boils under a pressure, in degrees Celsius.
   *
   * @param kiloPascal absolute
   * @throws IllegalArgumentException outside 0.611213 to 22064 kPa
   */
  public static double celsiusAt(double kiloPascal) {
    if (!(kiloPascal >= LEAST && kiloPascal <= MOST)) {
      throw new IllegalArgumentException(
          "pressure is %s kPa absolute: saturation is known from %s to %s kPa"
              .formatted(kiloPascal, LEAST, MOST));
    }
    double beta = Math.sqrt(Math.sqrt(kiloPascal / 1000));
    double e = beta * beta + N3 * beta + N6;
    double f = N1 * beta * beta + N4 * beta + N7;
    double g = N2 * beta * beta + N5 * beta + N8;
    double d = 2 * g / (-f - Math.sqrt(f * f - 4 * e * g));
    double sum = N10 + d;
    return (sum - Math.sqrt(sum * sum - 4 * (N9 + N10 * d))) / 2 - Arrhenius.KELVIN_AT_ZERO_CELSIUS;
  }

  /**
   * Returns by how many kelvin saturation rises for each kPa, by a central difference of a
   * thousandth of the pressure; relative error below 1e-5.
   *
   * @param kiloPascal absolute, within 0.62 to 22000 kPa
   * @throws IllegalArgumentException outside
   */
  public static double slopeAt(double kiloPascal) {
    double width = kiloPascal / 1000;
    return (celsiusAt(kiloPascal + width) - celsiusAt(kiloPascal - width)) / (2 * width);
  }
}
