package org.tarebook.stats;

/**
 * A rule on points that go up and down in turn, as when two stations are read in turn. Equal
 * neighbours break it.
 *
 * @param code short name, not blank
 * @param window points, 3 to {@value RunRule#LONGEST_WINDOW}; fourteen points are thirteen moves
 */
public record AlternationRule(String code, int window) implements RunRule {

  /**
   * Checks the rule.
   *
   * @throws IllegalArgumentException if the code is blank or the window lies outside
   */
  public AlternationRule {
    RunRules.require(code, window, 3);
  }
}
