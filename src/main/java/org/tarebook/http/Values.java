package org.tarebook.http;

import java.math.BigDecimal;
import org.jspecify.annotations.Nullable;
import org.tarebook.quantity.Quoted;

/**
 * Whole numbers, fractions, truth values and text as they come in parameters, CSV and JSON. What
 * cannot be kept exactly is refused with a message that says what is wanted.
 */
final class Values {

  private static final String WHOLE = "-?[0-9]{1,19}";
  private static final String FRACTION = "-?[0-9]{1,30}(\\.[0-9]{1,30})?([eE][+-]?[0-9]{1,3})?";

  private Values() {}

  /**
   * Reads a whole number.
   *
   * @throws IllegalArgumentException if it is anything else or out of bounds
   */
  static long whole(String text, long least, long most) {
    if (!text.matches(WHOLE)) {
      throw new IllegalArgumentException("must be a whole number, was " + Quoted.of(text));
    }
    BigDecimal number = new BigDecimal(text);
    if (number.compareTo(BigDecimal.valueOf(least)) < 0
        || number.compareTo(BigDecimal.valueOf(most)) > 0) {
      throw new IllegalArgumentException(
          "must lie between " + least + " and " + most + ", was " + Quoted.of(text));
    }
    return number.longValueExact();
  }

  /**
   * Reads a number that is computed with as a double.
   *
   * @throws IllegalArgumentException if it is not a number, or a double does not keep its digits
   */
  static double fraction(String text) {
    if (!text.matches(FRACTION)) {
      throw new IllegalArgumentException("must be a number, was " + Quoted.of(text));
    }
    double value = Double.parseDouble(text);
    if (!Double.isFinite(value) || BigDecimal.valueOf(value).compareTo(new BigDecimal(text)) != 0) {
      throw new IllegalArgumentException(
          "must be a number of at most 15 digits below 1e300, was " + Quoted.of(text));
    }
    return value;
  }

  /**
   * Reads a truth value.
   *
   * @throws IllegalArgumentException if it is anything else
   */
  static boolean truth(String text) {
    if (!text.equals("true") && !text.equals("false")) {
      throw new IllegalArgumentException("must be true or false, was " + Quoted.of(text));
    }
    return text.equals("true");
  }

  /** Why a text cannot be kept; absent where it can. */
  static @Nullable String unkeepable(String text) {
    if (text.indexOf('\0') >= 0) {
      return "holds a NUL character, which no record can keep";
    }
    for (int i = 0; i < text.length(); i++) {
      if (Character.isSurrogate(text.charAt(i))) {
        if (i + 1 == text.length()
            || !Character.isSurrogatePair(text.charAt(i), text.charAt(i + 1))) {
          return "holds half a character, which no record can keep";
        }
        i++;
      }
    }
    return null;
  }

  /**
   * Why a text must not be shown: it holds a character that cannot be seen, or that changes how the
   * text around it reads; absent where it holds none.
   *
   * @param severalLines whether it may have line breaks and tabs
   */
  static @Nullable String unreadable(String text, boolean severalLines) {
    return text.codePoints()
        .filter(point -> isUnreadable(point, severalLines))
        .mapToObj(Values::refusal)
        .findFirst()
        .orElse(null);
  }

  private static boolean isUnreadable(int point, boolean severalLines) {
    return switch (Character.getType(point)) {
      case Character.CONTROL ->
          !(severalLines && (point == '\n' || point == '\r' || point == '\t'));
      case Character.LINE_SEPARATOR, Character.PARAGRAPH_SEPARATOR -> true;
      case Character.FORMAT -> !joinsLetters(point);
      default -> false;
    };
  }

  /** Some scripts cannot be written without these two. */
  private static boolean joinsLetters(int point) {
    return point == 0x200C || point == 0x200D;
  }

  private static String refusal(int point) {
    return point == '\n' || point == '\r'
        ? "holds a line break; write it in one line"
        : "holds the character U+%04X, which cannot be seen or changes how the text reads; leave it"
                .formatted(point)
            + " out";
  }
}
