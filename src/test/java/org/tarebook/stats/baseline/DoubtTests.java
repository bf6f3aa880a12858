package org.tarebook.stats.baseline;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.tarebook.stats.CountedNanos;
import org.tarebook.stats.CountedValues;
import org.tarebook.stats.Estimator;
import org.tarebook.stats.SigmaEstimate;
import org.tarebook.stats.Subgroup;
import org.tarebook.stats.SubgroupSums;

class DoubtTests {

  @Test
  void fewSubgroupsSayLittleOfSigma() {
    Doubt twenty =
        SpreadDoubts.fewSubgroups(new SigmaEstimate(0.01, 60, Estimator.POOLED, 20), 0.1);
    assertThat(twenty.figure()).isCloseTo(1 / Math.sqrt(120), within(1e-15));
    assertThat(twenty.raised()).isFalse();
    assertThat(
            SpreadDoubts.fewSubgroups(new SigmaEstimate(0.01, 15, Estimator.POOLED, 5), 0.1)
                .raised())
        .isTrue();
  }

  // Weighings in steps of 5 g with a sigma of 4 g are too coarse.
  @Test
  void coarseInstrumentsAreHeldAgainstSigma() {
    assertThat(SpreadDoubts.coarse(0.005, 0.004))
        .isEqualTo(new Doubt(Doubt.Kind.COARSE_INSTRUMENT, 1.25, 1, true));
    assertThat(SpreadDoubts.coarse(0.005, 0.005).raised()).isFalse();
  }

  // Autoregressive series of the first order, correlation 0.7 and none.
  @Test
  void readingsThatFollowEachOtherAreFound() {
    Random random = new Random(81);
    assertThat(SpreadDoubts.following(series(random, 0.7, 100), 0.95).orElseThrow().raised())
        .isTrue();
    int raised = 0;
    for (int i = 0; i < 1000; i++) {
      raised += SpreadDoubts.following(series(random, 0, 100), 0.95).orElseThrow().raised() ? 1 : 0;
    }
    // Nominally 5 % of independent series; standard error 0.7 %.
    assertThat(raised).isBetween(25, 75);
    assertThat(SpreadDoubts.following(List.of(BigDecimal.ONE), 0.95)).isEmpty();
  }

  private static List<BigDecimal> series(Random random, double phi, int n) {
    List<BigDecimal> x = new ArrayList<>();
    double last = random.nextGaussian();
    for (int i = 0; i < n; i++) {
      last = phi * last + Math.sqrt(1 - phi * phi) * random.nextGaussian();
      x.add(BigDecimal.valueOf(last));
    }
    return x;
  }

  @Test
  void streamsMixedInsideSubgroupsAreFound() {
    Random random = new Random(82);
    double[] calm = new double[1000];
    for (int i = 0; i < calm.length; i++) {
      calm[i] = SpreadDoubts.streamsMixed(rows(random, 25, 4, 0), 0.01).orElseThrow().figure();
    }
    // A chance is uniform when nothing is wrong.
    Arrays.sort(calm);
    assertThat(calm[100]).isCloseTo(0.1, within(0.04));
    assertThat(calm[500]).isCloseTo(0.5, within(0.06));
    assertThat(SpreadDoubts.streamsMixed(rows(random, 25, 4, 1.5), 0.01).orElseThrow().raised())
        .isTrue();
    // By hand: columns 3 (4 + 1 + 9) = 42 on 2 degrees, left 16 on 4, so F is 5.25.
    double[][] byHand = {{1, 4, 4}, {2, 3, 7}, {3, 2, 10}};
    assertThat(SpreadDoubts.streamsMixed(byHand, 0.01).orElseThrow().figure())
        .isCloseTo(Math.pow(1 + 2 * 5.25 / 4, -2), within(1e-14));
    // A common large value changes nothing that matters.
    double[][] rows = rows(random, 10, 3, 0);
    double p = SpreadDoubts.streamsMixed(rows, 0.01).orElseThrow().figure();
    double[][] moved =
        Arrays.stream(rows)
            .map(row -> Arrays.stream(row).map(v -> v + 1e6).toArray())
            .toArray(double[][]::new);
    assertThat(SpreadDoubts.streamsMixed(moved, 0.01).orElseThrow().figure())
        .isCloseTo(p, within(1e-8));
    assertThat(SpreadDoubts.streamsMixed(new double[][] {{1, 2}, {1, 2}}, 0.01)).isEmpty();
    assertThatThrownBy(() -> SpreadDoubts.streamsMixed(new double[][] {{1, 2}, {1, 2, 3}}, 0.01))
        .hasMessage("subgroup 1 has 3 readings, subgroup 0 has 2");
    assertThatThrownBy(
            () -> SpreadDoubts.streamsMixed(new double[][] {{1, 2}, {1, Double.NaN}}, 0.01))
        .hasMessage("subgroup 1 reading 1 is NaN, must be finite");
    assertThatThrownBy(() -> SpreadDoubts.streamsMixed(new double[1][2], 0.01))
        .hasMessage("number of subgroups is 1, must be at least 2");
  }

