package org.tarebook.stats;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.concurrent.TimeUnit;
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

  /** Moments, subgroups, limits, indices with intervals, signals: all that capability answers. */
  @Benchmark
  public double capability() {
    List<Subgroup> subgroups = new ArrayList<>(READINGS / SUBGROUP);
    for (int i = 0; i < READINGS; i += SUBGROUP) {
      subgroups.add(Subgroup.of(nanos, i, i + SUBGROUP));
    }
    Moments all = Moments.of(nanos);
    SigmaEstimate within = Spread.meanRange(subgroups).orElseThrow();
    SigmaEstimate total = Spread.total(all).orElseThrow();
    CapabilityIndices indices =
        CapabilityIndices.of(all.mean(), within.sigma(), TOLERANCE).orElseThrow();
    Double potential = indices.potential();
    return ControlLimits.ofMean(all.mean(), within.sigma(), SUBGROUP).upper()
        + CapabilityIntervals.ofPotential(potential == null ? 0 : potential, within, 0.95).lower()
        + total.sigma()
        + RunRules.signals(points, ZoneRule.WESTERN_ELECTRIC).size();
  }

  @Benchmark
  public double meanOfSubgroupRanges() {
    List<Subgroup> subgroups = new ArrayList<>(READINGS / SUBGROUP);
    for (int i = 0; i < READINGS; i += SUBGROUP) {
      subgroups.add(Subgroup.of(nanos, i, i + SUBGROUP));
    }
    return Spread.meanRange(subgroups).orElseThrow().sigma();
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

  @Benchmark
  public double studentizedRange() {
    return StudentizedRange.quantile(0.95, 8, 60);
  }
}
