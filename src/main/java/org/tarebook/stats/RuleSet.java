package org.tarebook.stats;

import java.util.List;
import java.util.Optional;

/**
 * A published set of run rules. Sets only group rules; a chart may take any of them together.
 *
 * @param name of the set
 * @param source where it was published, and which reading of it this is
 * @param rules in the order of the source
 */
public record RuleSet(String name, String source, List<RunRule> rules) {

  /** The four zone tests of 1956. */
  public static final RuleSet WESTERN_ELECTRIC =
      new RuleSet(
          "Western Electric 1956",
          "Western Electric Co., Statistical Quality Control Handbook (1956), section I B; each"
              + " half of the chart by itself, one sigma or beyond counts in the third",
          List.copyOf(ZoneRule.WESTERN_ELECTRIC));

  /** The eight tests of 1984. */
  public static final RuleSet NELSON =
      new RuleSet(
          "Nelson 1984",
          "L. S. Nelson, Journal of Quality Technology 16 (1984) 237-239; lines do not count, the"
              + " eighth test asks for points on both sides",
          List.of(
              new ZoneRule("NELSON_1", 1, 1, 3, true),
              new ZoneRule("NELSON_2", 9, 9, 0, true),
              new TrendRule("NELSON_3", 6),
              new AlternationRule("NELSON_4", 14),
              new ZoneRule("NELSON_5", 2, 3, 2, true),
              new ZoneRule("NELSON_6", 4, 5, 1, true),
              new BandRule("NELSON_7", 15, 1, true, false, true),
              new BandRule("NELSON_8", 8, 1, false, true, true)));

  /** The three patterns of the standard that can be computed; its fourth is left to the eye. */
  public static final RuleSet ISO_7870_2 =
      new RuleSet(
          "ISO 7870-2",
          "ISO 7870-2:2013, pattern tests: outside the action limits, seven on one side, seven"
              + " rising or falling",
          List.of(
              new ZoneRule("ISO_1", 1, 1, 3, true),
              new ZoneRule("ISO_2", 7, 7, 0, true),
              new TrendRule("ISO_3", 7)));

  /**
   * Two charts with memory as rules of their own, the figures being common practice. A point is
   * gathered over the last {@value RunRule#LONGEST_WINDOW}.
   */
  public static final RuleSet MEMORY =
      new RuleSet(
          "Memory",
          "S. W. Roberts, Technometrics 1 (1959) 239-250; NIST/SEMATECH e-Handbook, 6.3.2.3; usual"
              + " weight, reach, allowance and decision value are common practice",
          List.of(EwmaRule.USUAL, CusumRule.USUAL));

  /** Every set. */
  public static final List<RuleSet> ALL = List.of(WESTERN_ELECTRIC, NELSON, ISO_7870_2, MEMORY);

  /** Copies the rules. */
  public RuleSet {
    rules = List.copyOf(rules);
  }

  /**
   * Returns the rule of any set with this code.
   *
   * @param code as {@link RunRule#code}
   * @return empty if there is none
   */
  public static Optional<RunRule> rule(String code) {
    return ALL.stream()
        .flatMap(set -> set.rules().stream())
        .filter(rule -> rule.code().equals(code))
        .findFirst();
  }

  /** Says of a code that it names no rule, and which codes do. */
  public static String unknown(String code) {
    return "'" + code + "' is no rule; there are " + String.join(", ", codes());
  }

  /**
   * Returns the codes of all rules.
   *
   * @return in the order of the sets
   */
  public static List<String> codes() {
    return ALL.stream().flatMap(set -> set.rules().stream()).map(RunRule::code).toList();
  }
}
