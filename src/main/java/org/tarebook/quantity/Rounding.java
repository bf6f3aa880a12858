package org.tarebook.quantity;

import java.math.BigDecimal;
import java.math.BigInteger;
import java.math.RoundingMode;
import org.apache.commons.numbers.fraction.BigFraction;

/**
 * Rounds to the nearest multiple of an interval, exactly and in one step; the two rules differ only
 * in ties.
 *
 * <p><b>Source:</b> ISO 80000-1, Annex B, rules A and B; ASTM E29 uses the first.
 */
public enum Rounding {
  /** A tie goes to the even multiple: 12.25 to 12.2 at 0.1. */
  HALF_EVEN(RoundingMode.HALF_EVEN),
  /** A tie goes to the multiple of greater magnitude: 12.25 to 12.3 and -0.25 to -0.3 at 0.1. */
  HALF_AWAY(RoundingMode.HALF_UP);

  private final RoundingMode mode;

  Rounding(RoundingMode mode) {
    this.mode = mode;
  }

  /** Returns the rounded value; see {@link #round(BigFraction, BigDecimal)}. */
  public BigDecimal round(BigDecimal value, BigDecimal interval) {
    return round(Decimals.fraction(value), interval);
  }

  /**
   * Returns the multiple of the interval nearest to the value, with the decimals of the interval.
   *
   * @param interval greater than 0
   * @throws IllegalArgumentException if the interval is 0 or less
   */
  public BigDecimal round(BigFraction value, BigDecimal interval) {
    Decimals.requirePositive("a rounding interval", interval);
    BigFraction multiple = value.divide(Decimals.fraction(interval));
    BigInteger whole =
        new BigDecimal(multiple.getNumerator())
            .divide(new BigDecimal(multiple.getDenominator()), 0, mode)
            .toBigIntegerExact();
    BigDecimal rounded = interval.multiply(new BigDecimal(whole));
    return rounded.setScale(Math.max(0, rounded.scale()));
  }
}
