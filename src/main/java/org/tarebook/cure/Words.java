package org.tarebook.cure;

import java.math.BigDecimal;
import java.math.RoundingMode;
import org.tarebook.quantity.Unit;

/** Figures in sentences. */
final class Words {

  private Words() {}

  /** A number with at most four significant digits, but all of those before the point. */
  static String number(double figure) {
    return plain(rounded(figure, decimals(figure)));
  }

  /**
   * A number beside another that it is held against: with as many digits as they differ by, to ten,
   * by which a microsecond shows in hours.
   */
  static String number(double figure, double other) {
    int decimals = decimals(figure);
    while (figure != other
        && decimals < 10
        && rounded(figure, decimals).compareTo(rounded(other, decimals)) == 0) {
      decimals++;
    }
    return plain(rounded(figure, decimals));
  }

  private static int decimals(double figure) {
    double size = Math.abs(figure);
    return size >= 1000 ? 0 : size >= 100 ? 1 : size >= 10 ? 2 : 3;
  }

  private static BigDecimal rounded(double figure, int decimals) {
    return new BigDecimal(figure).setScale(decimals, RoundingMode.HALF_EVEN);
  }

  private static String plain(BigDecimal figure) {
    return figure.signum() == 0 ? "0" : figure.stripTrailingZeros().toPlainString();
  }

  /**
   * A difference of pressures in the unit of a channel, and in kPa where that is another one.
   *
   * @param kiloPascal the difference
   * @param other another that it is held against, for digits by which both differ
   */
  static String pressure(double kiloPascal, double other, Channel channel) {
    String inKiloPascal = number(kiloPascal, other) + " " + Unit.KILOPASCAL.label();
    if (channel.sent() == Unit.KILOPASCAL) {
      return inKiloPascal;
    }
    double factor = Unit.KILOPASCAL.factorTo(channel.sent()).doubleValue();
    return number(kiloPascal * factor, other * factor)
        + " "
        + channel.sent().label()
        + " ("
        + inKiloPascal
        + ")";
  }

  /** A length of time. */
  static String seconds(double length) {
    if (length < 120) {
      return number(length) + " s";
    }
    return number(length / 60) + " min";
  }

  /** A length of time beside a limit it is held against: to the digit by which they differ. */
  static String seconds(double length, double limit) {
    String text = seconds(length);
    return length != limit && text.equals(seconds(limit)) ? number(length, limit) + " s" : text;
  }

  static String capital(String sentence) {
    return sentence.isEmpty()
        ? sentence
        : Character.toUpperCase(sentence.charAt(0)) + sentence.substring(1);
  }
}
