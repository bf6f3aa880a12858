package org.tarebook.capability;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.Test;
import org.tarebook.control.NotComputed;
import org.tarebook.stats.CountedValues;
import org.tarebook.stats.Moments;
import org.tarebook.stats.SigmaEstimate;
import org.tarebook.stats.Spread;
import org.tarebook.stats.Subgroup;
import org.tarebook.stats.SubgroupSums;
import org.tarebook.stats.Tolerance;
import org.tarebook.stats.TwoPartSpread;
import org.tarebook.stats.chart.BetweenWithin;

/**
 * How often the intervals of capability indices hold the true index, for processes that are known.
 * Each index comes from the code that a study calls, from readings to 1e-9.
 *
 * <p>The suite runs a short form. {@code mvn test -Dtest=CoverageTests -Dsimulated=20000} runs so
 * many series of each process and leaves its table in {@code target/interval_coverage.csv}, which
 * is committed as {@code src/test/resources/simulated/interval_coverage.csv}.
 */
class CoverageTests {

  private static final int SERIES = Integer.getInteger("simulated", 200);
  private static final double CLAIMED = 0.94;
  private static final double CONFIDENCE = 0.95;
  private static final double HALF_WIDTH = 4;
  private static final Tolerance TOLERANCE = new Tolerance(-HALF_WIDTH, HALF_WIDTH, 0.0);
  private static final List<String> TABLE = new ArrayList<>();

  /** Intervals that held, and that were given, by figure. */
  private static final class Held {
    private final Map<String, int[]> counts = new TreeMap<>();

    void add(String figure, @Nullable Double lower, @Nullable Double upper, double truth) {
      if (lower != null && upper != null) {
        int[] each = counts.computeIfAbsent(figure, name -> new int[2]);
        each[0] += lower <= truth && truth <= upper ? 1 : 0;
        each[1]++;
      }
    }

    void add(String letter, Indices found, double off, double sigma) {
      add(letter + "p", found.potential(), HALF_WIDTH / (3 * sigma));
      add(letter + "pk", found.minimum(), (HALF_WIDTH - Math.abs(off)) / (3 * sigma));
      if (off != 0) {
        add(letter + "pu", found.upper(), (HALF_WIDTH - off) / (3 * sigma));
      }
    }

    void add(String figure, Study.@Nullable Index index, double truth) {
      if (index != null) {
        add(figure, index.lower(), index.upper(), truth);
      }
    }

    void require(String process) {
      counts.forEach(
          (figure, each) -> {
            double share = each[0] / (double) each[1];
            TABLE.add(String.format(Locale.ROOT, "%s,%s,%d,%.4f", process, figure, each[1], share));
            double error = Math.sqrt(CLAIMED * (1 - CLAIMED) / each[1]);
            assertThat(share).as(process + " " + figure).isGreaterThan(CLAIMED - 3.5 * error);
          });
    }
  }

  @AfterAll
  static void write() throws IOException {
    List<String> lines = new ArrayList<>();
    lines.add(
        "# Share of 95 % intervals that held the true index, by CoverageTests with -Dsimulated="
            + SERIES);
    lines.add("process,readings,subgroups of,off target in sigma,figure,intervals,held");
    lines.addAll(TABLE.stream().sorted().toList());
    Files.write(Path.of("target/interval_coverage.csv"), lines);
  }

  /** Single readings, and subgroups, of a normal process that does not move. */
  @Test
  void indicesOfASteadyProcess() {
    Random random = new Random(1);
    for (int k : new int[] {2, 3, 5, 10, 25}) {
      for (double off : new double[] {0, 0.5, 2}) {
        Held held = new Held();
        for (int i = 0; i < SERIES; i++) {
          long[] nanos = new long[k];
          for (int j = 0; j < k; j++) {
            nanos[j] = nano(off + random.nextGaussian());
          }
          Moments all = Moments.of(nanos);
          SigmaEstimate moving =
              Spread.meanMovingRange(Spread.movingRanges(nanos), 1).orElseThrow();
          held.add("c", indices("c", all, moving), off, 1);
          total(held, all, TwoPartSpread.of(all), off, 1);
        }
        held.require("single," + k + ",1," + off);
      }
    }
    for (int k : new int[] {1, 2, 5, 20}) {
      for (double off : new double[] {0, 0.5, 2}) {
        Held held = new Held();
        for (int i = 0; i < SERIES; i++) {
          List<Subgroup> subgroups = subgroups(random, k, 5, off, 0, 1);
          SubgroupSums sums = SubgroupSums.of(subgroups);
          held.add("R_BAR c", indices("c", sums.readings(), sums.byMeanRange().get()), off, 1);
          held.add("S_BAR c", indices("c", sums.readings(), sums.byMeanSd().get()), off, 1);
          held.add("POOLED c", indices("c", sums.readings(), sums.pooled().get()), off, 1);
        }
        held.require("subgroups," + 5 * k + ",5," + off);
      }
    }
  }