  /** Every subgroup has a level of its own; the last stream lies higher by {@code apart}. */
  private static double[][] rows(Random random, int m, int n, double apart) {
    double[][] rows = new double[m][n];
    for (double[] row : rows) {
      double level = 2 * random.nextGaussian();
      for (int j = 0; j < n; j++) {
        row[j] = level + random.nextGaussian() + (j == n - 1 ? apart : 0);
      }
    }
    return rows;
  }

  @Test
  void subgroupsThatAgreeTooWellAreFound() {
    Random random = new Random(83);
    List<Subgroup> honest = new ArrayList<>();
    List<Subgroup> mixed = new ArrayList<>();
    for (int i = 0; i < 25; i++) {
      long[] a = new long[4];
      long[] b = new long[4];
      for (int j = 0; j < 4; j++) {
        a[j] = Math.round(1e6 * random.nextGaussian());
        b[j] = Math.round(1e6 * (random.nextGaussian() + (j % 2 == 0 ? 4 : -4)));
      }
      honest.add(Subgroup.of(a));
      mixed.add(Subgroup.of(b));
    }
    assertThat(SpreadDoubts.tooAlike(SubgroupSums.of(honest), 0.01).orElseThrow().raised())
        .isFalse();
    assertThat(SpreadDoubts.tooAlike(SubgroupSums.of(mixed), 0.01).orElseThrow().raised()).isTrue();
    assertThat(SpreadDoubts.tooAlike(SubgroupSums.EMPTY, 0.01)).isEmpty();
  }

  @Test
  void preferredLastDigitsAreFound() {
    Random random = new Random(84);
    long[] honest = random.longs(500, 4300, 4500).toArray();
    assertThat(
            ReadingDoubts.lastDigits(CountedNanos.of(honest), 0.001).orElseThrow().doubt().raised())
        .isFalse();
    long[] rounded =
        Arrays.stream(honest).map(v -> random.nextInt(3) == 0 ? v / 5 * 5 : v).toArray();
    ReadingDoubts.LastDigits found =
        ReadingDoubts.lastDigits(CountedNanos.of(rounded), 0.001).orElseThrow();
    assertThat(found.doubt().raised()).isTrue();
    assertThat(found.counts().get(0) + found.counts().get(5)).isGreaterThan(180);
    assertThat(found.counts().stream().mapToLong(Long::longValue).sum()).isEqualTo(500);
    // By hand: all 50 end in 7, so (45^2 + 9 * 5^2) / 5 = 450.
    long[] sevens = new long[50];
    Arrays.fill(sevens, -4387);
    assertThat(ReadingDoubts.lastDigits(CountedNanos.of(sevens), 0.001).orElseThrow().chiSquared())
        .isCloseTo(450, within(1e-12));
    assertThat(ReadingDoubts.lastDigits(CountedNanos.of(new long[49]), 0.001)).isEmpty();
  }

  private static Optional<Doubt> piledInside(
      double[] readings,
      double limit,
      boolean upper,
      double width,
      double mean,
      double sigma,
      double bound) {
    return ReadingDoubts.piledInside(
            CountedValues.of(readings), limit, upper, width, mean, sigma, bound)
        .map(ReadingDoubts.PiledInside::doubt);
  }

