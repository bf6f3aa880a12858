package org.tarebook.quantity;

import java.math.BigDecimal;
import java.util.Arrays;
import java.util.List;
import org.apache.commons.numbers.fraction.BigFraction;
import org.jspecify.annotations.Nullable;

/**
 * The accuracy classes of scales. Symbols: e the verification scale interval, Max the highest load,
 * Min the lowest, n = Max / e.
 *
 * <p><b>Source:</b> OIML R 76-1:2006, Table 3 (e, n and Min) and Table 6 (maximum permissible
 * errors). Its rows name intervals in grams and leave room between them, since e is 1, 2 or 5 times
 * a power of ten. An interval in pounds, ounces or grains falls into such room (0.005 lb is 2.27
 * g): it belongs to the last row that begins at no more than a quarter above it, so that 0.005 lb
 * and 0.125 oz go with 2 g, 0.01 lb and 0.25 oz with 5 g, and 0.0002 lb with 0.1 g, as in NIST
 * Handbook 44, section 2.20, Table 3 (from memory).
 */
public enum AccuracyClass {
  I(50_000, 200_000, row("0.001", null, 50_000, null, 100)),
  II(5_000, 20_000, row("0.001", "0.05", 100, 100_000L, 20), row("0.1", null, 5_000, 100_000L, 50)),
  III(500, 2_000, row("0.1", "2", 100, 10_000L, 20), row("5", null, 500, 10_000L, 20)),
  IIII(50, 200, row("5", null, 100, 1_000L, 10));

  private static final BigDecimal HALF = new BigDecimal("0.5");
  private static final BigDecimal ONE_AND_A_HALF = new BigDecimal("1.5");

  private static final BigFraction AND_A_QUARTER = BigFraction.of(5, 4);

  private final BigDecimal halfUpTo;
  private final BigDecimal oneUpTo;

  @SuppressWarnings("ImmutableEnumChecker") // List.of, of records of immutable parts
  private final List<Row> rows;

  AccuracyClass(long halfUpTo, long oneUpTo, Row... rows) {
    this.halfUpTo = BigDecimal.valueOf(halfUpTo);
    this.oneUpTo = BigDecimal.valueOf(oneUpTo);
    this.rows = List.of(rows);
  }

  /**
   * One row of Table 3.
   *
   * @param fromG the smallest e, grams
   * @param toG the largest e, grams; null for any
   * @param fewest the smallest n
   * @param most the largest n; null for any
   * @param minInE Min in e
   */
  record Row(
      BigDecimal fromG, @Nullable BigDecimal toG, long fewest, @Nullable Long most, long minInE) {

    boolean holds(BigFraction intervalG) {
      return Decimals.compare(intervalG, Decimals.fraction(fromG)) >= 0
          && (toG == null || Decimals.compare(intervalG, Decimals.fraction(toG)) <= 0);
    }
  }

  private static Row row(
      String fromG, @Nullable String toG, long fewest, @Nullable Long most, long minInE) {
    return new Row(
        new BigDecimal(fromG), toG == null ? null : new BigDecimal(toG), fewest, most, minInE);
  }

  /**
   * Returns the classes a scale of this Max and e may have, from I downwards; there may be none.
   */
  public static List<AccuracyClass> validFor(BigDecimal max, BigDecimal interval, Unit unit) {
    return Arrays.stream(values())
        .filter(each -> WeighingRange.fault(each, max, interval, unit) == null)
        .toList();
  }

  /**
   * Returns the maximum permissible error on verification, plus and minus: 0.5 e, 1 e or 1.5 e by
   * the size of the load.
   *
   * @param load 0 or more, in the unit of e
   * @param interval e, greater than 0
   * @throws IllegalArgumentException if the load is negative or has more intervals than any scale
   *     of the class, or e is not positive
   */
  public BigDecimal maximumPermissibleError(BigDecimal load, BigDecimal interval) {
    Decimals.requirePositive("a scale interval e", interval);
    if (load.signum() < 0) {
      throw new IllegalArgumentException("a load must be 0 or more, was " + load);
    }
    Long most = rows.get(0).most();
    if (most != null && load.compareTo(interval.multiply(BigDecimal.valueOf(most))) > 0) {
      throw new IllegalArgumentException(
          "a load of %s is more than %d intervals of %s, which no scale of class %s has"
              .formatted(load, most, interval, this));
    }
    if (load.compareTo(interval.multiply(halfUpTo)) <= 0) {
      return interval.multiply(HALF);
    }
    return load.compareTo(interval.multiply(oneUpTo)) <= 0
        ? interval
        : interval.multiply(ONE_AND_A_HALF);
  }

  /** Returns the row that holds e, or null if the class has no such e. */
  @Nullable Row rowFor(BigDecimal interval, Unit unit) {
    BigFraction intervalG = Unit.convert(interval, unit, Unit.GRAM);
    if (unit == Unit.POUND || unit == Unit.OUNCE || unit == Unit.GRAIN) {
      BigFraction raised = intervalG.multiply(AND_A_QUARTER);
      return rows.stream()
          .filter(row -> Decimals.compare(raised, Decimals.fraction(row.fromG())) >= 0)
          .reduce((earlier, later) -> later)
          .orElse(null);
    }
    return rows.stream().filter(row -> row.holds(intervalG)).findFirst().orElse(null);
  }
}
