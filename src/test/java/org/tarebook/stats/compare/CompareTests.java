package org.tarebook.stats.compare;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import org.apache.commons.statistics.distribution.NormalDistribution;
import org.junit.jupiter.api.Test;
import org.tarebook.stats.Accuracy;
import org.tarebook.stats.Moments;
import org.tarebook.stats.OneWayAnova;
import org.tarebook.stats.ReferenceTable;
import tools.jackson.databind.JsonNode;

class CompareTests {

  private static final List<double[]> STRATA =
      List.of(
          new double[] {6.1, 5.8, 6.4, 6.0},
          new double[] {7.2, 6.9, 9.5, 8.8, 7.0},
          new double[] {5.0, 5.2, 4.9});

  private static List<Moments> moments(List<double[]> strata) {
    return strata.stream()
        .map(x -> Moments.of(Arrays.stream(x).mapToObj(BigDecimal::valueOf).toList()))
        .toList();
  }

  // scipy 1.17.1: f_oneway(equal_var=False), kruskal, bartlett, levene.
  @Test
  void meetsScipy() {
    WelchAnova welch = WelchAnova.of(moments(STRATA)).orElseThrow();
    assertThat(welch.f()).isCloseTo(30.564045392964, within(1e-11));
    assertThat(welch.degreesWithin()).isCloseTo(5.90444679489081, within(1e-12));
    assertThat(welch.p()).isCloseTo(0.0007675206358405, within(1e-14));
    KruskalWallis ranks = KruskalWallis.of(STRATA).orElseThrow();
    assertThat(ranks.h()).isCloseTo(9.692307692307693, within(1e-13));
    assertThat(ranks.p()).isCloseTo(0.007858544670151702, within(1e-14));
    KruskalWallis tied =
        KruskalWallis.of(
                List.of(
                    new double[] {1, 2, 2, 3}, new double[] {2, 3, 3, 4}, new double[] {5, 2, 2}))
            .orElseThrow();
    assertThat(tied.h()).isCloseTo(2.20238095238095, within(1e-13));
    assertThat(tied.p()).isCloseTo(0.3324750443829, within(1e-12));
    EqualSpread bartlett = EqualSpread.bartlett(moments(STRATA)).orElseThrow();
    assertThat(bartlett.statistic()).isCloseTo(9.158225664157804, within(1e-12));
    assertThat(bartlett.p()).isCloseTo(0.010263998148270895, within(1e-13));
    EqualSpread levene = EqualSpread.levene(STRATA).orElseThrow();
    assertThat(levene.statistic()).isCloseTo(1.7102252413299965, within(1e-12));
    assertThat(levene.p()).isCloseTo(0.23467845892447683, within(1e-12));
  }

  // NIST/SEMATECH e-Handbook 1.3.5.7 and 1.3.5.10, GEAR.DAT.
  @Test
  void spreadsOfTheHandbookAreReproduced() {
    JsonNode gear = ReferenceTable.json("xbar_gear.json");
    List<double[]> batches = new ArrayList<>();
    gear.get("data").forEach(row -> batches.add(ReferenceTable.doubles(row)));
    JsonNode exact = gear.get("recomputed");
    EqualSpread bartlett = EqualSpread.bartlett(moments(batches)).orElseThrow();
    check("bartlett", bartlett, exact, "bartlett", "bartlett_p");
    EqualSpread levene = EqualSpread.levene(batches).orElseThrow();
    check("levene", levene, exact, "levene_median", "levene_p");
    // Printed 20.78580 and 1.705910: the last two digits are those of single precision.
    assertThat(bartlett.statistic()).isCloseTo(20.78580, within(1e-4)).isGreaterThan(20.78585);
    assertThat(levene.statistic()).isCloseTo(1.705910, within(1e-5)).isGreaterThan(1.705915);
  }

  private static void check(
      String function, EqualSpread own, JsonNode exact, String statistic, String p) {
    String name = "EqualSpread." + function;
    String source = "xbar_gear.json";
    Accuracy.absolute(name, source, own.statistic(), exact.get(statistic).asDouble(), 1e-11);
    Accuracy.absolute(name + " p", source, own.p(), exact.get(p).asDouble(), 1e-13);
  }

