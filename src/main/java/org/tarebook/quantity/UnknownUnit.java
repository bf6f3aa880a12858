package org.tarebook.quantity;

import java.util.Arrays;
import java.util.Locale;
import java.util.Set;
import java.util.function.Predicate;
import java.util.stream.Collectors;

/** The sentence that refuses a unit code. */
final class UnknownUnit {

  private static final int LONGEST_CODE = 40;

  private UnknownUnit() {}

  static String message(String code) {
    String near =
        code.length() > LONGEST_CODE
            ? ""
            : Arrays.stream(Unit.values())
                .filter(near(letters(code)))
                .map(unit -> "'" + unit.code() + "'")
                .collect(Collectors.joining(" or "));
    return "unknown unit "
        + Quoted.of(code)
        + "; units are case-sensitive UCUM codes, "
        + (near.isEmpty()
            ? "such as 'kg', '[lb_av]', 'mm', 'Cel' or 'kPa'"
            : "did you mean " + near + "?");
  }

  /** Near is a unit whose code or label has the same letters, or the same but for a plural s. */
  private static Predicate<Unit> near(String letters) {
    Set<String> meant =
        letters.length() > 2 && letters.endsWith("s")
            ? Set.of(letters, letters.substring(0, letters.length() - 1))
            : Set.of(letters);
    return unit ->
        !letters.isEmpty()
            && (meant.contains(letters(unit.code())) || meant.contains(letters(unit.label())));
  }

  /**
   * Lower case without brackets, systems of measure and signs: {@code [lb_av]} gives {@code lb}.
   */
  private static String letters(String text) {
    return text.toLowerCase(Locale.ROOT)
        .replace('²', '2')
        .replace('³', '3')
        .replaceAll("_(av|i)\\b", "")
        .replaceAll("[^\\p{L}\\p{N}%/]", "");
  }
}
