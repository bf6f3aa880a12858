package org.tarebook.stats;

import java.util.Collection;
import java.util.HashSet;
import java.util.Set;
import org.apache.commons.numbers.fraction.BigFraction;

/** Whether an instrument reads finely enough for the spread it is to show. */
public final class Resolution {

  /** The share of readings from which on a coarser step is that of all. */
  public static final double COARSE_SHARE = 0.2;

  /** The square of the normal deviate that chance exceeds once in 10,000. */
  private static final double RARE = 14;

  private static final double COARSEST = 1e17;

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
   * Returns the step that readings of one unit are recorded in. It may be coarser than their last
   * decimal: a coarse scale took some of them, or a client pads all with zeros.
   *
   * <p>The search begins at the finest step and goes on to coarser ones of 1, 2 and 5 times a power
   * of ten, until the step is larger than sigma; then it is too coarse, and may be coarser still.
   * It goes on where more readings are multiples of the coarser step than lie one finer step beside
   * such a multiple: more by a fifth of all readings, and by more than chance gives once in 10,000
   * (sign test, which takes 14 readings).
   *
   * <p>Readings of a normal process that are recorded in a step up to sigma do not prefer multiples
   * of a coarser one so. Therefore a client that leaves out trailing zeros (18.5 for 18.50) makes
   * the step no coarser, and neither does a single coarse reading; where half of 150 readings or
   * more are recorded coarsely, theirs is the step. A reading of 0 is a multiple of every step and
   * says nothing.
   *
   * <p><b>Source:</b> own definition; {@code ResolutionTests} holds it by simulation.
   *
   * @param readings of one unit; only their sum decides, so parts of a window go in any order
   * @param finest the finest step recorded, in 1e-9 of the unit, a power of ten
   * @param sigma of the readings, in 1e-9 of the unit
   * @return the step, in 1e-9 of the unit; {@code finest} where nothing shows a coarser one
   * @throws IllegalArgumentException if {@code finest} is not positive, or sigma is negative
   */
  public static long recordedStep(CountedNanos readings, long finest, double sigma) {
    long step = Arguments.requireAtLeast("finest", finest, 1);
    double most = Math.min(COARSEST, Arguments.requireNotNegative("sigma", sigma));
    boolean twice = false; // whether the step is 2 times a power of ten
    boolean fiveTimes = false;
    while (step <= most) {
      if (!twice && prefer(readings, 2 * step, step)) {
        step *= 2;
        twice = !fiveTimes;
        fiveTimes = false;
      } else if (!fiveTimes && prefer(readings, 5 * step, step)) {
        step *= 5;
        fiveTimes = !twice;
        twice = false;
      } else {
        return step;
      }
    }
    return step;
  }

  private static boolean prefer(CountedNanos readings, long coarser, long finer) {
    long[] found = new long[3]; // all, on a multiple of the coarser step, and beside it
    readings.forEach(
        (nanos, count) -> {
          if (nanos != 0) {
            long beyond = Math.floorMod(nanos, coarser);
            found[0] += count;
            found[1] += beyond == 0 ? count : 0;
            found[2] += beyond == finer || beyond == coarser - finer ? count : 0;
          }
        });
    double more = (double) found[1] - found[2];
    return more > 0
        && more >= COARSE_SHARE * found[0]
        && more * more >= RARE * ((double) found[1] + found[2]);
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
