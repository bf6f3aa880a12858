package org.tarebook.compound;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import org.tarebook.http.Problem;
import org.tarebook.http.Problem.Fault;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.Quantity;

/**
 * The content of a fact in comparable words, to tell a retry from another fact under the same key.
 * Numbers are compared by value.
 */
final class Repeat {

  private static final int LONGEST_TOLD = 40;

  private final Map<String, String> members = new LinkedHashMap<>();

  /** Adds a member, unless it is absent. */
  Repeat with(String pointer, @Nullable Object content) {
    if (content != null) {
      members.put(pointer, words(content));
    }
    return this;
  }

  /** Refuses the request if its content is not that of the stored fact. */
  void requireSameAs(Repeat stored, String key, String what) {
    List<Fault> differences = new ArrayList<>();
    Stream.concat(members.keySet().stream(), stored.members.keySet().stream())
        .distinct()
        .filter(pointer -> !Objects.equals(members.get(pointer), stored.members.get(pointer)))
        .forEach(
            pointer ->
                differences.add(
                    Fault.at(
                        pointer,
                        "is "
                            + told(members.get(pointer))
                            + " here and "
                            + told(stored.members.get(pointer))
                            + " in what is stored")));
    if (!differences.isEmpty()) {
      throw new Problem(
          ProblemType.KEY_REUSED,
          "The key "
              + key
              + " names "
              + what
              + ", which differs in "
              + differences.stream()
                  .map(fault -> fault.pointer().substring(1))
                  .collect(Collectors.joining(", "))
              + "; what is new needs a new key.",
          differences);
    }
  }

  private static String words(Object content) {
    if (content instanceof java.math.BigDecimal number) {
      return number.stripTrailingZeros().toPlainString();
    } else if (content instanceof Quantity quantity) {
      return words(quantity.value()) + " " + quantity.unit();
    } else if (content instanceof List<?> list) {
      return list.stream().map(Repeat::words).collect(Collectors.joining(", "));
    }
    return content.toString();
  }

  private static String told(@Nullable String words) {
    if (words == null) {
      return "absent";
    }
    return words.length() > LONGEST_TOLD ? words.substring(0, LONGEST_TOLD) + "…" : words;
  }
}