  @Test
  void welchOfTwoIsStudentsTestWithUnequalSpreads() {
    List<Moments> two = moments(STRATA).subList(0, 2);
    Moments a = two.get(0);
    Moments b = two.get(1);
    double va = a.variance() / a.count();
    double vb = b.variance() / b.count();
    double t2 = Math.pow(a.mean() - b.mean(), 2) / (va + vb);
    double nu = (va + vb) * (va + vb) / (va * va / (a.count() - 1) + vb * vb / (b.count() - 1));
    WelchAnova welch = WelchAnova.of(two).orElseThrow();
    assertThat(welch.f()).isCloseTo(t2, within(1e-11));
    assertThat(welch.degreesWithin()).isCloseTo(nu, within(1e-11));
  }

  @Test
  void welchKeepsItsChanceWhereThePlainComparisonDoesNot() {
    Random random = new Random(161);
    int rounds = 3000;
    int plain = 0;
    int welch = 0;
    int ranks = 0;
    int spreads = 0;
    for (int r = 0; r < rounds; r++) {
      List<double[]> unequal =
          List.of(draw(random, 25, 1), draw(random, 15, 2), draw(random, 6, 5));
      List<Moments> moments = moments(unequal);
      plain += OneWayAnova.of(moments).orElseThrow().p() < 0.05 ? 1 : 0;
      welch += WelchAnova.of(moments).orElseThrow().p() < 0.05 ? 1 : 0;
      List<double[]> equal = List.of(draw(random, 8, 1), draw(random, 9, 1), draw(random, 7, 1));
      ranks += KruskalWallis.of(equal).orElseThrow().p() < 0.05 ? 1 : 0;
      spreads += EqualSpread.bartlett(moments(equal)).orElseThrow().p() < 0.05 ? 1 : 0;
    }
    assertThat((double) welch / rounds).isBetween(0.035, 0.07);
    assertThat((double) plain / rounds).isGreaterThan(0.15);
    assertThat((double) ranks / rounds).isBetween(0.03, 0.06);
    assertThat((double) spreads / rounds).isBetween(0.036, 0.064);
  }

  private static double[] draw(Random random, int n, double sigma) {
    return random.doubles(n).map(u -> sigma * random.nextGaussian()).toArray();
  }

  // By hand, balanced 2 x 2 x 2: cells 1 3 | 5 7 and 11 13 | 13 15.
  @Test
  void nestedVariancesByHand() {
    NestedComponents c = NestedComponents.of(presses(false)).orElseThrow();
    // Mean squares: within 8 / 4 = 2; inner (16 + 4) / 2 = 10; outer 2 * 4 * 4.5^2 = 162.
    assertThat(c.within()).isCloseTo(2, within(1e-14));
    assertThat(c.inner()).isCloseTo((10.0 - 2) / 2, within(1e-14));
    assertThat(c.outer()).isCloseTo((162.0 - 10) / 4, within(1e-13));
    assertThat(c.degreesOuter()).isEqualTo(1);
    assertThat(c.degreesInner()).isEqualTo(2);
    assertThat(c.degreesWithin()).isEqualTo(4);
    assertThat(c.shareOuter() + c.shareInner()).isCloseTo(42.0 / 44, within(1e-14));
    assertThat(NestedComponents.of(presses(true))).isEqualTo(NestedComponents.of(presses(false)));
  }

  private static List<List<Moments>> presses(boolean withEmpty) {
    List<Moments> first = new ArrayList<>(List.of(cell(1, 3), cell(5, 7)));
    List<Moments> second = List.of(cell(11, 13), cell(13, 15));
    if (withEmpty) {
      first.add(Moments.EMPTY);
      return List.of(first, List.of(), second);
    }
    return List.of(first, second);
  }

  private static Moments cell(long a, long b) {
    return Moments.of(new long[] {a * 1_000_000_000L, b * 1_000_000_000L});
  }

  @Test
  void nestedVariancesOfUnequalStrataAreUnbiased() {
    Random random = new Random(162);
    int[][] sizes = {{2, 5, 3}, {4, 1}, {3, 3, 2, 6}, {1, 2}, {5, 4}};
    double outer = 0;
    double inner = 0;
    double within = 0;
    int rounds = 6000;
    for (int r = 0; r < rounds; r++) {
      List<List<Moments>> strata = new ArrayList<>();
      for (int[] own : sizes) {
        double press = 2 * random.nextGaussian();
        List<Moments> cavities = new ArrayList<>();
        for (int n : own) {
          double cavity = press + 1.5 * random.nextGaussian();
          long[] x = new long[n];
          for (int i = 0; i < n; i++) {
            x[i] = Math.round(1e9 * (cavity + random.nextGaussian()));
          }
          cavities.add(Moments.of(x));
        }
        strata.add(cavities);
      }
      NestedComponents c = NestedComponents.of(strata).orElseThrow();
      outer += c.outer() / rounds;
      inner += c.inner() / rounds;
      within += c.within() / rounds;
    }
    assertThat(within).isCloseTo(1, within(0.02));
    assertThat(inner).isCloseTo(2.25, within(0.1));
    assertThat(outer).isCloseTo(4, within(0.3));
  }

