package org.tarebook.stats;

import java.util.List;

/**
 * A rule on runs of points: {@code count} out of the last {@code window} points lie beyond {@code
 * zone} sigma, all on one side, and the last of them is the newest point.
 *
 * <p>The other points of the window may lie anywhere. A point on the centre line is on neither
 * side, whatever the zone.
 *
 * <p><b>Source:</b> the four constants are the zone tests of the Western Electric Statistical
 * Quality Control Handbook (1956), section I B. Points at exactly one sigma count in the third,
 * points at exactly two or three sigma do not count in the others: so worded in Montgomery and
 * Runger, Applied Statistics and Probability for Engineers, on the handbook's rules. For rounded
 * weighings it makes a difference.
 *
 * @param code short name, not blank
 * @param count points needed, at least 1
 * @param window points looked at, {@code count} to 64
 * @param zone distance from the centre line in sigma of the plotted figure, zero or positive
 * @param strict whether a point exactly at {@code zone} does not count
 */
public record ZoneRule(String code, int count, int window, double zone, boolean strict)
    implements RunRule {

  /** One point beyond three sigma. */
  public static final ZoneRule BEYOND_LIMITS = new ZoneRule("BEYOND_LIMITS", 1, 1, 3, true);

  /** Two of three successive points beyond two sigma on one side. */
  public static final ZoneRule TWO_OF_THREE = new ZoneRule("TWO_OF_THREE", 2, 3, 2, true);

  /** Four of five successive points at one sigma or beyond on one side. */
  public static final ZoneRule FOUR_OF_FIVE = new ZoneRule("FOUR_OF_FIVE", 4, 5, 1, false);

  /** Eight successive points on one side of the centre line. */
  public static final ZoneRule EIGHT_ON_ONE_SIDE = new ZoneRule("EIGHT_ON_ONE_SIDE", 8, 8, 0, true);

  /** The four rules above, in that order. */
  public static final List<ZoneRule> WESTERN_ELECTRIC =
      List.of(BEYOND_LIMITS, TWO_OF_THREE, FOUR_OF_FIVE, EIGHT_ON_ONE_SIDE);

  /**
   * Checks the rule.
   *
   * @throws IllegalArgumentException if the code is blank or a number lies outside
   */
  public ZoneRule {
    if (code.isBlank()) {
      throw new IllegalArgumentException("code of a zone rule is blank");
    }
    if (count < 1 || count > window || window > LONGEST_WINDOW) {
      throw new IllegalArgumentException(
          "rule %s asks for %d of %d points, must be 1 or more of at most %d"
              .formatted(code, count, window, LONGEST_WINDOW));
    }
    Arguments.requireNotNegative("zone of rule " + code, zone);
  }

  /**
   * Returns whether a point counts for this rule.
   *
   * @param z the point's distance from the centre line in sigma, positive above
   * @param side the half judged
   * @return false for a point on the centre line or on the other side
   */
  public boolean counts(double z, Side side) {
    double distance = side == Side.ABOVE ? z : -z;
    return distance > 0 && (strict ? distance > zone : distance >= zone);
  }
}
