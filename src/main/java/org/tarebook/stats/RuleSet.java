package org.tarebook.stats;

import java.util.List;

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

  /** Copies the rules. */
  public RuleSet {
    rules = List.copyOf(rules);
  }
}
