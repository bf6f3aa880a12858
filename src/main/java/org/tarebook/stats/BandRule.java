package org.tarebook.stats;

/**
 * A rule on an unbroken run of points whose distance from the centre counts, whichever side they
 * lie on: all inside a band about it (subgroups that mix streams hug the centre), or none inside it
 * (two processes on one chart).
 *
 * @param code short name, not blank
 * @param window points in the run, 2 to {@value RunRule#LONGEST_WINDOW}
 * @param zone half width of the band in sigma of the plotted figure, positive
 * @param inside whether points count inside the band; otherwise outside
 * @param bothSides whether at least one point must lie on each side of the centre line
 * @param strict whether a point exactly at {@code zone} does not count
 */
public record BandRule(
    String code, int window, double zone, boolean inside, boolean bothSides, boolean strict)
    implements RunRule {

  /**
   * Checks the rule.
   *
   * @throws IllegalArgumentException if the code is blank or a number lies outside
   */
  public BandRule {
    RunRules.require(code, window, 2);
    Arguments.requirePositive("zone of rule " + code, zone);
  }

  /**
   * Returns whether a point counts for this rule.
   *
   * @param z the point's distance from the centre line in sigma, positive above
   * @return true if so
   */
  public boolean counts(double z) {
    double distance = Math.abs(z);
    return distance == zone ? !strict : inside == distance < zone;
  }
}
