package org.tarebook.stats;

import org.jspecify.annotations.Nullable;

/**
 * A rule on the two tabular sums of the points of the window, \( H_i = \max(0, H_{i-1} + z_i - k)
 * \) and \( L_i = \max(0, L_{i-1} - z_i - k) \), both from 0: it signals where one is above the
 * decision value. Both at once signal on the side of the newest point.
 *
 * <p><b>Source:</b> NIST/SEMATECH e-Handbook, section 6.3.2.3, but for the window.
 *
 * @param code short name, not blank
 * @param window points gathered, 2 to {@value RunRule#LONGEST_WINDOW}
 * @param allowance \( k \), half the shift that is to be found, in sigma, zero or positive
 * @param decision the decision value in sigma, positive
 */
public record CusumRule(String code, int window, double allowance, double decision)
    implements MemoryRule {

  /** The usual one: allowance 0.5, decision value 5, over the longest window. */
  public static final CusumRule USUAL = new CusumRule("CUSUM", LONGEST_WINDOW, 0.5, 5);

  /**
   * Checks the rule.
   *
   * @throws IllegalArgumentException if the code is blank or a number lies outside
   */
  public CusumRule {
    RunRules.require(code, window, 2);
    Arguments.requireNotNegative("allowance of rule " + code, allowance);
    Arguments.requirePositive("decision value of rule " + code, decision);
  }

  @Override
  public @Nullable RunSignal signal(double[] z, int last) {
    double high = 0;
    double low = 0;
    int highSince = last;
    int lowSince = last;
    for (int i = Math.max(0, last - window + 1); i <= last; i++) {
      highSince = high > 0 ? highSince : i;
      lowSince = low > 0 ? lowSince : i;
      high = Math.max(0, high + z[i] - allowance);
      low = Math.max(0, low - z[i] - allowance);
    }
    boolean above = high > decision;
    if (above && (z[last] >= 0 || !(low > decision))) {
      return new RunSignal(this, Side.ABOVE, highSince, last);
    }
    return low > decision ? new RunSignal(this, Side.BELOW, lowSince, last) : null;
  }
}