  @Test
  void readingsPiledInsideALimitAreFound() {
    Random random = new Random(85);
    double[] honest = new double[4000];
    for (int i = 0; i < honest.length; i++) {
      honest[i] = Math.rint((4.39 + 0.02 * random.nextGaussian()) * 200) / 200;
    }
    // The limit lies between two steps of 5 g.
    double limit = 4.4325;
    assertThat(piledInside(honest, limit, true, 0.01, 4.39, 0.02, 0.001).orElseThrow().raised())
        .isFalse();
    double[] flinched = Arrays.stream(honest).map(v -> v > limit && v < 4.441 ? 4.43 : v).toArray();
    assertThat(piledInside(flinched, limit, true, 0.01, 4.39, 0.02, 0.001).orElseThrow().raised())
        .isTrue();
    // Mirrored at a lower limit the figure is the same.
    double[] mirrored = Arrays.stream(flinched).map(v -> -v).toArray();
    assertThat(piledInside(mirrored, -limit, false, 0.01, -4.39, 0.02, 0.001))
        .isEqualTo(piledInside(flinched, limit, true, 0.01, 4.39, 0.02, 0.001));
    assertThat(piledInside(honest, 9, true, 0.01, 4.39, 0.02, 0.001)).isEmpty();
    assertThatThrownBy(() -> piledInside(honest, 4, true, 0, 4.39, 0.02, 0.001))
        .hasMessage("width is 0.0, must be positive and finite");
  }

  // By hand: steps of 1 about the limit of 10, which lies on the mean: both bands are as likely.
  @Test
  void bandsOnEitherSideOfALimitAreCounted() {
    double[] x = {10, 9.5, 9, 10.5, 11, 11.5, 8};
    // Inside are 10 and 9.5, the limit itself but not the band's far end; outside 10.5 and 11.
    Doubt even = piledInside(x, 10, true, 1, 10, 1, 0.001).orElseThrow();
    // Of four coins two heads or more: 11 / 16.
    assertThat(even.figure()).isCloseTo(11.0 / 16, within(1e-14));
    double[] piled = {10, 10, 10, 10, 10.5};
    // Four or more of five: 6 / 32.
    assertThat(piledInside(piled, 10, true, 1, 10, 1, 0.001).orElseThrow().figure())
        .isCloseTo(6.0 / 32, within(1e-14));
    assertThat(piledInside(new double[] {10.5}, 10, true, 1, 10, 1, 0.001).orElseThrow().figure())
        .isEqualTo(1);
    // So far from the mean that neither band has a chance.
    assertThat(piledInside(new double[] {100}, 100, true, 1, 10, 1, 0.001)).isEmpty();
  }

  @Test
  void aFigureOnItsBoundIsNoDoubt() {
    assertThat(Doubt.chance(Doubt.Kind.SUBGROUPS_TOO_ALIKE, 0.01, 0.01).raised()).isFalse();
    assertThat(Doubt.chance(Doubt.Kind.SUBGROUPS_TOO_ALIKE, Math.nextDown(0.01), 0.01).raised())
        .isTrue();
    assertThat(Doubt.above(Doubt.Kind.COARSE_INSTRUMENT, 1, 1).raised()).isFalse();
    assertThatThrownBy(() -> new Doubt(Doubt.Kind.FEW_SUBGROUPS, Double.NaN, 1, false))
        .hasMessage("figure is NaN, must be finite");
    assertThatThrownBy(() -> new Doubt(Doubt.Kind.FEW_SUBGROUPS, 1, Double.NaN, false))
        .hasMessage("bound is NaN, must be finite");
  }

