package org.tarebook.plantbench;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;

/** The results as a Markdown table, with whether each goal was met. */
final class Table {

  private static final String MET = "met";
  private static final String MISSED = "missed";

  private final List<String> rows = new ArrayList<>();

  /** A figure that should reach a part of another. */
  void atLeast(String part, String tarebook, String other, double ratio, double goal) {
    add(part, tarebook, other, ratio, "at least " + goal, ratio >= goal ? MET : MISSED);
  }

  /** A figure that should not go beyond a multiple of another. */
  void atMost(String part, String tarebook, String other, double ratio, double goal) {
    add(part, tarebook, other, ratio, "at most " + goal, ratio <= goal ? MET : MISSED);
  }

  /** A figure beside another, without a goal. */
  void beside(String part, String tarebook, String other, double ratio) {
    add(part, tarebook, other, ratio, "none", "");
  }

  private void add(
      String part, String tarebook, String other, double ratio, String goal, String met) {
    String row =
        String.format(
            Locale.ROOT,
            "| %s | %s | %s | %.3g | %s | %s |",
            part,
            tarebook,
            other,
            ratio,
            goal,
            met);
    rows.add(row);
    System.out.println(row);
  }

  /** Prints all of it. */
  void print() {
    System.out.println();
    System.out.println("| part | Tarebook | compared with | ratio | goal | |");
    System.out.println("|---|---|---|---|---|---|");
    rows.forEach(System.out::println);
  }
}
