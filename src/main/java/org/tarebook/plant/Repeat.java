package org.tarebook.plant;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import org.tarebook.http.Problem;
import org.tarebook.http.Problem.Fault;
import org.tarebook.http.ProblemType;

/**
 * The content of a fact in comparable words, to tell a retry from another fact under the same key.
 * Numbers are compared by value.
 */
public final class Repeat {

  private static final int LONGEST_TOLD = 40;

  private final Map<String, Optional<String>> members = new LinkedHashMap<>();

  /** Adds a member, which may be absent. */
  public Repeat with(String pointer, @Nullable Object content) {
    members.put(pointer, Optional.ofNullable(content).map(Repeat::words));
    return this;
  }

  /** Refuses the request if its content is not that of the stored fact. */
  public void requireSameAs(Repeat stored, String key, String what) {
    List<Fault> differences = new ArrayList<>();
    Stream.concat(members.keySet().stream(), stored.members.keySet().stream())
        .distinct()
        .filter(pointer -> !at(pointer).equals(stored.at(pointer)))
        .forEach(
            pointer ->
                differences.add(
                    Fault.at(
                        pointer,
                        "is "
                            + told(at(pointer))
                            + " here and "
                            + told(stored.at(pointer))
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
    if (content instanceof BigDecimal number) {
      return number.stripTrailingZeros().toPlainString();
    } else if (content instanceof Quantity quantity) {
      return words(quantity.value()) + " " + quantity.unit();
    } else if (content instanceof List<?> list) {
      return list.stream().map(Repeat::words).collect(Collectors.joining(", "));
    }
    return content.toString();
  }

  private Optional<String> at(String pointer) {
    return members.getOrDefault(pointer, Optional.empty());
  }

  private static String told(Optional<String> content) {
    String words = content.orElse("absent");
    return words.length() > LONGEST_TOLD ? words.substring(0, LONGEST_TOLD) + "…" : words;
  }
}
