package org.tarebook.stats.fit;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Random;
import java.util.TreeMap;
import org.apache.commons.rng.UniformRandomProvider;
import org.apache.commons.statistics.distribution.BetaDistribution;
import org.apache.commons.statistics.distribution.ContinuousDistribution;
import org.tarebook.stats.Arguments;
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

  private final double[] sorted;

  private EmpiricalPercentiles(double[] sorted) {
    this.sorted = sorted;
  }

  /**
   * Takes readings.
   *
   * @param x at least one, in any order; not kept
   * @return their percentiles
   * @throws IllegalArgumentException if there is no reading or one is not finite
   */
  public static EmpiricalPercentiles of(double[] x) {
    double[] sorted = Arguments.requireSeries("reading", x, 1).clone();
    Arrays.sort(sorted);
    return new EmpiricalPercentiles(sorted);
  }

  /**
   * Returns the number of readings.
   *
   * @return at least 1
   */
  public int count() {
    return sorted.length;
  }

  /**
   * Returns a percentile.
   *
   * @param share \( p \), between 0 and 1, exclusive
   * @return in the unit of the readings
   * @throws IllegalArgumentException if the share lies outside
   */
  public double quantile(double share) {
    return quantile(sorted, Arguments.requireShare("share", share));
  }

  private static double quantile(double[] sorted, double share) {
    double place = share * (sorted.length + 1) - 1;
    if (place <= 0) {
      return sorted[0];
    }
    if (place >= sorted.length - 1) {
      return sorted[sorted.length - 1];
    }
    int below = (int) place;
    return sorted[below] + (place - below) * (sorted[below + 1] - sorted[below]);
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
    Arguments.requireShare("share", share);
    double tail = (1 - Arguments.requireConfidence(confidence)) / 2;
    Arguments.requireAtLeast("rounds", rounds, 100);
    Random random = new Random(seed);
    double[] found = new double[rounds];
    double[] sample = new double[sorted.length];
    for (int i = 0; i < rounds; i++) {
      for (int j = 0; j < sample.length; j++) {
        sample[j] = sorted[random.nextInt(sorted.length)];
      }
      Arrays.sort(sample);
      found[i] = quantile(sample, share);
    }
    Arrays.sort(found);
    return new Interval(quantile(found, tail), quantile(found, 1 - tail));
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
    TreeMap<Integer, Double> drawn = new TreeMap<>();
    for (double share : shares) {
      int below = place(Arguments.requireShare("share", share));
      drawn.put(below, 0.0);
      drawn.put(Math.min(below + 1, sorted.length - 1), 0.0);
    }
    List<ContinuousDistribution.Sampler> steps = new ArrayList<>();
    UniformRandomProvider random = new Random(seed)::nextLong;
    int before = -1;
    for (int rank : drawn.keySet()) {
      steps.add(
          BetaDistribution.of((double) rank - before, (double) sorted.length - rank)
              .createSampler(random));
      before = rank;
    }
    List<double[]> found = new ArrayList<>(rounds);
    for (int i = 0; i < rounds; i++) {
      double u = 0;
      int step = 0;
      for (Map.Entry<Integer, Double> each : drawn.entrySet()) {
        u += (1 - u) * steps.get(step++).sample();
        each.setValue(sorted[Math.min((int) (u * sorted.length), sorted.length - 1)]);
      }
      found.add(Arrays.stream(shares).map(share -> percentile(drawn, share)).toArray());
    }
    return found;
  }

  private double percentile(Map<Integer, Double> drawn, double share) {
    int below = place(share);
    double low = Objects.requireNonNull(drawn.get(below));
    double high = Objects.requireNonNull(drawn.get(Math.min(below + 1, sorted.length - 1)));
    double part = Math.max(0, Math.min(1, share * (sorted.length + 1) - 1 - below));
    return low + part * (high - low);
  }

  /** The place of the reading below a percentile, from 0. */
  private int place(double share) {
    double place = share * (sorted.length + 1) - 1;
    return (int) Math.max(0, Math.min(sorted.length - 1, place));
  }
}
