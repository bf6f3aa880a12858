package org.tarebook.stats;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import org.apache.commons.numbers.fraction.BigFraction;
import org.openjdk.jmh.annotations.Benchmark;
import org.openjdk.jmh.annotations.BenchmarkMode;
import org.openjdk.jmh.annotations.Fork;
import org.openjdk.jmh.annotations.Measurement;
import org.openjdk.jmh.annotations.Mode;
import org.openjdk.jmh.annotations.OutputTimeUnit;
import org.openjdk.jmh.annotations.Scope;
import org.openjdk.jmh.annotations.Setup;
import org.openjdk.jmh.annotations.State;
import org.openjdk.jmh.annotations.Warmup;
import org.tarebook.stats.capability.PercentileIndices;
import org.tarebook.stats.change.ChangePoint;
import org.tarebook.stats.fit.AndersonDarling;
import org.tarebook.stats.fit.EmpiricalPercentiles;
import org.tarebook.stats.fit.Family;
import org.tarebook.stats.fit.Fits;

/**
 * Studies of a million readings in 200,000 subgroups of five, part by part, and the functions that
 * a study of any size calls a few times.
 */
@State(Scope.Benchmark)
@BenchmarkMode(Mode.AverageTime)
@OutputTimeUnit(TimeUnit.MICROSECONDS)
@Warmup(iterations = 2, time = 2)
@Measurement(iterations = 3, time = 2)
@Fork(1)
public class StudyBenchmark {

  private static final int READINGS = 1_000_000;
  private static final int SUBGROUP = 5;
  private static final Tolerance TOLERANCE = Tolerance.between(4.34, 4.43);

  private final long[] nanos = new long[READINGS];
  private final double[] values = new double[READINGS];
  private final double[] points = new double[READINGS / SUBGROUP];

  /** Weighings of 4.385 kg, shown in grams. */
  @Setup
  public void weigh() {
    Random random = new Random(4385);
    for (int i = 0; i < READINGS; i++) {
      long grams = Math.round(4385 + 12 * random.nextGaussian());
      nanos[i] = grams * 1_000_000;
      values[i] = grams / 1000.0;
      points[i / SUBGROUP] += (values[i] - 4.385) / 0.012 / Math.sqrt(SUBGROUP);
    }
  }

  /**
   * All that a study of capability answers, in one pass over the readings and a sort: moments, mean
   * range, limits, indices with intervals, signals of the means, percentiles. Kept besides the
   * readings: the means and the sorted copy.
   */
  @Benchmark
  public double completeStudy() {
    MomentsAccumulator all = new MomentsAccumulator();
    long ranges = 0;
    double[] means = new double[READINGS / SUBGROUP];
    double[] sorted = new double[READINGS];
    for (int point = 0; point < means.length; point++) {
      long sum = 0;
      long least = Long.MAX_VALUE;
      long greatest = Long.MIN_VALUE;
      for (int i = point * SUBGROUP; i < (point + 1) * SUBGROUP; i++) {
        long reading = nanos[i];
        all.add(reading);
        sum += reading;
        least = Math.min(least, reading);
        greatest = Math.max(greatest, reading);
        sorted[i] = reading / 1e9;
      }
      ranges += greatest - least;
      means[point] = sum / 1e9 / SUBGROUP;
    }
    Moments moments = all.moments();
    SigmaEstimate within =
        Spread.meanRange(
                SUBGROUP, BigFraction.of(ranges, 1_000_000_000L), READINGS / SUBGROUP)
            .orElseThrow();
    double reach = within.sigma() / Math.sqrt(SUBGROUP);
    for (int point = 0; point < means.length; point++) {
      means[point] = (means[point] - moments.mean()) / reach;
    }
    CapabilityIndices indices =
        CapabilityIndices.of(moments.mean(), within.sigma(), TOLERANCE).orElseThrow();
    Double potential = indices.potential();
    Arrays.sort(sorted);
    return ControlLimits.ofMean(moments.mean(), within.sigma(), SUBGROUP).upper()
        + CapabilityIntervals.ofPotential(potential == null ? 0 : potential, within, 0.95).lower()
        + Spread.total(moments).orElseThrow().sigma()
        + RunRules.signals(means, ZoneRule.WESTERN_ELECTRIC).size()
        + sorted[READINGS / 1000];
  }

  /** The same mean range by subgroups that stay: what a chart with points to show does. */
  @Benchmark
  public double meanRangeOfSubgroups() {
    List<Subgroup> subgroups = new ArrayList<>(READINGS / SUBGROUP);
    for (int i = 0; i < READINGS; i += SUBGROUP) {
      subgroups.add(Subgroup.of(nanos, i, i + SUBGROUP));
    }
    return Spread.meanRange(subgroups).orElseThrow().sigma();
  }

  /** A loop over doubles for mean and standard deviation, to hold the others against. */
  @Benchmark
  public double plainLoop() {
    double sum = 0;
    for (double value : values) {
      sum += value;
    }
    double mean = sum / values.length;
    double squares = 0;
    for (double value : values) {
      squares += (value - mean) * (value - mean);
    }
    return mean + Math.sqrt(squares / (values.length - 1));
  }

  @Benchmark
  public int signalsOfFourRules() {
    return RunRules.signals(points, ZoneRule.WESTERN_ELECTRIC).size();
  }

  @Benchmark
  public double percentiles() {
    return EmpiricalPercentiles.of(values).quantile(PercentileIndices.ISO_22514_TAIL);
  }

  @Benchmark
  public double normality() {
    return AndersonDarling.of(values).orElseThrow().p();
  }

  @Benchmark
  public double fitOfWeibull() {
    return Fits.of(Family.WEIBULL, values).orElseThrow().akaike();
  }

  @Benchmark
  public double changePoint() {
    return ChangePoint.ofMean(points, 0.95).map(ChangePoint::after).orElse(0.0);
  }

  @Benchmark
  public double intervalByNoncentralT() {
    return NoncentralT.cumulative(31.5, 999_999, 30);
  }

  @Benchmark
  public double runLengthOfFourRules() {
    return RunRuleChances.meanRunLength(ZoneRule.WESTERN_ELECTRIC, 0.5);
  }
}
