package org.tarebook.control;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.Locale;

/** Figures for people to read. */
final class Words {

  private Words() {}

  /**
   * A figure with as many decimals as show two digits of something of its size.
   *
   * @param of such as sigma, positive; 0 shows the figure in full
   */
  static String number(double figure, double of) {
    if (!(of > 0)) {
      return BigDecimal.valueOf(figure).toPlainString();
    }
    int decimals = Math.max(0, 1 - (int) Math.floor(Math.log10(of)));
    return BigDecimal.valueOf(figure).setScale(decimals, RoundingMode.HALF_EVEN).toPlainString();
  }

  /**
   * The same beside another figure: with more decimals where it takes them to show a difference.
   */
  static String number(double figure, double of, double other) {
    double size = of;
    while (size > 1e-15 && figure != other && number(figure, size).equals(number(other, size))) {
      size /= 10;
    }
    return number(figure, size);
  }

  /** A chance with two digits. */
  static String chance(double p) {
    return String.format(Locale.ROOT, "%.2g", p);
  }
}
