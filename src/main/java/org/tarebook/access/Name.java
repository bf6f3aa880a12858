package org.tarebook.access;

import java.text.Normalizer;
import java.util.Locale;
import java.util.Set;

/** Names of persons, stations and systems: how they are written, and when two are the same. */
final class Name {

  /** The service's own; it signs with them. */
  private static final Set<String> RESERVED = Set.of("tarebook", Tokens.FIRST_ADMINISTRATOR_NAME);

  private Name() {}

  /** The name as it is kept: composed (NFC), with single blanks, and none at its ends. */
  static String tidied(String name) {
    return Normalizer.normalize(name, Normalizer.Form.NFC).replaceAll("[\\p{Z}\\s]+", " ").strip();
  }

  /** Whether every character can be seen and leaves the text around it as it is. */
  static boolean legible(String name) {
    return !name.isEmpty()
        && name.codePoints()
            .noneMatch(
                point ->
                    switch (Character.getType(point)) {
                      case Character.CONTROL,
                          Character.FORMAT,
                          Character.PRIVATE_USE,
                          Character.SURROGATE,
                          Character.UNASSIGNED ->
                          true;
                      default -> false;
                    });
  }

  /** Whether the service itself signs with it. */
  static boolean reserved(String name) {
    return RESERVED.stream().anyMatch(own -> alike(own, name));
  }

  /** Whether a reader takes two names for one: without regard to case, width and blanks. */
  static boolean alike(String one, String other) {
    return folded(one).equals(folded(other));
  }

  private static String folded(String name) {
    return Normalizer.normalize(tidied(name), Normalizer.Form.NFKC)
        .toUpperCase(Locale.ROOT)
        .toLowerCase(Locale.ROOT)
        .replaceAll("[\\p{Z}\\s]+", " ");
  }
}
