package org.tarebook.cure;

/** Figures in sentences. */
final class Words {

  private Words() {}

  /** A number with at most four significant digits, but all of those before the point. */
  static String number(double figure) {
    double size = Math.abs(figure);
    int decimals = size >= 1000 ? 0 : size >= 100 ? 1 : size >= 10 ? 2 : 3;
    String text =
        new java.math.BigDecimal(figure)
            .setScale(decimals, java.math.RoundingMode.HALF_EVEN)
            .stripTrailingZeros()
            .toPlainString();
    return text.equals("-0") ? "0" : text;
  }

  /** A length of time. */
  static String seconds(double length) {
    if (length < 120) {
      return number(length) + " s";
    }
    return number(length / 60) + " min";
  }

  static String capital(String sentence) {
    return sentence.isEmpty()
        ? sentence
        : Character.toUpperCase(sentence.charAt(0)) + sentence.substring(1);
  }
}
