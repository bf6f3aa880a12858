package org.tarebook.thermal;

import java.util.function.IntToDoubleFunction;
import org.apache.commons.numbers.gamma.Erfc;

/**
 * Exact temperatures of a homogeneous slab, to check {@link Conduction} with and to judge a tyre on
 * the back of an envelope: penetration time goes with the square of the thickness.
 *
 * <p>Series are summed until their terms are below 1e-17 of the largest; absolute error below 1e-12
 * of the step for Fourier numbers above 1e-4. <b>Source:</b> the textbook series of H. S. Carslaw
 * and J. C. Jaeger, Conduction of Heat in Solids, from memory; tables at 50 digits in SlabTests.
 */
public final class Slab {

  private static final double SMALLEST = 1e-17;
  private static final int MOST_TERMS = 100_000;

  private Slab() {}

  /**
   * Returns what is left of the first difference of slab and faces, both faces stepped at once, \(
   * (T - T_s)/(T_0 - T_s) \).
   *
   * @param fourier diffusivity times time over the square of the half thickness, above 0
   * @param part distance from the middle as a part of the half thickness, 0 to 1
   */
  public static double symmetric(double fourier, double part) {
    Arguments.requirePositive("Fourier number", fourier);
    Arguments.requireWithin("place", part, "", 0, 1);
    return 4
        / Math.PI
        * sum(
            n -> {
              double odd = 2 * n + 1;
              return sign(n)
                  / odd
                  * Math.exp(-odd * odd * Math.PI * Math.PI * fourier / 4)
                  * Math.cos(odd * Math.PI * part / 2);
            },
            n -> Math.exp(-(2.0 * n + 1) * (2.0 * n + 1) * Math.PI * Math.PI * fourier / 4));
  }

  /**
   * Returns the temperature between two faces stepped at once, degrees Celsius.
   *
   * @param thickness m
   * @param diffusivity m2/s
   * @param initial of the slab, degrees Celsius
   * @param inner of the face at 0, degrees Celsius
   * @param outer of the other face, degrees Celsius
   * @param seconds above 0
   * @param place m from the inner face
   */
  public static double twoFaces(
      double thickness,
      double diffusivity,
      double initial,
      double inner,
      double outer,
      double seconds,
      double place) {
    Arguments.requirePositive("thickness in m", thickness);
    Arguments.requirePositive("diffusivity in m2/s", diffusivity);
    Arguments.requirePositive("time in s", seconds);
    Arguments.requireWithin("place", place, "m", 0, thickness);
    double decay = diffusivity * Math.PI * Math.PI * seconds / (thickness * thickness);
    double transients =
        sum(
            i -> {
              int n = i + 1;
              double odd = n % 2 == 1 ? 1 : -1;
              double amplitude =
                  2 / (n * Math.PI) * ((initial - inner) * (1 + odd) - (outer - inner) * odd);
              return amplitude
                  * Math.sin(n * Math.PI * place / thickness)
                  * Math.exp(-decay * n * n);
            },
            i -> Math.exp(-decay * (i + 1.0) * (i + 1.0)));
    return inner + (outer - inner) * place / thickness + transients;
  }

  /**
   * Returns how much of a step of the face has come through at a depth, while the other side does
   * not matter yet, \( \operatorname{erfc}(x / 2\sqrt{\alpha t}) \).
   *
   * @param diffusivity m2/s
   * @param depth m, 0 or above
   * @param seconds above 0
   */
  public static double earlyTime(double diffusivity, double depth, double seconds) {
    Arguments.requirePositive("diffusivity in m2/s", diffusivity);
    Arguments.requireNotNegative("depth in m", depth);
    Arguments.requirePositive("time in s", seconds);
    return Erfc.value(depth / (2 * Math.sqrt(diffusivity * seconds)));
  }

