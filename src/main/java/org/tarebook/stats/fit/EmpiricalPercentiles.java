package org.tarebook.stats.fit;

import java.util.Optional;
import java.util.function.LongToDoubleFunction;
import org.apache.commons.statistics.distribution.BetaDistribution;
import org.tarebook.stats.Arguments;
import org.tarebook.stats.CountedValues;
import org.tarebook.stats.Interval;

/**
 * Percentiles of the readings themselves, without a distribution.
 *
 * <p>The value at place \( p (n + 1) \) of the sorted readings, interpolated; before the first and
 * behind the last place it is the least and the greatest reading, so a percentile at 0.135 % needs
 * some 740 readings to be more than the least one.
 *
 * <p><b>Source:</b> R. J. Hyndman and Y. Fan, The American Statistician 50 (1996) 361-365,
 * definition 6.
 */
public final class EmpiricalPercentiles {

  private final CountedValues readings;

  private EmpiricalPercentiles(CountedValues readings) {
    this.readings = readings;
  }

  /**
   * Takes readings.
   *
   * @param x at least one, in any order; not kept
   * @return their percentiles
   * @throws IllegalArgumentException if there is no reading or one is not finite
   */
  public static EmpiricalPercentiles of(double[] x) {
    return of(CountedValues.of(Arguments.requireSeries("reading", x, 1)));
  }

  /** The same of counted readings, at least one. */
  public static EmpiricalPercentiles of(CountedValues readings) {
    Arguments.requireAtLeast("number of readings", readings.distinct(), 1);
    return new EmpiricalPercentiles(readings);
  }

  /**
   * Returns the number of readings.
   *
   * @return at least 1
   */
  public long count() {
    return readings.count();
  }

  /**
   * Returns a percentile.
   *
   * @param share \( p \), between 0 and 1, exclusive
   * @return in the unit of the readings
   * @throws IllegalArgumentException if the share lies outside
   */
  public double quantile(double share) {
    return percentile(Arguments.requireShare("share", share), readings::ranked);
  }

  /** Interpolates between the readings of two ranks. */
  private double percentile(double share, LongToDoubleFunction ranked) {
    double place = Math.max(0, Math.min(count() - 1.0, share * (count() + 1) - 1));
    long below = (long) place;
    double low = ranked.applyAsDouble(below);
    double part = place - below;
    return part == 0 ? low : low + part * (ranked.applyAsDouble(below + 1) - low);
  }

  /**
   * Returns the interval of a percentile between two readings, for any continuous distribution:
   * those whose ranks a binomial count of readings below the percentile leaves out with at most
   * half of {@code 1 - confidence} each. Equal readings only make it hold more often.
   *
   * <p><b>Source:</b> H. A. David and H. N. Nagaraja, Order Statistics, section 7.1, from memory.
   *
   * @param share \( p \), between 0 and 1, exclusive
   * @param confidence between 0 and 1, such as 0.95
   * @return two-sided, in the unit of the readings; empty where the readings are too few for it
   * @throws IllegalArgumentException if an argument lies outside
   */
  public Optional<Interval> interval(double share, double confidence) {
    double tail = (1 - Arguments.requireConfidence(confidence)) / 2;
    double p = Arguments.requireShare("share", share);
    long below = rankHeldBack(p, tail);
    long above = rankHeldBack(1 - p, tail);
    return below < 1 || above < 1
        ? Optional.empty()
        : Optional.of(new Interval(readings.ranked(below - 1), readings.ranked(count() - above)));
  }

  /**
   * The greatest rank, from 1, whose reading lies above the percentile with at most the tail: fewer
   * than so many readings below it; 0 where even the first may.
   */
  private long rankHeldBack(double share, double tail) {
    double n = (double) count();
    long low = 0;
    long high = (long) (share * n) + 1;
    while (low < high) {
      long rank = low + (high - low + 1) / 2;
      // P(count below <= rank - 1) = P(the reading of this rank lies above), a beta distribution
      double above =
          rank > count()
              ? 1
              : BetaDistribution.of((double) rank, n - rank + 1).survivalProbability(share);
      if (above <= tail) {
        low = rank;
      } else {
        high = rank - 1;
      }
    }
    return low;
  }
}
