package org.tarebook.stats.baseline;

import org.tarebook.stats.Arguments;

/**
 * One figure about a baseline and the bound beyond which it is worth a warning.
 *
 * @param kind what is doubted
 * @param figure the figure itself, described at its kind
 * @param bound what it is held against
 * @param raised whether the figure lies on the wrong side of the bound
 */
public record Doubt(Kind kind, double figure, double bound, boolean raised) {

  /** What can be doubted, and what the figure is. */
  public enum Kind {
    /** Relative standard error of sigma; raised above the bound. */
    FEW_SUBGROUPS,
    /** Instrument interval over sigma; raised above the bound. */
    COARSE_INSTRUMENT,
    /** Autocorrelation at lag 1, without its sign; raised above the bound. */
    READINGS_FOLLOW_EACH_OTHER,
    /** Chance of so large differences between streams inside subgroups; raised below the bound. */
    STREAMS_MIXED_IN_SUBGROUP,
    /** Chance of subgroup means that agree so well; raised below the bound. */
    SUBGROUPS_TOO_ALIKE,
    /** Chance of so uneven last digits; raised below the bound. */
    PREFERRED_LAST_DIGITS,
    /** Chance of so many readings just inside a limit; raised below the bound. */
    PILED_INSIDE_LIMIT,
    /** Chance that failed items are measured again so much more often; raised below the bound. */
    MEASURED_AGAIN_UNTIL_PASSED
  }

  /**
   * Checks the figures.
   *
   * @throws IllegalArgumentException if a figure is not finite
   */
  public Doubt {
    Arguments.requireFinite("figure", figure);
    Arguments.requireFinite("bound", bound);
  }

  static Doubt above(Kind kind, double figure, double bound) {
    return new Doubt(kind, figure, bound, figure > bound);
  }

  static Doubt chance(Kind kind, double p, double bound) {
    return new Doubt(kind, p, Arguments.requireShare("bound", bound), p < bound);
  }
}
