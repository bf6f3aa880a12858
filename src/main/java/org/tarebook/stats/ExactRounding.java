package org.tarebook.stats;

import java.math.BigInteger;
import org.apache.commons.numbers.fraction.BigFraction;

/** Rounds exact quotients and their roots to the nearest double, half to even. */
final class ExactRounding {

  /** Bits a rounded integer has at least; 53 go into the double, the rest decide the rounding. */
  private static final int BITS = 64;

  /** Integers of so many bits are doubles. */
  private static final int DOUBLE_BITS = 53;

  /** The most corrections a guess from double arithmetic is given before the long way is taken. */
  private static final int MOST_CORRECTIONS = 4;

  private ExactRounding() {}

  /**
   * Returns the double nearest to a quotient.
   *
   * <p>Where both are doubles themselves, their division rounds once. Else the integer quotient is
   * taken to at least 64 bits; whatever lies below it is remembered in one sticky bit, so there is
   * one rounding too.
   *
   * @param numerator any integer
   * @param denominator positive
   */
  static double quotient(BigInteger numerator, BigInteger denominator) {
    if (numerator.bitLength() <= DOUBLE_BITS && denominator.bitLength() <= DOUBLE_BITS) {
      return (double) numerator.longValue() / denominator.longValue();
    }
    int shift = BITS + 1 - (numerator.bitLength() - denominator.bitLength());
    BigInteger[] parts = shifted(numerator.abs(), denominator, shift);
    double size = Math.scalb(sticky(parts[0], parts[1].signum() != 0).doubleValue(), -shift - 1);
    return numerator.signum() < 0 ? -size : size;
  }

  /**
   * Returns the double nearest to the root of a fraction.
   *
   * @param fraction zero or positive
   * @throws IllegalArgumentException if {@code fraction} is negative
   */
  static double root(BigFraction fraction) {
    return root(fraction.getNumerator(), fraction.getDenominator());
  }

  /**
   * Returns the double nearest to the root of a quotient.
   *
   * <p>A guess in double arithmetic is accepted, or moved by one unit in the last place, by
   * comparing the quotient exactly with the squares of the midpoints to its neighbours.
   *
   * @param numerator zero or positive
   * @param denominator positive
   * @throws IllegalArgumentException if {@code numerator} is negative
   */
  static double root(BigInteger numerator, BigInteger denominator) {
    if (numerator.signum() < 0) {
      throw new IllegalArgumentException("square root of a negative number: " + numerator);
    }
    if (numerator.signum() == 0) {
      return 0.0;
    }
    double guess = Math.sqrt(numerator.doubleValue() / denominator.doubleValue());
    for (int i = 0; i < MOST_CORRECTIONS && hasEvenNeighbours(guess); i++) {
      int above = compareWithMidpoint(numerator, denominator, guess, 1);
      int below = compareWithMidpoint(numerator, denominator, guess, -1);
      if (above < 0 && below > 0) {
        return guess;
      }
      guess = above > 0 ? Math.nextUp(guess) : Math.nextDown(guess);
    }
    return rootByInteger(numerator, denominator);
  }

  /**
   * Compares the quotient with the square of the point half a last place above or below a double
   * that is no power of two.
   */
  private static int compareWithMidpoint(
      BigInteger numerator, BigInteger denominator, double value, int direction) {
    int exponent = Math.getExponent(value) - 53;
    long midpoint = 2 * (long) Math.scalb(value, -exponent - 1) + direction;
    BigInteger odd = BigInteger.valueOf(midpoint);
    BigInteger square = odd.multiply(odd).multiply(denominator);
    return exponent >= 0
        ? numerator.compareTo(square.shiftLeft(2 * exponent))
        : numerator.shiftLeft(-2 * exponent).compareTo(square);
  }

  /**
   * Whether both neighbours are equally far, as they are but for powers of two and the extremes.
   */
  private static boolean hasEvenNeighbours(double value) {
    return value > Double.MIN_NORMAL
        && value < Double.MAX_VALUE
        && Math.ulp(value) == Math.ulp(Math.nextDown(value));
  }

  private static double rootByInteger(BigInteger numerator, BigInteger denominator) {
    int excess = numerator.bitLength() - denominator.bitLength();
    int halfShift = BITS + 1 - Math.floorDiv(excess, 2);
    BigInteger[] quotient = shifted(numerator, denominator, 2 * halfShift);
    BigInteger[] root = quotient[0].sqrtAndRemainder();
    boolean inexact = quotient[1].signum() != 0 || root[1].signum() != 0;
    return Math.scalb(sticky(root[0], inexact).doubleValue(), -halfShift - 1);
  }

  /** Returns quotient and remainder of {@code numerator * 2^shift / denominator}. */
  private static BigInteger[] shifted(BigInteger numerator, BigInteger denominator, int shift) {
    return shift >= 0
        ? numerator.shiftLeft(shift).divideAndRemainder(denominator)
        : numerator.divideAndRemainder(denominator.shiftLeft(-shift));
  }

  /** Appends a bit that tells whether anything was cut off. */
  private static BigInteger sticky(BigInteger digits, boolean inexact) {
    BigInteger longer = digits.shiftLeft(1);
    return inexact ? longer.setBit(0) : longer;
  }
}
