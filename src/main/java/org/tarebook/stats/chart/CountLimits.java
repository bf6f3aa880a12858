package org.tarebook.stats.chart;

import java.util.function.LongToDoubleFunction;
import org.apache.commons.statistics.distribution.BinomialDistribution;
import org.apache.commons.statistics.distribution.DiscreteDistribution;
import org.apache.commons.statistics.distribution.PoissonDistribution;
import org.tarebook.stats.Arguments;
import org.tarebook.stats.ControlLimits;

/**
 * Limits of counted items or faults: three-sigma lines and exact ones side by side.
 *
 * <p>Counts are skewed and whole, so three-sigma lines signal more or less often than 0.27 %; the
 * exact limits are whole counts, chosen by the binomial or Poisson chances themselves. A count on a
 * limit is not beyond it.
 *
 * @param mean expected count of this point
 * @param threeSigma lines for the count, the lower one not below 0, the upper not above all items
 * @param fewest the least count within the exact limits; 0 if no count is too small to be chance
 * @param most the greatest count within the exact limits
 * @param chanceBelow chance of a count under {@code fewest} in control
 * @param chanceAbove chance of a count over {@code most} in control
 * @param threeSigmaChance chance of a count beyond the three-sigma lines in control
 */
public record CountLimits(
    double mean,
    ControlLimits threeSigma,
    long fewest,
    long most,
    double chanceBelow,
    double chanceAbove,
    double threeSigmaChance) {

  /** The chance on each side of a three-sigma chart of a normal figure. */
  public static final double NORMAL_TAIL = 0.0013498980316300933;

  /** The most faults that are followed: counts beyond its limits fit an int. */
  public static final double MOST_FAULTS = 2e9;

  /**
   * Returns the limits of a count of items with a fault among {@code n}: np charts, and p charts by
   * {@link #per}.
   *
   * <p>Three-sigma lines at \( np \pm 3 \sqrt{np(1-p)} \).
   *
   * <p><b>Source:</b> NIST/SEMATECH e-Handbook, section 6.3.3.2, with the binomial distribution.
   *
   * @param p share of items with a fault in control, between 0 and 1
   * @param n items in this point, 1 to 2<sup>31</sup> - 1
   * @param tail the most chance on each side, below one half, such as {@link #NORMAL_TAIL}
   * @return the limits
   * @throws IllegalArgumentException if an argument lies outside
   */
  public static CountLimits ofItems(double p, int n, double tail) {
    Arguments.requireShare("share", p);
    Arguments.requireAtLeast("items", n, 1);
    return of(BinomialDistribution.of(n, p), n * p, Math.sqrt(n * p * (1 - p)), n, tail);
  }

  /**
   * Returns the limits of a count of faults, any number on an item: c charts, and u charts by
   * {@link #per}.
   *
   * <p>Three-sigma lines at \( c \pm 3 \sqrt c \).
   *
   * <p><b>Source:</b> NIST/SEMATECH e-Handbook, section 6.3.3.1, with the Poisson distribution.
   *
   * @param mean faults expected in this point in control, positive, at most 2e9; for a u chart
   *     faults per unit times units
   * @param tail the most chance on each side, below one half, such as {@link #NORMAL_TAIL}
   * @return the limits
   * @throws IllegalArgumentException if an argument lies outside
   */
  public static CountLimits ofFaults(double mean, double tail) {
    Arguments.requirePositive("faults expected", mean);
    if (mean > MOST_FAULTS) {
      throw new IllegalArgumentException(
          "faults expected are %s, counts are followed up to %s".formatted(mean, MOST_FAULTS));
    }
    return of(PoissonDistribution.of(mean), mean, Math.sqrt(mean), Double.POSITIVE_INFINITY, tail);
  }

  /** The count as the distributions take it; beyond an int there is no chance left. */
  private static int whole(long count) {
    return (int) Math.max(-1, Math.min(Integer.MAX_VALUE, count));
  }

  private static CountLimits of(
      DiscreteDistribution counts, double mean, double sd, double all, double tail) {
    Arguments.requireShare("tail", tail);
    if (tail >= 0.5) {
      throw new IllegalArgumentException("tail is %s, must be below 0.5".formatted(tail));
    }
    ControlLimits lines =
        new ControlLimits(mean, Math.max(0, mean - 3 * sd), Math.min(all, mean + 3 * sd));
    LongToDoubleFunction under = count -> counts.cumulativeProbability(whole(count - 1));
    LongToDoubleFunction over = count -> counts.survivalProbability(whole(count));
    // The least count with as much as the tail at and below it; one more if it is just as much.
    long fewest = counts.inverseCumulativeProbability(tail);
    if (under.applyAsDouble(fewest + 1) <= tail) {
      fewest++;
    }
    long most = counts.inverseSurvivalProbability(tail);
    double beyondLines =
        under.applyAsDouble((long) Math.ceil(lines.lower()))
            + over.applyAsDouble((long) Math.floor(lines.upper()));
    return new CountLimits(
        mean,
        lines,
        fewest,
        most,
        under.applyAsDouble(fewest),
        over.applyAsDouble(most),
        beyondLines);
  }

  /**
   * Returns the three-sigma lines of a share or rate instead of a count.
   *
   * @param size items or units in this point, positive
   * @return the lines divided by {@code size}
   * @throws IllegalArgumentException if {@code size} is not positive
   */
  public ControlLimits per(double size) {
    Arguments.requirePositive("size", size);
    return new ControlLimits(
        threeSigma.centre() / size, threeSigma.lower() / size, threeSigma.upper() / size);
  }

  /**
   * Returns whether a count lies beyond the exact limits.
   *
   * @param count zero or more
   * @return true for a signal
   */
  public boolean beyond(long count) {
    return count < fewest || count > most;
  }
}
