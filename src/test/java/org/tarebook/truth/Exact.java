package org.tarebook.truth;

import java.math.BigDecimal;
import java.math.MathContext;
import java.util.Collection;
import java.util.List;
import org.tarebook.truth.Facts.Row;

/**
 * Decimal arithmetic of the recomputation. Values are held exactly in kilograms and millimetres, of
 * which every unit used here is a finite decimal; quotients and roots are carried to 120 digits and
 * rounded to a double once.
 */
final class Exact {

  static final MathContext DIGITS = new MathContext(120);

  private Exact() {}

  /** What one unit is in kilograms or millimetres. */
  static BigDecimal factor(String unit) {
    return new BigDecimal(
        switch (unit) {
          case "kg", "mm" -> "1";
          case "g" -> "0.001";
          case "[lb_av]" -> "0.45359237";
          case "[in_i]" -> "25.4";
          default -> throw new IllegalArgumentException(unit);
        });
  }

  static BigDecimal base(Row row) {
    return row.value().multiply(factor(row.unit()));
  }

  static List<BigDecimal> bases(Collection<Row> rows) {
    return rows.stream().map(Exact::base).toList();
  }

  static BigDecimal sum(Collection<BigDecimal> values) {
    return values.stream().reduce(BigDecimal.ZERO, BigDecimal::add);
  }

  /** n times the sum of squared deviations from the mean. */
  static BigDecimal scaledDeviations(Collection<BigDecimal> values) {
    BigDecimal sum = sum(values);
    BigDecimal squares = sum(values.stream().map(value -> value.multiply(value)).toList());
    return squares.multiply(BigDecimal.valueOf(values.size())).subtract(sum.multiply(sum));
  }

  /** The double nearest to a quotient told in a unit. */
  static double quotient(BigDecimal total, BigDecimal divisor, String unit) {
    return total.divide(divisor.multiply(factor(unit)), DIGITS).doubleValue();
  }

  /** The double nearest to the root of a quotient, told in a unit. */
  static double root(BigDecimal total, BigDecimal divisor, String unit) {
    BigDecimal factor = factor(unit);
    return total
        .divide(divisor.multiply(factor).multiply(factor), DIGITS)
        .sqrt(DIGITS)
        .doubleValue();
  }

  /** The double nearest to the standard deviation of some values. */
  static double sd(Collection<BigDecimal> values, String unit) {
    long n = values.size();
    return root(scaledDeviations(values), BigDecimal.valueOf(n * (n - 1)), unit);
  }
}
