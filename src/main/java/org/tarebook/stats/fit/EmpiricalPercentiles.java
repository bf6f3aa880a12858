package org.tarebook.stats.fit;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Random;
import java.util.TreeMap;
import java.util.function.LongToDoubleFunction;
import org.apache.commons.rng.UniformRandomProvider;
import org.apache.commons.statistics.distribution.BetaDistribution;
import org.apache.commons.statistics.distribution.ContinuousDistribution;
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
 * definition 6; bootstrap percentile interval of B. Efron.
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
   * Returns an interval of a percentile by resampling the readings. The same arguments give the
   * same digits. Far in the tails of few readings it cannot look beyond the least and greatest
   * reading and is too narrow.
   *
   * @param share between 0 and 1, exclusive
   * @param confidence between 0 and 1, such as 0.95
   * @param rounds resamples, at least 100, such as 2000
   * @param seed of the random numbers
   * @return two-sided, equal tails
   * @throws IllegalArgumentException if an argument lies outside
   */
  public Interval interval(double share, double confidence, int rounds, long seed) {
    double tail = (1 - Arguments.requireConfidence(confidence)) / 2;
    EmpiricalPercentiles found =
        of(
            resampled(new double[] {share}, rounds, seed).stream()
                .mapToDouble(each -> each[0])
                .toArray());
    return new Interval(found.quantile(tail), found.quantile(1 - tail));
  }

  /**
   * Returns percentiles of resampled readings, for intervals of figures made of several. The same
   * arguments give the same digits.
   *
   * <p>Only the few order statistics that the percentiles need are drawn, one after the other: the
   * next of \( m \) uniform numbers above \( u \) lies at \( u + (1 - u) B \), \( B \) a beta
   * variate. So the cost does not grow with the number of readings.
   *
   * <p><b>Source:</b> H. A. David and H. N. Nagaraja, Order Statistics, section 2.5, for the chain
   * of order statistics.
   *
   * @param shares between 0 and 1, exclusive
   * @param rounds resamples, at least 100, such as 2000
   * @param seed of the random numbers
   * @return for each resample a percentile for each share
   * @throws IllegalArgumentException if an argument lies outside
   */
  public List<double[]> resampled(double[] shares, int rounds, long seed) {
    Arguments.requireAtLeast("rounds", rounds, 100);
    TreeMap<Long, Double> drawn = new TreeMap<>();
    for (double share : shares) {
      percentile(
          Arguments.requireShare("share", share),
          rank -> {
            drawn.put(rank, 0.0);
            return 0;
          });
    }
    List<ContinuousDistribution.Sampler> steps = new ArrayList<>();
    UniformRandomProvider random = new Random(seed)::nextLong;
    long before = -1;
    for (long rank : drawn.keySet()) {
      steps.add(
          BetaDistribution.of((double) rank - before, (double) count() - rank)
              .createSampler(random));
      before = rank;
    }
    List<double[]> found = new ArrayList<>(rounds);
    for (int i = 0; i < rounds; i++) {
      double u = 0;
      int step = 0;
      for (Map.Entry<Long, Double> each : drawn.entrySet()) {
        u += (1 - u) * steps.get(step++).sample();
        each.setValue(readings.ranked(Math.min((long) (u * count()), count() - 1)));
      }
      found.add(
          Arrays.stream(shares)
              .map(share -> percentile(share, rank -> Objects.requireNonNull(drawn.get(rank))))
              .toArray());
    }
    return found;
  }
}
