package org.tarebook.stats.chart;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;
import static org.tarebook.stats.ReferenceTable.json;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import java.util.stream.IntStream;
import org.apache.commons.statistics.distribution.BinomialDistribution;
import org.apache.commons.statistics.distribution.DiscreteDistribution;
import org.apache.commons.statistics.distribution.PoissonDistribution;
import org.junit.jupiter.api.Test;
import org.tarebook.stats.Accuracy;
import org.tarebook.stats.ControlLimits;
import org.tarebook.stats.Proportion;
import tools.jackson.databind.JsonNode;

class AttributeChartTests {

  private static final double TAIL = CountLimits.NORMAL_TAIL;

  // NIST/SEMATECH e-Handbook, 6.3.3.1: 16, 28 and 4; wafer 3 lies on the limit, 24 beyond.
  @Test
  void faultsMeetTheHandbook() {
    CountLimits limits = CountLimits.ofFaults(16, TAIL);
    assertThat(limits.threeSigma()).isEqualTo(new ControlLimits(16, 4, 28));
    List<Integer> beyond = new ArrayList<>();
    JsonNode data = json("c_chart_wafers.json").get("data");
    for (int i = 0; i < data.size(); i++) {
      if (data.get(i).asInt() > limits.threeSigma().upper()) {
        beyond.add(i + 1);
      }
    }
    assertThat(beyond).containsExactly(24);
    PoissonDistribution poisson = PoissonDistribution.of(16);
    assertThat(limits.threeSigmaChance())
        .isCloseTo(
            poisson.survivalProbability(28) + poisson.cumulativeProbability(3), within(1e-15));
  }

  // NIST/SEMATECH e-Handbook, 6.3.3.2 (np and p), and the p chart of varying size.
  @Test
  void itemsMeetTheHandbook() {
    JsonNode expected = json("p_np_chart_wafers.json").get("recomputed");
    double p = 347.0 / 1500;
    CountLimits limits = CountLimits.ofItems(p, 50, TAIL);
    String items = "p_np_chart_wafers.json";
    assertLimits(items, limits.threeSigma(), expected, "np_cl", "np_lcl", "np_ucl");
    assertLimits(items, limits.per(50), expected, "p_bar", "lcl", "ucl");

    JsonNode varying = json("p_chart_variable_n.json");
    for (int i = 0; i < varying.get("n").size(); i++) {
      int n = varying.get("n").get(i).asInt();
      JsonNode point = varying.get("recomputed").get("points").get(i);
      ControlLimits lines = CountLimits.ofItems(234.0 / 2450, n, TAIL).per(n);
      check("p_chart_variable_n.json", lines.upper(), point.get("ucl"));
      check("p_chart_variable_n.json", lines.lower(), point.get("lcl"));
    }
    String faults = "u_chart_constant_n.json";
    ControlLimits perUnit = CountLimits.ofFaults(1.93 * 5, TAIL).per(5);
    assertLimits(faults, perUnit, json(faults).get("recomputed"), "u_bar", "lcl", "ucl");
  }

  private static void assertLimits(
      String source,
      ControlLimits limits,
      JsonNode expected,
      String centre,
      String lower,
      String upper) {
    check(source, limits.centre(), expected.get(centre));
    check(source, limits.lower(), expected.get(lower));
    check(source, limits.upper(), expected.get(upper));
  }

  private static void check(String source, double own, JsonNode expected) {
    Accuracy.absolute("CountLimits", source, own, expected.asDouble(), 1e-12);
  }

  @Test
  void exactLimitsAreTheTightestThatKeepTheChance() {
    Random random = new Random(51);
    for (int round = 0; round < 300; round++) {
      int n = 1 + random.nextInt(800);
      double p = random.nextDouble() * 0.98 + 0.01;
      double tail = 0.0001 + 0.05 * random.nextDouble();
      CountLimits items = CountLimits.ofItems(p, n, tail);
      BinomialDistribution binomial = BinomialDistribution.of(n, p);
      assertThat(items.chanceAbove()).isLessThanOrEqualTo(tail);
      assertThat(items.chanceBelow()).isLessThanOrEqualTo(tail);
      assertThat(items.chanceAbove())
          .isCloseTo(1 - binomial.cumulativeProbability((int) items.most()), within(1e-12));
      assertThat(1 - binomial.cumulativeProbability((int) items.most() - 1)).isGreaterThan(tail);
      assertThat(binomial.cumulativeProbability((int) items.fewest())).isGreaterThan(tail);
      assertThat(items.beyond(items.most())).isFalse();
      assertThat(items.beyond(items.most() + 1)).isTrue();
      assertThat(items.beyond(items.fewest() - 1)).isTrue();

      CountLimits faults = CountLimits.ofFaults(p * n / 4, tail);
      PoissonDistribution poisson = PoissonDistribution.of(p * n / 4);
      assertThat(poisson.cumulativeProbability((int) faults.fewest())).isGreaterThan(tail);
      assertThat(faults.chanceBelow()).isLessThanOrEqualTo(tail);
      assertThat(faults.chanceAbove()).isLessThanOrEqualTo(tail);
    }
  }

