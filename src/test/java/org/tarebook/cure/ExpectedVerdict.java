package org.tarebook.cure;

import java.util.ArrayList;
import java.util.List;
import java.util.stream.StreamSupport;
import tools.jackson.databind.JsonNode;

/**
 * What a scenario expects of a verdict, by lines such as "expect 1 2 GOOD", "reason 1 CODE WEIGHT
 * CHANNEL", "without-reason 1 CODE" and "says 1 CODE WORDS".
 */
final class ExpectedVerdict {

  private final List<List<String>> expected;

  ExpectedVerdict(List<List<String>> expected) {
    this.expected = expected;
  }

  /** What the verdict has to be, and is not; empty where all is as expected. */
  List<String> failures(JsonNode verdict) {
    List<String> failures = new ArrayList<>();
    for (List<String> words : expected) {
      if (words.get(0).equals("expect")) {
        String wanted = words.get(words.size() - 1);
        for (String cavity : words.subList(1, words.size() - 1)) {
          String found = cavity(verdict, cavity).path("verdict").asString();
          if (!found.equals(wanted)) {
            failures.add("cavity " + cavity + " is " + found + ", expected " + wanted);
          }
        }
      } else if (words.get(0).equals("says")) {
        String text = String.join(" ", words.subList(3, words.size()));
        boolean said =
            StreamSupport.stream(cavity(verdict, words.get(1)).path("reasons").spliterator(), false)
                .filter(reason -> reason.get("code").asString().equals(words.get(2)))
                .anyMatch(reason -> reason.get("words").asString().contains(text));
        if (!said) {
          failures.add("missing " + words);
        }
      } else {
        boolean there = hasReason(cavity(verdict, words.get(1)), words.subList(2, words.size()));
        if (there == words.get(0).equals("without-reason")) {
          failures.add((there ? "there is " : "missing ") + words);
        }
      }
    }
    if (!failures.isEmpty()) {
      for (JsonNode cavity : verdict.get("cavities")) {
        failures.add(cavity.get("cavity") + ": " + cavity.get("reasons"));
      }
    }
    return failures;
  }

  private static boolean hasReason(JsonNode cavity, List<String> wanted) {
    for (JsonNode reason : cavity.path("reasons")) {
      boolean fits = reason.get("code").asString().equals(wanted.get(0));
      for (String word : wanted.subList(1, wanted.size())) {
        fits &=
            switch (word) {
              case "shared" -> reason.get("shared").asBoolean();
              case "own" -> !reason.get("shared").asBoolean();
              case "BREACH", "DOUBT", "REMARK" -> reason.get("weight").asString().equals(word);
              default ->
                  word.equals(reason.path("channel").asString())
                      || word.equals(reason.path("step").asString())
                      || word.equals(reason.path("line").asString())
                      || word.equals(reason.path("rule").asString());
            };
      }
      if (fits) {
        return true;
      }
    }
    return false;
  }

  private static JsonNode cavity(JsonNode verdict, String number) {
    for (JsonNode cavity : verdict.get("cavities")) {
      if (cavity.get("cavity").asInt() == Integer.parseInt(number)) {
        return cavity;
      }
    }
    return tools.jackson.databind.node.MissingNode.getInstance();
  }
}
