package org.tarebook.quantity;

import java.math.BigDecimal;
import java.util.Objects;
import org.apache.commons.numbers.fraction.BigFraction;
import org.jspecify.annotations.Nullable;

/**
 * What a scale can weigh, and how wrong it may be. See {@link AccuracyClass} for the symbols and
 * the source.
 *
 * @param accuracyClass the class on its plate
 * @param max Max, greater than 0
 * @param interval e, greater than 0
 * @param unit of Max, e and every load and error here; a unit of mass
 */
public record WeighingRange(
    AccuracyClass accuracyClass, BigDecimal max, BigDecimal interval, Unit unit) {

  private static final BigDecimal TWO = BigDecimal.valueOf(2);

  /**
   * Checks e and n against the class.
   *
   * @throws IllegalArgumentException if the class allows no such scale; the message says why
   * @throws UnitMismatchException if the unit is not one of mass
   */
  public WeighingRange {
    String fault = fault(accuracyClass, max, interval, unit);
    if (fault != null) {
      throw new IllegalArgumentException(fault);
    }
  }

  static @Nullable String fault(
      AccuracyClass accuracyClass, BigDecimal max, BigDecimal interval, Unit unit) {
    Decimals.requirePositive("a scale interval e", interval);
    AccuracyClass.Row row = accuracyClass.rowFor(interval, unit);
    if (row == null) {
      return "class %s has no interval e of %s %s; check e and the class on the plate"
          .formatted(accuracyClass, interval, unit.label());
    }
    BigFraction count = Decimals.fraction(max).divide(Decimals.fraction(interval));
    Long most = row.most();
    if (Decimals.compare(count, BigFraction.of(row.fewest())) < 0
        || (most != null && Decimals.compare(count, BigFraction.of(most)) > 0)) {
      return "Max %s and e %s %s make n = %s intervals, where class %s has %s; check Max, e and class"
          .formatted(
              max,
              interval,
              unit.label(),
              Decimals.of(count),
              accuracyClass,
              most == null ? row.fewest() + " or more" : row.fewest() + " to " + most);
    }
    return null;
  }

  /** Returns n = Max / e, exactly. */
  public BigFraction intervals() {
    return Decimals.fraction(max).divide(Decimals.fraction(interval));
  }

  /** Returns Min, the lowest load worth trusting: below it one interval is too large a part. */
  public BigDecimal min() {
    AccuracyClass.Row row = Objects.requireNonNull(accuracyClass.rowFor(interval, unit));
    return interval.multiply(BigDecimal.valueOf(row.minInE()));
  }

  /**
   * Returns the maximum permissible error on verification, plus and minus.
   *
   * @throws IllegalArgumentException if the load is negative or above Max
   */
  public BigDecimal errorOnVerification(BigDecimal load) {
    if (load.compareTo(max) > 0) {
      throw new IllegalArgumentException(
          "a load of %s %s is above Max %s %s; use a larger scale"
              .formatted(load, unit.label(), max, unit.label()));
    }
    return accuracyClass.maximumPermissibleError(load, interval);
  }

  /**
   * Returns the maximum permissible error in service, plus and minus: twice that on verification
   * (OIML R 76-1:2006, 3.5.2).
   *
   * @throws IllegalArgumentException if the load is negative or above Max
   */
  public BigDecimal errorInService(BigDecimal load) {
    return errorOnVerification(load).multiply(TWO);
  }
}