  /**
   * Returns what is left of the first difference of slab and media, both faces behind equal films.
   *
   * @param biot film coefficient times half thickness over conductivity, above 0
   * @param fourier as in {@link #symmetric}
   * @param part distance from the middle as a part of the half thickness, 0 to 1
   */
  public static double convective(double biot, double fourier, double part) {
    Arguments.requirePositive("Biot number", biot);
    Arguments.requirePositive("Fourier number", fourier);
    Arguments.requireWithin("place", part, "", 0, 1);
    return sum(
        n -> {
          double zeta = root(biot, n);
          return 4
              * Math.sin(zeta)
              / (2 * zeta + Math.sin(2 * zeta))
              * Math.exp(-zeta * zeta * fourier)
              * Math.cos(zeta * part);
        },
        n -> {
          double zeta = root(biot, n);
          return Math.exp(-zeta * zeta * fourier);
        });
  }

  /** The root number n, from 0, of \( \zeta \tan \zeta = Bi \): between n pi and n pi + pi / 2. */
  static double root(double biot, int n) {
    double low = n * Math.PI;
    double high = low + Math.PI / 2;
    for (int i = 0; i < 200; i++) {
      double middle = (low + high) / 2;
      if (middle <= low || middle >= high) {
        break;
      }
      if (middle * Math.sin(middle - n * Math.PI) < biot * Math.cos(middle - n * Math.PI)) {
        low = middle;
      } else {
        high = middle;
      }
    }
    return (low + high) / 2;
  }

  /**
   * Returns the rise of a slab both of whose faces rise at a constant rate, kelvin.
   *
   * @param half half of the thickness, m
   * @param diffusivity m2/s
   * @param rate of the faces, K/s
   * @param seconds above 0
   * @param place m from the middle
   */
  public static double ramped(
      double half, double diffusivity, double rate, double seconds, double place) {
    Arguments.requirePositive("half thickness in m", half);
    Arguments.requirePositive("diffusivity in m2/s", diffusivity);
    Arguments.requirePositive("time in s", seconds);
    Arguments.requireWithin("place", place, "m", -half, half);
    double fourier = diffusivity * seconds / (half * half);
    double transients =
        sum(
            n -> {
              double odd = 2 * n + 1;
              return sign(n)
                  / (odd * odd * odd)
                  * Math.exp(-odd * odd * Math.PI * Math.PI * fourier / 4)
                  * Math.cos(odd * Math.PI * place / (2 * half));
            },
            n ->
                Math.exp(-(2.0 * n + 1) * (2.0 * n + 1) * Math.PI * Math.PI * fourier / 4)
                    / Math.pow(2.0 * n + 1, 3));
    return rate
        * (seconds
            - (half * half - place * place) / (2 * diffusivity)
            + 16 * half * half / (diffusivity * Math.pow(Math.PI, 3)) * transients);
  }

  /**
   * Returns the seconds until the middle of a slab is within a deficit of its faces, both stepped
   * at once.
   *
   * @param thickness m
   * @param diffusivity m2/s
   * @param initial of the slab, degrees Celsius
   * @param faces degrees Celsius
   * @param deficit kelvin, above 0 and below the first difference
   */
  public static double timeToReach(
      double thickness, double diffusivity, double initial, double faces, double deficit) {
    Arguments.requirePositive("thickness in m", thickness);
    Arguments.requirePositive("diffusivity in m2/s", diffusivity);
    Arguments.requirePositive("deficit in K", deficit);
    double left = deficit / Math.abs(faces - initial);
    if (!(left < 1)) {
      throw new IllegalArgumentException(
          "deficit is %s K, must be below the first difference of %s K"
              .formatted(deficit, Math.abs(faces - initial)));
    }
    double low = 1e-4;
    double high = 20;
    for (int i = 0; i < 200 && high - low > 1e-15 * high; i++) {
      double middle = (low + high) / 2;
      if (symmetric(middle, 0) > left) {
        low = middle;
      } else {
        high = middle;
      }
    }
    double half = thickness / 2;
    return (low + high) / 2 * half * half / diffusivity;
  }

  private static double sign(int n) {
    return n % 2 == 0 ? 1 : -1;
  }

  private static double sum(IntToDoubleFunction term, IntToDoubleFunction bound) {
    double sum = 0;
    for (int n = 0; n < MOST_TERMS; n++) {
      sum += term.applyAsDouble(n);
      if (bound.applyAsDouble(n) < SMALLEST) {
        break;
      }
    }
    return sum;
  }
}
