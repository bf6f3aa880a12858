package org.tarebook.stats;

/**
 * Three-sigma control limits and the centre between them.
 *
 * <p>All factories start from sigma, whichever way it was estimated; with \( \hat\sigma = \bar R /
 * d_2 \) or \( \bar s / c_4 \) they give the same limits as the factors \( A_2, A_3, B_3, B_4, D_3,
 * D_4, E_2 \).
 *
 * <p>Without any spread all three lines coincide.
 *
 * <p><b>Source:</b> NIST/SEMATECH e-Handbook, sections 6.3.2.1 and 6.3.2.2.
 *
 * @param centre the centre line, in the unit of the plotted figure
 * @param lower the lower limit, at most {@code centre}
 * @param upper the upper limit, at least {@code centre}
 */
public record ControlLimits(double centre, double lower, double upper) {

  /**
   * Checks the order of the lines.
   *
   * @throws IllegalArgumentException if a line is not finite or they are out of order
   */
  public ControlLimits {
    Arguments.requireFinite("centre", centre);
    Arguments.requireFinite("lower", lower);
    Arguments.requireFinite("upper", upper);
    if (!(lower <= centre && centre <= upper)) {
      throw new IllegalArgumentException(
          "limits out of order: lower %s, centre %s, upper %s".formatted(lower, centre, upper));
    }
  }

  /**
   * Returns the limits of the mean of {@code n} readings, \( \mu \pm 3 \sigma / \sqrt n \).
   *
   * @param centre \( \mu \), the grand mean or a target
   * @param sigma spread of single readings, zero or positive
   * @param n readings in this point, at least 1
   * @return in the unit of the readings
   * @throws IllegalArgumentException if an argument lies outside
   */
  public static ControlLimits ofMean(double centre, double sigma, long n) {
    Arguments.requireNotNegative("sigma", sigma);
    if (n < 1) {
      throw new IllegalArgumentException(
          "readings per point is %d, must be at least 1".formatted(n));
    }
    double reach = 3 * sigma / Math.sqrt((double) n);
    return new ControlLimits(centre, centre - reach, centre + reach);
  }

  /**
   * Returns the limits of single readings, \( \mu \pm 3 \sigma \).
   *
   * @param centre \( \mu \), the mean or a target
   * @param sigma spread of single readings, zero or positive
   * @return in the unit of the readings
   * @throws IllegalArgumentException if an argument lies outside
   */
  public static ControlLimits ofIndividual(double centre, double sigma) {
    return ofMean(centre, sigma, 1);
  }

  /**
   * Returns the limits of the range of {@code n} readings: centre \( d_2 \sigma \), limits \( (d_2
   * \pm 3 d_3) \sigma \), the lower one not below 0.
   *
   * @param sigma spread of single readings, zero or positive
   * @param n readings in this point, 2 to {@value Factors#MAX_RANGE_SIZE}
   * @return in the unit of the readings
   * @throws IllegalArgumentException if an argument lies outside
   */
  public static ControlLimits ofRange(double sigma, long n) {
    Arguments.requireNotNegative("sigma", sigma);
    double centre = Factors.d2(n) * sigma;
    return new ControlLimits(
        centre, Factors.rangeLower(n) * centre, Factors.rangeUpper(n) * centre);
  }

  /**
   * Returns the limits of the moving range of two, which are those of the range of two readings.
   *
   * @param sigma spread of single readings, zero or positive
   * @return in the unit of the readings; the lower limit is 0
   * @throws IllegalArgumentException if sigma lies outside
   */
  public static ControlLimits ofMovingRange(double sigma) {
    return ofRange(sigma, 2);
  }

  /**
   * Returns the limits of the standard deviation of {@code n} readings: centre \( c_4 \sigma \),
   * limits \( (c_4 \pm 3 \sqrt{1 - c_4^2}) \sigma \), the lower one not below 0.
   *
   * @param sigma spread of single readings, zero or positive
   * @param n readings in this point, at least 2
   * @return in the unit of the readings
   * @throws IllegalArgumentException if an argument lies outside
   */
  public static ControlLimits ofSd(double sigma, long n) {
    Arguments.requireNotNegative("sigma", sigma);
    double centre = Factors.c4(n) * sigma;
    return new ControlLimits(centre, Factors.sdLower(n) * centre, Factors.sdUpper(n) * centre);
  }
}
