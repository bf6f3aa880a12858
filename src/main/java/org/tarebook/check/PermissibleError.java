package org.tarebook.check;

import java.math.BigDecimal;
import org.apache.commons.numbers.fraction.BigFraction;
import org.tarebook.quantity.Decimals;
import org.tarebook.quantity.Unit;

/**
 * The largest error a check lets pass, plus and minus, the limit itself included.
 *
 * @param value greater than 0, in the unit it was written in
 * @param unit of the value, as a difference: one degree is one step of the scale
 * @param from what set it, in words
 */
record PermissibleError(BigDecimal value, Unit unit, String from) {

  /** The limit in another unit, exactly. */
  BigFraction in(Unit other) {
    return Decimals.fraction(value).multiply(unit.factorTo(other));
  }

  /** The smaller of two limits; this one where they are equal. */
  PermissibleError orSmaller(PermissibleError other) {
    return Decimals.compare(other.in(unit), Decimals.fraction(value)) < 0 ? other : this;
  }
}
