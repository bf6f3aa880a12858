package org.tarebook.quantity;

import java.util.Arrays;
import java.util.Locale;
import java.util.stream.Collectors;

/** The sentence that refuses a unit code. */
final class UnknownUnit {

  private UnknownUnit() {}

  static String message(String code) {
    String near =
        Arrays.stream(Unit.values())
            .filter(unit -> isNear(code, unit))
            .map(unit -> "'" + unit.code() + "'")
            .collect(Collectors.joining(" or "));
    return "unknown unit "
        + Quoted.of(code)
        + "; units are case-sensitive UCUM codes, "
        + (near.isEmpty()
            ? "such as 'kg', '[lb_av]', 'mm', 'Cel' or 'kPa'"
            : "did you mean " + near + "?");
  }

  private static boolean isNear(String code, Unit unit) {
    String letters = letters(code);
    if (letters.isEmpty()) {
      return false;
    }
    String ofCode = letters(unit.code());
    String ofLabel = letters(unit.label());
    String singular =
        letters.length() > 2 && letters.endsWith("s")
            ? letters.substring(0, letters.length() - 1)
            : letters;
    return ofCode.equals(letters)
        || ofLabel.equals(letters)
        || ofCode.equals(singular)
        || ofLabel.equals(singular);
  }

  /**
   * Lower case without brackets, systems of measure and signs: {@code [lb_av]} gives {@code lb}.
   */
  private static String letters(String text) {
    return text.replace('²', '2')
        .replace('³', '3')
        .replaceAll("_(av|i)\\b", "")
        .replaceAll("[^\\p{L}\\p{N}%/]", "")
        .toLowerCase(Locale.ROOT);
  }
}
