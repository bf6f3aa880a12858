package org.tarebook.stats.measuring;

import java.util.List;
import org.tarebook.stats.Arguments;

/**
 * The measuring uncertainty of one station, from its parts.
 *
 * <p><b>Source:</b> JCGM 100:2008 (GUM), clauses 4.3, 5.1 and G.4.
 *
 * @param parts at least one
 */
public record MeasuringUncertainty(List<Part> parts) {

  /** \( 1 / \sqrt 6 \), two roundings of \( d / \sqrt{12} \), as printed with two digits. */
  private static final double TWO_ROUNDINGS = 0.41;

  /**
   * Copies the parts.
   *
   * @throws IllegalArgumentException if there is none
   */
  public MeasuringUncertainty {
    parts = List.copyOf(parts);
    if (parts.isEmpty()) {
      throw new IllegalArgumentException("an uncertainty has at least one part");
    }
  }

  /**
   * One part, independent of the others.
   *
   * @param name what it comes from
   * @param standard standard uncertainty, zero or positive, in the unit of the readings
   * @param degrees of freedom, positive; infinite if known for certain
   */
  public record Part(String name, double standard, double degrees) {

    /**
     * Checks the figures.
     *
     * @throws IllegalArgumentException if a figure lies outside
     */
    public Part {
      Arguments.requireNotNegative("uncertainty of " + name, standard);
      if (!(degrees > 0)) {
        throw new IllegalArgumentException(
            "degrees of freedom of %s is %s, must be positive".formatted(name, degrees));
      }
    }

    /**
     * Returns what repeated readings scatter.
     *
     * @param sd their standard deviation
     * @param readings how many gave it, at least 2
     * @return the part
     * @throws IllegalArgumentException if an argument lies outside
     */
    public static Part repeatability(double sd, int readings) {
      Arguments.requireAtLeast("readings", readings, 2);
      return new Part("repeatability", sd, readings - 1.0);
    }

    /**
     * Returns what one rounding to the instrument's interval adds, \( d / \sqrt{12} \). A net
     * weight is rounded twice: take two.
     *
     * @param interval \( d \)
     * @return the part
     * @throws IllegalArgumentException if the interval is negative
     */
    public static Part rounding(double interval) {
      return new Part("rounding", interval / Math.sqrt(12), Double.POSITIVE_INFINITY);
    }

    /**
     * Returns what an error adds of which only bounds are known, \( a / \sqrt 3 \): the largest
     * permitted error of a scale, its drift.
     *
     * @param name what it is
     * @param halfWidth \( a \), the error lies within ± a
     * @return the part
     * @throws IllegalArgumentException if the width is negative
     */
    public static Part within(String name, double halfWidth) {
      return new Part(name, halfWidth / Math.sqrt(3), Double.POSITIVE_INFINITY);
    }

    /**
     * Returns what a certificate states, \( U / k \).
     *
     * @param name what it certifies
     * @param expanded \( U \)
     * @param k coverage factor, positive
     * @return the part
     * @throws IllegalArgumentException if an argument lies outside
     */
    public static Part certified(String name, double expanded, double k) {
      return new Part(name, expanded / Arguments.requirePositive("k", k), Double.POSITIVE_INFINITY);
    }
  }

  /**
   * Returns the standard uncertainty, root of the sum of squares.
   *
   * @return \( u \), in the unit of the readings
   */
  public double standard() {
    double squares = 0;
    for (Part part : parts) {
      squares += part.standard() * part.standard();
    }
    return Math.sqrt(squares);
  }

  /**
   * Returns the expanded uncertainty \( U = k u \).
   *
   * @param k coverage factor, positive, such as 2
   * @return in the unit of the readings
   * @throws IllegalArgumentException if {@code k} is not positive
   */
  public double expanded(double k) {
    return Arguments.requirePositive("k", k) * standard();
  }

  /**
   * Returns the effective degrees of freedom of B. L. Welch and F. E. Satterthwaite, \( u^4 / \sum
   * u_i^4 / \nu_i \).
   *
   * @return positive; infinite if every part is known for certain, or {@code u} is 0
   */
  public double degrees() {
    double square = 0;
    double sum = 0;
    for (Part part : parts) {
      double variance = part.standard() * part.standard();
      square += variance;
      sum += variance / part.degrees() * variance;
    }
    return sum == 0 ? Double.POSITIVE_INFINITY : square / sum * square;
  }

  /**
   * Returns the least that a scale can weigh for a required relative uncertainty, \( k \max(s, 0.41
   * d) / r \).
   *
   * <p><b>Source:</b> USP general chapter 41, there with {@code k} 2 and {@code r} 0.001.
   *
   * @param sd standard deviation of at least ten weighings, zero or positive
   * @param interval \( d \), scale interval, positive
   * @param requirement \( r \), largest relative uncertainty, positive, such as 0.001
   * @param k coverage factor, positive, such as 2
   * @return in the unit of the scale
   * @throws IllegalArgumentException if an argument lies outside
   */
  public static double minimumWeight(double sd, double interval, double requirement, double k) {
    Arguments.requireNotNegative("sd", sd);
    Arguments.requirePositive("interval", interval);
    Arguments.requirePositive("requirement", requirement);
    Arguments.requirePositive("k", k);
    return k * Math.max(sd, TWO_ROUNDINGS * interval) / requirement;
  }
}
