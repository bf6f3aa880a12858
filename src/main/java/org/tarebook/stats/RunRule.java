package org.tarebook.stats;

/**
 * A rule on successive points of a chart, as data: what counts, how many of how many, and whether a
 * point exactly on a line counts. Rules of any kind and source may be mixed.
 */
public sealed interface RunRule
    permits ZoneRule, OneSideRule, BandRule, TrendRule, AlternationRule, MemoryRule {

  /** The longest window of any rule. */
  int LONGEST_WINDOW = 64;

  /**
   * Returns the short name of the rule.
   *
   * @return not blank
   */
  String code();

  /**
   * Returns how many points back the rule looks, the newest included.
   *
   * @return at least 1
   */
  int window();
}
