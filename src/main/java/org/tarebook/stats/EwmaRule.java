package org.tarebook.stats;

import org.jspecify.annotations.Nullable;

/**
 * A rule on the exponentially weighted average of the points of the window, \( e_0 = 0,\ e_i =
 * \lambda z_i + (1 - \lambda) e_{i-1} \): it signals beyond its exact limits \( \pm L \sqrt{
 * \frac{\lambda}{2 - \lambda} (1 - (1 - \lambda)^{2i})} \). A point on a limit does not count.
 *
 * <p>Of a weight of 0.1 and more, what lies behind 64 points weighs less than 0.12 %.
 *
 * <p><b>Source:</b> S. W. Roberts, Technometrics 1 (1959) 239-250, but for the window.
 *
 * @param code short name, not blank
 * @param window points gathered, 2 to {@value RunRule#LONGEST_WINDOW}
 * @param weight \( \lambda \), share of the newest point, above 0 and below 1
 * @param reach \( L \), distance of the limits in sigma of the average, positive
 */
public record EwmaRule(String code, int window, double weight, double reach) implements MemoryRule {

  /** The usual one: weight 0.2, reach 2.86, over the longest window. */
  public static final EwmaRule USUAL = new EwmaRule("EWMA", LONGEST_WINDOW, 0.2, 2.86);

  /**
   * Checks the rule.
   *
   * @throws IllegalArgumentException if the code is blank or a number lies outside
   */
  public EwmaRule {
    RunRules.require(code, window, 2);
    if (!(weight > 0 && weight < 1)) {
      throw new IllegalArgumentException(
          "weight of rule %s is %s, must be above 0 and below 1".formatted(code, weight));
    }
    Arguments.requirePositive("reach of rule " + code, reach);
  }

  @Override
  public @Nullable RunSignal signal(double[] z, int last) {
    int start = Math.max(0, last - window + 1);
    double average = 0;
    int first = start;
    for (int i = start; i <= last; i++) {
      double next = weight * z[i] + (1 - weight) * average;
      first = Math.signum(next) == Math.signum(average) ? first : i;
      average = next;
    }
    double settled = -Math.expm1(2 * (last - start + 1) * Math.log1p(-weight));
    double limit = reach * Math.sqrt(weight / (2 - weight) * settled);
    return Math.abs(average) > limit
        ? new RunSignal(this, average > 0 ? Side.ABOVE : Side.BELOW, first, last)
        : null;
  }
}