  // By hand: 1, 3 and 7, 9 have means 2 and 8 and variances 2, so t is 6 over the root of 2.
  @Test
  void twoStrataOfTwoReadingsAreEnough() {
    WelchAnova welch = WelchAnova.of(List.of(cell(1, 3), cell(7, 9))).orElseThrow();
    assertThat(welch.f()).isCloseTo(18, within(1e-13));
    assertThat(welch.degreesBetween()).isEqualTo(1);
    assertThat(welch.degreesWithin()).isCloseTo(2, within(1e-13));
    // Student's t of two degrees: 1 - t / sqrt(2 + t^2) on both sides.
    assertThat(welch.p()).isCloseTo(1 - Math.sqrt(18.0 / 20), within(1e-13));
    // Variances 2 and 18 about 10: 2 ln 10 - ln 36, over 1 + (2 - 1/2) / 3.
    EqualSpread bartlett = EqualSpread.bartlett(List.of(cell(1, 3), cell(1, 7))).orElseThrow();
    double chiSquare = Math.log(100.0 / 36) / 1.5;
    assertThat(bartlett.statistic()).isCloseTo(chiSquare, within(1e-14));
    double normalTail = NormalDistribution.of(0, 1).survivalProbability(Math.sqrt(chiSquare));
    assertThat(bartlett.p()).isCloseTo(2 * normalTail, within(1e-14));
    // Ranks 1, 2 and 3, 4: 12 / 20 (2 + 2).
    List<double[]> two = List.of(new double[] {1, 2}, new double[] {3, 4}, new double[0]);
    KruskalWallis ranks = KruskalWallis.of(two).orElseThrow();
    assertThat(ranks.h()).isCloseTo(2.4, within(1e-14));
    assertThat(ranks.degrees()).isEqualTo(1);
    assertThat(KruskalWallis.of(two.subList(0, 2))).contains(ranks);
  }

  // By hand: 1, 3 | 5 and 11. Within 2 on one degree; inner (5 - 2)^2 2 / 3 = 6 on one.
  @Test
  void theSmallestNestedStudyIsTakenAndNoSmaller() {
    Moments five = Moments.of(new long[] {5_000_000_000L});
    Moments eleven = Moments.of(new long[] {11_000_000_000L});
    NestedComponents least =
        NestedComponents.of(List.of(List.of(cell(1, 3), five), List.of(eleven))).orElseThrow();
    assertThat(least.degreesOuter()).isEqualTo(1);
    assertThat(least.degreesInner()).isEqualTo(1);
    assertThat(least.degreesWithin()).isEqualTo(1);
    assertThat(least.within()).isCloseTo(2, within(1e-14));
    // (4 - 5/3 - 1) over one degree is how often the inner variance is counted.
    assertThat(least.inner()).isCloseTo((6 - 2) / (4.0 - 5.0 / 3 - 1), within(1e-13));
    assertThat(NestedComponents.of(List.of(List.of(cell(1, 3)), List.of(cell(5, 7))))).isEmpty();
    assertThat(NestedComponents.of(List.of(List.of(five, eleven), List.of(five)))).isEmpty();
  }

  @Test
  void isAbsentWhereNothingCanBeCompared() {
    List<Moments> one = List.of(cell(1, 2));
    assertThat(WelchAnova.of(one)).isEmpty();
    assertThat(WelchAnova.of(List.of(cell(1, 2), cell(1, 1)))).isEmpty();
    assertThat(EqualSpread.bartlett(one)).isEmpty();
    assertThat(EqualSpread.levene(List.of(new double[0], new double[] {1}))).isEmpty();
    assertThat(KruskalWallis.of(List.of(new double[] {1, 2}, new double[0]))).isEmpty();
    assertThat(KruskalWallis.of(List.of(new double[] {2, 2}, new double[] {2}))).isEmpty();
    assertThat(KruskalWallis.of(List.of())).isEmpty();
    assertThat(NestedComponents.of(List.of(one))).isEmpty();
    assertThatThrownBy(() -> KruskalWallis.of(List.of(new double[] {Double.NaN})))
        .hasMessage("stratum 0 reading 0 is NaN, must be finite");
  }
}
