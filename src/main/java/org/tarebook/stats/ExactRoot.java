package org.tarebook.stats;

import java.math.BigInteger;
import org.apache.commons.numbers.fraction.BigFraction;

/** Square roots of exact fractions, rounded once. */
final class ExactRoot {

  /**
   * Bits the integer root has at least; 53 go into the double, the rest only decide the rounding.
   */
  private static final int ROOT_BITS = 64;

  private ExactRoot() {}

  /**
   * Returns the double nearest to \( \sqrt{f} \).
   *
   * <p>\( \lfloor \sqrt{4^k p / q} \rfloor \) is taken as an integer of at least 64 bits; whatever
   * lies below it is remembered in one sticky bit, so the single rounding to 53 bits is the correct
   * one (half to even).
   *
   * <ul>
   *   <li>Zero: exactly 0.
   * </ul>
   *
   * @param fraction zero or positive; in any unit squared
   * @return the root in that unit
   * @throws IllegalArgumentException if {@code fraction} is negative
   */
  static double of(BigFraction fraction) {
    if (fraction.signum() < 0) {
      throw new IllegalArgumentException("square root of a negative number: " + fraction);
    }
    if (fraction.signum() == 0) {
      return 0.0;
    }
    BigInteger numerator = fraction.getNumerator();
    BigInteger denominator = fraction.getDenominator();
    int excess = numerator.bitLength() - denominator.bitLength();
    int halfShift = ROOT_BITS - Math.floorDiv(excess, 2) + 1;
    BigInteger[] quotient =
        halfShift >= 0
            ? numerator.shiftLeft(2 * halfShift).divideAndRemainder(denominator)
            : numerator.divideAndRemainder(denominator.shiftLeft(-2 * halfShift));
    BigInteger[] root = quotient[0].sqrtAndRemainder();
    BigInteger digits = root[0].shiftLeft(1);
    if (quotient[1].signum() != 0 || root[1].signum() != 0) {
      digits = digits.setBit(0);
    }
    return Math.scalb(digits.doubleValue(), -halfShift - 1);
  }
}
