package org.tarebook.stats;

/**
 * A zone rule that is judged on one half of the chart only, such as for a spread or a reject rate
 * where only a rise matters.
 *
 * @param rule the rule
 * @param side the half
 */
public record OneSideRule(ZoneRule rule, Side side) implements RunRule {

  @Override
  public String code() {
    return rule.code() + "_" + side;
  }

  @Override
  public int window() {
    return rule.window();
  }
}
