package org.tarebook.stats;

import java.util.Random;
import java.util.concurrent.TimeUnit;
import org.apache.commons.statistics.descriptive.Mean;
import org.apache.commons.statistics.descriptive.StandardDeviation;
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

/**
 * Mean and standard deviation of a million weighings: ours, exact and rounded once; a plain loop
 * over doubles; and a library's. The figures of interest are the ratios, side by side in one run.
 */
@State(Scope.Benchmark)
@BenchmarkMode(Mode.AverageTime)
@OutputTimeUnit(TimeUnit.MICROSECONDS)
@Warmup(iterations = 3, time = 1)
@Measurement(iterations = 5, time = 1)
@Fork(2)
public class MomentsBenchmark {

  private static final int READINGS = 1_000_000;

  private final long[] nanos = new long[READINGS];
  private final double[] values = new double[READINGS];

  /** Weighings of 4.385 kg, shown in grams. */
  @Setup
  public void weigh() {
    Random random = new Random(4385);
    for (int i = 0; i < READINGS; i++) {
      long grams = Math.round(4385 + 12 * random.nextGaussian());
      nanos[i] = grams * 1_000_000;
      values[i] = grams / 1000.0;
    }
  }

  @Benchmark
  public double exact() {
    Moments moments = Moments.of(nanos);
    return moments.mean() + moments.sd();
  }

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
  public double library() {
    return Mean.of(values).getAsDouble() + StandardDeviation.of(values).getAsDouble();
  }
}