  @Test
  void exactLimitsHoldForEverySize() {
    Random random = new Random(53);
    for (int round = 0; round < 300; round++) {
      int n = 1 + (int) Math.exp(random.nextDouble() * Math.log(2e9));
      double p = Math.exp(-random.nextDouble() * Math.log(n + 1.0)) * 0.999;
      double tail = 0.4999 * Math.exp(-20 * random.nextDouble());
      assertTightest(CountLimits.ofItems(p, n, tail), BinomialDistribution.of(n, p), tail);
      double mean = Math.exp(random.nextDouble() * 23 - 4);
      assertTightest(CountLimits.ofFaults(mean, tail), PoissonDistribution.of(mean), tail);
    }
    // A chance below a count that equals the tail is kept: the count above it is the fewest.
    double exactly = BinomialDistribution.of(12, 0.4).cumulativeProbability(2);
    CountLimits onTheTail = CountLimits.ofItems(0.4, 12, exactly);
    assertThat(onTheTail.fewest()).isEqualTo(3);
    assertThat(onTheTail.chanceBelow()).isEqualTo(exactly);
  }

  private static void assertTightest(CountLimits limits, DiscreteDistribution counts, double tail) {
    int fewest = (int) limits.fewest();
    int most = (int) limits.most();
    assertThat(counts.cumulativeProbability(fewest - 1)).isLessThanOrEqualTo(tail);
    assertThat(counts.cumulativeProbability(fewest)).isGreaterThan(tail);
    assertThat(counts.survivalProbability(most)).isLessThanOrEqualTo(tail);
    if (most > 0) {
      assertThat(counts.survivalProbability(most - 1)).isGreaterThan(tail);
    }
  }

  @Test
  void threeSigmaLinesOfRareFaultsSignalTooOften() {
    // One fault in four points expected: 0.25 + 3 * 0.5 = 1.75, so two faults signal.
    CountLimits rare = CountLimits.ofFaults(0.25, TAIL);
    assertThat(rare.threeSigma().lower()).isZero();
    // 1 - 1.25 exp(-0.25)
    assertThat(rare.threeSigmaChance()).isCloseTo(0.0264990211, within(1e-10));
    assertThat(rare.most()).isEqualTo(3);
    assertThat(rare.fewest()).isZero();
    assertThat(rare.beyond(0)).isFalse();
  }

  @Test
  void allowsForTheSpreadBetweenShifts() {
    Random random = new Random(52);
    List<Proportion.Count> chance = new ArrayList<>();
    List<Proportion.Count> moving = new ArrayList<>();
    for (int i = 0; i < 60; i++) {
      chance.add(counted(random, 2000, 0.02));
      moving.add(counted(random, 2000, 0.02 + 0.012 * (random.nextDouble() - 0.5) * 2));
    }
    BetweenShiftSpread calm = BetweenShiftSpread.ofShares(chance).orElseThrow();
    assertThat(calm.factor()).isBetween(0.75, 1.25);
    assertThat(calm.p()).isGreaterThan(0.01);
    BetweenShiftSpread wide = BetweenShiftSpread.ofShares(moving).orElseThrow();
    assertThat(wide.factor()).isGreaterThan(1.7);
    assertThat(wide.p()).isLessThan(1e-6);
    long beyond =
        IntStream.range(0, 60)
            .filter(
                i ->
                    moving.get(i).share() > wide.limits().get(i).upper()
                        || moving.get(i).share() < wide.limits().get(i).lower())
            .count();
    assertThat(beyond).isZero();
    ControlLimits plain = CountLimits.ofItems(wide.centre(), 2000, TAIL).per(2000);
    assertThat(moving.stream().filter(c -> c.share() > plain.upper()).count()).isGreaterThan(1);
  }

