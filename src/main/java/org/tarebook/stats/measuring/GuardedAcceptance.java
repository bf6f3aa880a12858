package org.tarebook.stats.measuring;

import org.tarebook.stats.Arguments;
import org.tarebook.stats.Tolerance;

/**
 * Acceptance with a guard band: a reading passes only if it lies far enough inside the tolerance
 * that measuring uncertainty hardly hides a fail.
 *
 * <p>Acceptance limits lie \( w = r U \) inside the tolerance limits. A reading inside them passes,
 * one between acceptance and tolerance limit is conditional, one outside the tolerance fails. Every
 * limit is inside. With \( r = 0 \) it is simple acceptance; with a negative \( r \) readings
 * outside the tolerance by less than the band are conditional too (guarded rejection).
 *
 * <p><b>Source:</b> JCGM 106:2012, clauses 8.2 and 8.3.
 *
 * @param tolerance the limits
 * @param guardBand \( w \), in the unit of the limits
 */
public record GuardedAcceptance(Tolerance tolerance, double guardBand) {

  /** What is decided. */
  public enum Decision {
    /** Inside the acceptance limits. */
    PASS,
    /** Between acceptance and tolerance limit. */
    CONDITIONAL,
    /** Outside. */
    FAIL
  }

  /**
   * Checks that something can pass.
   *
   * @throws IllegalArgumentException if the band is not finite or leaves nothing between the
   *     acceptance limits
   */
  public GuardedAcceptance {
    Arguments.requireFinite("guard band", guardBand);
    Double lower = tolerance.lower();
    Double upper = tolerance.upper();
    if (lower != null && upper != null && !(lower + guardBand < upper - guardBand)) {
      throw new IllegalArgumentException(
          "a guard band of %s leaves nothing between %s and %s".formatted(guardBand, lower, upper));
    }
  }

  /**
   * Returns the rule with the band \( w = r U \).
   *
   * @param tolerance the limits
   * @param expanded \( U \), expanded measuring uncertainty, zero or positive
   * @param r guard factor, such as 1; 0 for simple acceptance
   * @return the rule
   * @throws IllegalArgumentException if an argument lies outside
   */
  public static GuardedAcceptance of(Tolerance tolerance, double expanded, double r) {
    Arguments.requireNotNegative("expanded uncertainty", expanded);
    return new GuardedAcceptance(tolerance, Arguments.requireFinite("guard factor", r) * expanded);
  }

  /**
   * Returns the limits a reading must keep to pass.
   *
   * @return the tolerance less the band on each bounded side
   */
  public Tolerance acceptance() {
    Double lower = tolerance.lower();
    Double upper = tolerance.upper();
    return new Tolerance(
        lower == null ? null : (Double) (lower + guardBand),
        upper == null ? null : (Double) (upper - guardBand),
        null);
  }

  /**
   * Judges a reading.
   *
   * @param y the reading, in the unit of the limits
   * @return the decision
   * @throws IllegalArgumentException if it is not finite
   */
  public Decision judge(double y) {
    Arguments.requireFinite("reading", y);
    boolean accepted = inside(acceptance(), y);
    boolean tolerated = inside(tolerance, y);
    if (accepted && tolerated) {
      return Decision.PASS;
    }
    return accepted || tolerated ? Decision.CONDITIONAL : Decision.FAIL;
  }

  private static boolean inside(Tolerance limits, double y) {
    Double lower = limits.lower();
    Double upper = limits.upper();
    return (lower == null || y >= lower) && (upper == null || y <= upper);
  }
}