  /** Subgroups whose means move by themselves: shares of the variance between them. */
  @Test
  void indicesOfMeansThatMove() {
    Random random = new Random(2);
    for (int n : new int[] {5}) {
      for (int k : new int[] {3, 10}) {
        for (double between : new double[] {0.5, 0.95}) {
          for (double off : new double[] {0, 1}) {
            Held held = new Held();
            int series = SERIES / 8;
            for (int i = 0; i < series; i++) {
              List<Subgroup> subgroups =
                  subgroups(random, k, n, off, Math.sqrt(between), Math.sqrt(1 - between));
              BetweenWithin three = BetweenWithin.of(subgroups, n).orElseThrow();
              SubgroupSums sums = SubgroupSums.of(subgroups);
              Moments all = sums.readings();
              Optional<TwoPartSpread> parts = TwoPartSpread.of(sums);
              held.add(
                  "c", moving("c", all, three.sigmaTogether(), Optional.of(three.parts())), off, 1);
              held.add("p", moving("p", all, Spread.total(all).get(), parts), off, 1);
              Study.Cpm cpm =
                  AboutTarget.of(all, TOLERANCE, parts, true, CONFIDENCE, new ArrayList<>());
              held.add("cpm", cpm.lower(), cpm.upper(), HALF_WIDTH / (3 * Math.hypot(1, off)));
            }
            held.require("between " + between + "," + n * k + "," + n + "," + off);
          }
        }
      }
    }
  }

  /** Percentiles of the readings themselves, of a normal and of a skewed distribution. */
  @Test
  void indicesByEmpiricalPercentiles() {
    Random random = new Random(3);
    double low = -2.99998; // the 0.135 % point of a standard normal distribution
    for (int n : new int[] {740, 3273, 3274, 10_000}) {
      Held normal = new Held();
      Held skewed = new Held();
      for (int i = 0; i < SERIES / 4; i++) {
        double[] x = random.doubles(n).map(u -> u).toArray();
        double[] y = new double[n];
        for (int j = 0; j < n; j++) {
          y[j] = -Math.log1p(-x[j]);
          x[j] = random.nextGaussian();
        }
        Indices ofNormal = empirical(x, Tolerance.between(-4, 4));
        normal.add("pp", ofNormal.potential(), 4 / -low);
        normal.add("ppk", ofNormal.minimum(), 4 / -low);
        normal.add("ppl", ofNormal.lower(), 4 / -low);
        Indices ofSkewed = empirical(y, Tolerance.atMost(8));
        double median = Math.log(2);
        double high = -Math.log(0.00135);
        skewed.add("ppu", ofSkewed.upper(), (8 - median) / (high - median));
      }
      boolean enough = n >= 3274;
      assertThat(normal.counts.isEmpty()).as("intervals of " + n).isEqualTo(!enough);
      normal.require("normal by percentiles," + n + ",1,0");
      skewed.require("exponential by percentiles," + n + ",1,0");
    }
  }

  private static Indices empirical(double[] x, Tolerance tolerance) {
    return new ByPercentiles(CountedValues.of(x), tolerance, CONFIDENCE).empirical().total();
  }

  private static void total(
      Held held, Moments all, Optional<TwoPartSpread> parts, double off, double sigma) {
    held.add("p", indices("p", all, Spread.total(all).orElseThrow()), off, sigma);
    List<NotComputed> missing = new ArrayList<>();
    Study.Cpm cpm = AboutTarget.of(all, TOLERANCE, parts, true, CONFIDENCE, missing);
    assertThat(missing.isEmpty()).isEqualTo(all.count() >= AboutTarget.FEWEST_READINGS);
    held.add("cpm", cpm.lower(), cpm.upper(), HALF_WIDTH / (3 * Math.hypot(sigma, off)));
  }

  private static Indices indices(String letter, Moments all, SigmaEstimate sigma) {
    return Indices.of(
        letter, all.mean(), sigma, TOLERANCE, all.count(), CONFIDENCE, new ArrayList<>());
  }

  private static Indices moving(
      String letter, Moments all, SigmaEstimate sigma, Optional<TwoPartSpread> parts) {
    return Indices.ofMovingMeans(
        letter, all.mean(), sigma, TOLERANCE, parts, true, CONFIDENCE, new ArrayList<>());
  }

  private static List<Subgroup> subgroups(
      Random random, int k, int n, double off, double between, double within) {
    List<Subgroup> subgroups = new ArrayList<>();
    for (int i = 0; i < k; i++) {
      double mean = off + between * random.nextGaussian();
      long[] nanos = new long[n];
      for (int j = 0; j < n; j++) {
        nanos[j] = nano(mean + within * random.nextGaussian());
      }
      subgroups.add(Subgroup.of(nanos));
    }
    return subgroups;
  }

  private static long nano(double value) {
    return Math.round(value * 1e9);
  }
}