  // By hand:
  // 3 failed all again, 5 passed none again: 1 / C(8, 3) = 1 / 56.
  @Test
  void measuringAgainUntilItPassesIsFound() {
    List<List<Boolean>> items = new ArrayList<>();
    for (int i = 0; i < 3; i++) {
      items.add(List.of(false, i == 0, true));
    }
    for (int i = 0; i < 5; i++) {
      items.add(List.of(true));
    }
    items.add(List.of());
    ReadingDoubts.MeasuredAgain found = ReadingDoubts.measuredAgain(items, 0.05).orElseThrow();
    assertThat(found.doubt().figure()).isCloseTo(1.0 / 56, within(1e-15));
    assertThat(found.doubt().raised()).isTrue();
    assertThat(found.failed()).isEqualTo(3);
    assertThat(found.failedAgain()).isEqualTo(3);
    assertThat(found.passed()).isEqualTo(5);
    assertThat(found.passedAgain()).isZero();
    assertThat(found.endedPassing()).isEqualTo(3);
    assertThat(ReadingDoubts.measuredAgain(items.subList(0, 3), 0.05)).isEmpty();
    List<List<Boolean>> declared =
        List.of(List.of(false, false), List.of(true, true), List.of(true, false));
    assertThat(ReadingDoubts.measuredAgain(declared, 0.05).orElseThrow().doubt().raised())
        .isFalse();
    assertThatThrownBy(() -> ReadingDoubts.measuredAgain(items, 0))
        .hasMessage("bound is 0.0, must lie between 0 and 1");
  }

  /** NIST/SEMATECH e-Handbook, 1.3.5.17.3: the data of Rosner (1983) and critical values. */
  @Test
  void outliersMeetRosner() {
    double[] x = {
      -0.25, 0.68, 0.94, 1.15, 1.20, 1.26, 1.26, 1.34, 1.38, 1.43, 1.49, 1.49, 1.55, 1.56, 1.58,
      1.65, 1.69, 1.70, 1.76, 1.77, 1.81, 1.91, 1.94, 1.96, 1.99, 2.06, 2.09, 2.10, 2.14, 2.15,
      2.23, 2.24, 2.26, 2.35, 2.37, 2.40, 2.47, 2.54, 2.62, 2.64, 2.90, 2.92, 2.92, 2.93, 3.21,
      3.26, 3.30, 3.59, 3.68, 4.30, 4.64, 5.34, 5.42, 6.01
    };
    assertThat(Outliers.of(CountedValues.of(x), 0.05).values()).containsExactly(6.01, 5.42, 5.34);
    assertThat(Outliers.of(CountedValues.of(x), 0.001).values()).isEmpty();
    double[] printed = {3.158, 3.151, 3.143, 3.136, 3.128, 3.120, 3.111, 3.103, 3.094, 3.085};
    for (int i = 1; i <= 10; i++) {
      assertThat(Outliers.critical(54, i, 0.05)).isCloseTo(printed[i - 1], within(1.1e-3));
    }
  }

  @Test
  void outliersAreFoundHoweverFarTheyLieAndNoneWhereNothingVaries() {
    double[] strips = new Random(8).doubles(60).map(u -> 4.385 + 0.01 * (u - 0.5)).toArray();
    strips[20] = 8.77;
    assertThat(Outliers.of(CountedValues.of(strips), 0.001).values()).containsExactly(8.77);
    strips[40] = -1e9;
    assertThat(Outliers.of(CountedValues.of(strips), 0.001).values()).containsExactly(-1e9, 8.77);
    // Of few readings one is looked for; nine alike and one apart lie as far as can be.
    double[] few = {1, 1, 1, 1, 1, 1, 1, 1, 1, 2};
    assertThat(Outliers.of(CountedValues.of(few), 0.001).values()).containsExactly(2.0);
    assertThat(Outliers.of(CountedValues.of(new double[30]), 0.001).values()).isEmpty();
    assertThat(Outliers.of(CountedValues.of(new double[] {1, 2}), 0.05).values()).isEmpty();
    assertThat(Outliers.of(CountedValues.of(new double[0]), 0.05).values()).isEmpty();
  }

  /** The level is the share of normal series in which anything is called an outlier. */
  @Test
  void outliersKeepTheirLevel() {
    Random random = new Random(9);
    int rounds = 4000;
    for (int n : new int[] {10, 24, 30, 100}) {
      int found = 0;
      for (int r = 0; r < rounds; r++) {
        double[] x = random.doubles(n).map(u -> random.nextGaussian()).toArray();
        found += Outliers.of(CountedValues.of(x), 0.05).values().isEmpty() ? 0 : 1;
      }
      // three and a half standard errors are 0.012
      assertThat((double) found / rounds).as("of %d readings", n).isBetween(0.035, 0.07);
    }
  }
}
