package org.tarebook.cure;

import java.math.BigDecimal;
import java.math.RoundingMode;

/** Figures in sentences. */
final class Words {

  private Words() {}

  /** A number with at most four significant digits, but all of those before the point. */
  static String number(double figure) {
    double size = Math.abs(figure);
    int decimals = size >= 1000 ? 0 : size >= 100 ? 1 : size >= 10 ? 2 : 3;
    String text =
        new BigDecimal(figure)
            .setScale(decimals, RoundingMode.HALF_EVEN)
            .stripTrailingZeros()
            .toPlainString();
    return text.equals("-0") ? "0" : text;
  }

  /** A number beside a limit it is held against: with as many digits as they differ by, to nine. */
  static String number(double figure, double limit) {
    String text = number(figure);
    for (int decimals = 1;
        figure != limit && decimals <= 9 && new BigDecimal(text).doubleValue() == limit;
        decimals++) {
      text =
          new BigDecimal(figure)
              .setScale(decimals, RoundingMode.HALF_EVEN)
              .stripTrailingZeros()
              .toPlainString();
    }
    return text;
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
