package org.tarebook.stats;

/**
 * A rule on points that rise steadily, or fall steadily. Equal neighbours break the trend.
 *
 * @param code short name, not blank
 * @param window points in the trend, 3 to {@value RunRule#LONGEST_WINDOW}; six points are five
 *     rises
 */
public record TrendRule(String code, int window) implements RunRule {

  /**
   * Checks the rule.
   *
   * @throws IllegalArgumentException if the code is blank or the window lies outside
   */
  public TrendRule {
    RunRules.require(code, window, 3);
  }
}
