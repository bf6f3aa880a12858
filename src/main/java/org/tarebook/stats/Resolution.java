package org.tarebook.stats;

import java.util.Collection;
import java.util.HashSet;
import java.util.Set;
import org.apache.commons.numbers.fraction.BigFraction;

/** Whether an instrument reads finely enough for the spread it is to show. */
public final class Resolution {

  private Resolution() {}

  /**
   * Returns whether the instrument's interval is too coarse: larger than sigma.
   *
   * <p>Readings then pile up on a few steps, ranges take very few values, and limits computed from
   * them are wrong by what rounding did.
   *
   * <p><b>Source:</b> D. J. Wheeler and R. W. Lyday, Evaluating the Measurement Process, on
   * inadequate measurement units. The estimated sigma is meant, rounding included.
   *
   * @param interval the step of the instrument, positive, in the unit of the readings
   * @param sigma estimate of sigma, zero or positive, in that unit
   * @return true if {@code interval > sigma}, so always when nothing varied
   * @throws IllegalArgumentException if an argument lies outside
   */
  public static boolean tooCoarse(double interval, double sigma) {
    return Arguments.requirePositive("interval", interval)
        > Arguments.requireNotNegative("sigma", sigma);
  }

  /**
   * Returns how many different ranges the subgroups have, 0 among them.
   *
   * <p>Three or fewer for subgroups of two, four or fewer for larger ones, are few enough to doubt
   * the instrument.
   *
   * @param subgroups in any order
   * @return 0 for no subgroup
   */
  public static int distinctRanges(Collection<Subgroup> subgroups) {
    Set<BigFraction> ranges = new HashSet<>();
    for (Subgroup subgroup : subgroups) {
      ranges.add(subgroup.exactRange());
    }
    return ranges.size();
  }
}