  // By hand: centre 3; z = (2-3, 4-3, 3-3) / sqrt(3), moving ranges 2 and 1 over sqrt(3).
  @Test
  void ratesByHand() {
    BetweenShiftSpread rates =
        BetweenShiftSpread.ofRates(new long[] {2, 4, 3}, new double[] {1, 1, 1}).orElseThrow();
    assertThat(rates.centre()).isEqualTo(3);
    double factor = 1.5 / Math.sqrt(3) / (2 / Math.sqrt(Math.PI));
    assertThat(rates.factor()).isCloseTo(factor, within(1e-13));
    assertThat(rates.dispersion()).isCloseTo(1.0 / 3, within(1e-14));
    // chi-square of 2/3 with 2 degrees: exp(-1/3)
    assertThat(rates.p()).isCloseTo(Math.exp(-1.0 / 3), within(1e-13));
    assertThat(rates.limits().get(1).upper())
        .isCloseTo(3 + 3 * factor * Math.sqrt(3), within(1e-12));
  }

  // By hand: centre 14 / 4, rates 2 and 4.
  @Test
  void pointsOfUnequalSizeWeighByTheirSize() {
    BetweenShiftSpread rates =
        BetweenShiftSpread.ofRates(new long[] {2, 12}, new double[] {1, 3}).orElseThrow();
    assertThat(rates.centre()).isEqualTo(3.5);
    assertThat(rates.dispersion()).isCloseTo((2.25 + 3 * 0.25) / 3.5, within(1e-14));
    double moved = (1.5 + 0.5 * Math.sqrt(3)) / Math.sqrt(3.5);
    double factor = moved / (2 / Math.sqrt(Math.PI));
    assertThat(rates.factor()).isCloseTo(factor, within(1e-13));
    assertThat(rates.limits().get(1).upper())
        .isCloseTo(3.5 + 3 * factor * Math.sqrt(3.5 / 3), within(1e-12));
    // Shares of 0.1 of ten and 0.2 of thirty: centre 7 / 40, variance of one item 0.144375.
    BetweenShiftSpread shares =
        BetweenShiftSpread.ofShares(
                List.of(new Proportion.Count(1, 10), new Proportion.Count(6, 30)))
            .orElseThrow();
    assertThat(shares.centre()).isEqualTo(0.175);
    assertThat(shares.dispersion())
        .isCloseTo((10 * 0.075 * 0.075 + 30 * 0.025 * 0.025) / 0.144375, within(1e-13));
    moved = (Math.sqrt(10) * 0.075 + Math.sqrt(30) * 0.025) / Math.sqrt(0.144375);
    factor = moved / (2 / Math.sqrt(Math.PI));
    assertThat(shares.factor()).isCloseTo(factor, within(1e-13));
    assertThat(shares.limits().get(1).upper())
        .isCloseTo(0.175 + 3 * factor * Math.sqrt(0.144375 / 30), within(1e-13));
    assertThat(shares.limits().get(0).lower()).isZero();
  }

  @Test
  void isAbsentWithoutCountsAndRefusesWhatCannotBe() {
    Proportion.Count none = new Proportion.Count(0, 10);
    assertThat(BetweenShiftSpread.ofShares(List.of(none, none))).isEmpty();
    assertThat(BetweenShiftSpread.ofShares(List.of(new Proportion.Count(1, 2)))).isEmpty();
    assertThat(BetweenShiftSpread.ofRates(new long[2], new double[] {1, 1})).isEmpty();
    assertThatThrownBy(() -> BetweenShiftSpread.ofRates(new long[2], new double[1]))
        .hasMessage("2 counts of faults for 1 sizes");
    assertThatThrownBy(() -> BetweenShiftSpread.ofRates(new long[] {-1}, new double[] {1}))
        .hasMessage("faults of point 0 is -1, must be at least 0");
    assertThatThrownBy(() -> CountLimits.ofItems(0, 10, TAIL)).hasMessageContaining("share is 0.0");
    assertThatThrownBy(() -> CountLimits.ofFaults(4, 0.5))
        .hasMessage("tail is 0.5, must be below 0.5");
  }

  private static Proportion.Count counted(Random random, int n, double p) {
    double[] draws = random.doubles(n).toArray();
    return new Proportion.Count(Arrays.stream(draws).filter(u -> u < p).count(), n);
  }

  @Test
  void countsNearTheGreatestIntDoNotOverflow() {
    CountLimits items =
        CountLimits.ofItems(0.999999999, Integer.MAX_VALUE, CountLimits.NORMAL_TAIL);
    assertThat(items.threeSigmaChance()).isBetween(0.0, 0.05);
    assertThat(items.chanceAbove()).isZero();
    CountLimits faults = CountLimits.ofFaults(2e9, CountLimits.NORMAL_TAIL);
    assertThat(faults.threeSigmaChance())
        .isCloseTo(0.0027, org.assertj.core.api.Assertions.within(1e-5));
    org.assertj.core.api.Assertions.assertThatThrownBy(
            () -> CountLimits.ofFaults(2.1e9, CountLimits.NORMAL_TAIL))
        .hasMessageContaining("up to 2.0E9");
  }
}
