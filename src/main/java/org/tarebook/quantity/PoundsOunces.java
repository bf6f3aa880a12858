package org.tarebook.quantity;

import java.math.BigDecimal;

/** Weights read off in two parts, as older scales show them: 12 lb 6 oz. */
public final class PoundsOunces {

  private static final BigDecimal OUNCES_IN_A_POUND = BigDecimal.valueOf(16);

  private PoundsOunces() {}

  /**
   * Returns both parts in pounds, exactly: 12 lb 6 oz is 12.375 lb.
   *
   * @param pounds 0 or more
   * @param ounces 0 or more and less than 16
   * @throws IllegalArgumentException if a part is out of that range
   */
  public static BigDecimal inPounds(BigDecimal pounds, BigDecimal ounces) {
    if (pounds.signum() < 0) {
      throw new IllegalArgumentException("the pounds must be 0 or more, were " + pounds);
    }
    if (ounces.signum() < 0 || ounces.compareTo(OUNCES_IN_A_POUND) >= 0) {
      throw new IllegalArgumentException(
          "the ounces must be 0 or more and less than 16, were "
              + ounces
              + "; carry 16 ounces over into a pound");
    }
    return pounds.add(ounces.divide(OUNCES_IN_A_POUND));
  }
}
