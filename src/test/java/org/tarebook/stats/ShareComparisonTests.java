package org.tarebook.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;
import static org.tarebook.stats.ReferenceTable.number;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import org.apache.commons.statistics.distribution.NormalDistribution;
import org.apache.commons.statistics.distribution.PoissonDistribution;
import org.apache.commons.statistics.distribution.TDistribution;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.tarebook.stats.Proportion.Count;
import tools.jackson.databind.JsonNode;

class ShareComparisonTests {

  static List<Map<String, String>> poisson() {
    return ReferenceTable.rows("poisson_intervals.csv");
  }

  // R 4.2.2 poisson.test.
  @ParameterizedTest
  @MethodSource("poisson")
  void faultIntervalsMeetR(Map<String, String> row) {
    FaultRate rate = new FaultRate(Long.parseLong(row.get("count")), 4);
    double confidence = number(row, "conf");
    Interval interval = rate.interval(confidence);
    String source = "poisson_intervals.csv";
    String function = "FaultRate.interval";
    Accuracy.relative(function, source, 4 * interval.lower(), number(row, "exact_lo"), 1e-11);
    Accuracy.relative(function, source, 4 * interval.upper(), number(row, "exact_hi"), 1e-11);
    Accuracy.relative(
        "FaultRate.upperLimit",
        source,
        4 * rate.upperLimit(confidence),
        number(row, "one_sided_upper"),
        1e-11);
  }

  @Test
  void faultIntervalsNeverFallShort() {
    for (double mean : new double[] {0.3, 2.5, 9.1}) {
      PoissonDistribution poisson = PoissonDistribution.of(mean);
      double held = 0;
      for (int c = 0; c < 60; c++) {
        Interval interval = new FaultRate(c, 1).interval(0.95);
        if (interval.lower() <= mean && mean <= interval.upper()) {
          held += poisson.probability(c);
        }
      }
      assertThat(held).isGreaterThanOrEqualTo(0.95);
    }
    assertThat(new FaultRate(3, 2).rate()).isEqualTo(1.5);
    assertThatThrownBy(() -> new FaultRate(-1, 1)).hasMessage("faults is -1, must be at least 0");
    assertThatThrownBy(() -> new FaultRate(1, 0)).hasMessageContaining("size is 0.0");
  }

  // Newcombe (1998) Table I and NIST/SEMATECH e-Handbook 7.2.4.1, printed digits.
  @Test
  void sharesMeetThePrintedTables() {
    JsonNode published = ReferenceTable.json("proportions_published.json");
    for (JsonNode row : published.get("newcombe").get("rows")) {
      Count count = new Count(row.get("x").asLong(), row.get("n").asLong());
      assertPrinted("Proportion.wilson", Proportion.wilson(count, 0.95), row.get("wilson"));
      assertPrinted(
          "Proportion.clopperPearson",
          Proportion.clopperPearson(count, 0.95),
          row.get("clopper_pearson"));
    }
    Interval exact = Proportion.clopperPearson(new Count(4, 20), 0.9);
    assertThat(exact.lower()).isCloseTo(0.071354, within(5e-7));
    // The handbook prints 0.401029; the exact limit is 0.4010281, so its last digit is one too
    // many.
    assertThat(exact.upper()).isCloseTo(0.4010281, within(5e-8));
    assertThat(exact.upper()).isLessThan(0.4010285);
  }

  // Printed to four decimals.
  private static void assertPrinted(String function, Interval own, JsonNode printed) {
    String name = function + " as printed";
    String source = "proportions_published.json";
    Accuracy.absolute(name, source, own.lower(), printed.get(0).asDouble(), 5.1e-5);
    Accuracy.absolute(name, source, own.upper(), printed.get(1).asDouble(), 5.1e-5);
  }

  // Newcombe, Statistics in Medicine 17 (1998) 873-890, Table II, method 10: 56/70 - 48/80 is
  // 0.0524 to 0.3339, 9/10 - 3/10 is 0.1705 to 0.8090.
  @Test
  void differencesMeetThePublishedTable() {
    ShareComparison first = ShareComparison.of(new Count(56, 70), new Count(48, 80));
    assertThat(first.difference()).isCloseTo(0.2, within(1e-15));
    assertThat(first.interval(0.95).lower()).isCloseTo(0.0524, within(5e-5));
    assertThat(first.interval(0.95).upper()).isCloseTo(0.3339, within(5e-5));
    ShareComparison second = ShareComparison.of(new Count(9, 10), new Count(3, 10));
    assertThat(second.interval(0.95).lower()).isCloseTo(0.1705, within(5e-5));
    assertThat(second.interval(0.95).upper()).isCloseTo(0.8090, within(5e-5));
  }

  @Test
  void spreadBetweenShiftsMakesADifferenceLessSure() {
    Random random = new Random(111);
    int rounds = 1000;
    int plainWrong = 0;
    int shiftsWrong = 0;
    for (int r = 0; r < rounds; r++) {
      List<Count> one = shifts(random, 12);
      List<Count> other = shifts(random, 12);
      ShareComparison shifts = ShareComparison.ofShifts(one, other).orElseThrow();
      shiftsWrong += shifts.p() < 0.05 ? 1 : 0;
      ShareComparison plain = ShareComparison.of(shifts.first(), shifts.second());
      plainWrong += plain.p() < 0.05 ? 1 : 0;
      assertThat(shifts.interval(0.95).lower()).isLessThanOrEqualTo(plain.interval(0.95).lower());
    }
    // Both sides are one process whose shifts move: 5 % is nominal.
    assertThat((double) shiftsWrong / rounds).isBetween(0.03, 0.075);
    assertThat((double) plainWrong / rounds).isGreaterThan(0.25);
  }

  /** Shifts of 400 items whose share moves between 2 and 8 %. */
  private static List<Count> shifts(Random random, int n) {
    List<Count> shifts = new ArrayList<>();
    for (int i = 0; i < n; i++) {
      double p = 0.02 + 0.06 * random.nextDouble();
      shifts.add(new Count(random.doubles(400).filter(u -> u < p).count(), 400));
    }
    return shifts;
  }

  // By hand: 30 and 45 of 100 about 0.375 differ by 0.15 with variance 0.375 0.625 / 50.
  @Test
  void chancesOfDifferencesByHand() {
    double z = Math.sqrt(0.15 * 0.15 / (0.375 * 0.625 / 50));
    assertThat(ShareComparison.of(new Count(30, 100), new Count(45, 100)).p())
        .isCloseTo(2 * NormalDistribution.of(0, 1).survivalProbability(z), within(1e-14));
    // Shifts of 0.1 and 0.3, of 0.2 and 0.4: chi-squares 200 / 16 and 200 / 21 on a degree each.
    ShareComparison shifts =
        ShareComparison.ofShifts(
                List.of(new Count(10, 100), new Count(30, 100)),
                List.of(new Count(20, 100), new Count(40, 100)))
            .orElseThrow();
    double dispersion = (200 / 16.0 + 200 / 21.0) / 2;
    assertThat(shifts.dispersion()).isCloseTo(dispersion, within(1e-13));
    assertThat(shifts.degrees()).isEqualTo(2);
    // Of two degrees: 1 - t / sqrt(2 + t^2) on both sides, t^2 = 0.1^2 / (0.1875 / 100).
    double f = 0.01 / 0.001875 / dispersion;
    assertThat(shifts.p()).isCloseTo(1 - Math.sqrt(f / (2 + f)), within(1e-13));
    // Student's quantile of two degrees: c sqrt(2 / (1 - c^2)).
    double t = 0.95 * Math.sqrt(2 / (1 - 0.95 * 0.95));
    Interval one = Proportion.score(0.2, 200 / dispersion, t);
    Interval other = Proportion.score(0.3, 200 / dispersion, t);
    assertThat(shifts.interval(0.95).lower())
        .isCloseTo(-0.1 - Math.hypot(0.2 - one.lower(), other.upper() - 0.3), within(1e-12));
    assertThat(shifts.interval(0.95).upper())
        .isCloseTo(-0.1 + Math.hypot(one.upper() - 0.2, 0.3 - other.lower()), within(1e-12));
    // Three shifts are the fewest.
    assertThat(
            ShareComparison.ofShifts(
                    List.of(new Count(10, 100), new Count(30, 100)), List.of(new Count(20, 100)))
                .orElseThrow()
                .degrees())
        .isEqualTo(1);
  }

  // By hand: 9 and 8 of ten, half an item added to either side of both.
  @Test
  void yieldIntervalByHand() {
    double a = 9.5 / 11;
    double b = 8.5 / 11;
    double items = (1 - a * b) / (a * b) / ((1 - a) / (11 * a) + (1 - b) / (11 * b));
    Interval expected = Proportion.score(0.72, items, 1.959963984540054);
    Interval own = new FirstPassYield(List.of(new Count(9, 10), new Count(8, 10))).interval(0.95);
    assertThat(own.lower()).isCloseTo(expected.lower(), within(1e-13));
    assertThat(own.upper()).isCloseTo(expected.upper(), within(1e-13));
  }

  @Test
  void comparisonsOfNothingSayNothing() {
    ShareComparison none = ShareComparison.of(new Count(0, 5), new Count(0, 7));
    assertThat(none.p()).isEqualTo(1);
    assertThat(ShareComparison.ofShifts(List.of(), List.of(new Count(1, 2)))).isEmpty();
    assertThat(ShareComparison.ofShifts(List.of(new Count(1, 2)), List.of(new Count(1, 2))))
        .isEmpty();
  }

  @Test
  void yieldIsTheProductOfItsSteps() {
    FirstPassYield yield =
        new FirstPassYield(List.of(new Count(98, 100), new Count(190, 200), new Count(50, 50)));
    assertThat(yield.share()).isCloseTo(0.98 * 0.95, within(1e-15));
    Interval interval = yield.interval(0.95);
    assertThat(interval.lower()).isBetween(0.86, 0.9);
    assertThat(interval.upper()).isBetween(0.95, 0.98);
    assertThat(new FirstPassYield(List.of(new Count(5, 5))).interval(0.95).upper()).isEqualTo(1);
    assertThat(new FirstPassYield(List.of(new Count(0, 5))).interval(0.95).lower()).isZero();
    assertThatThrownBy(() -> new FirstPassYield(List.of()))
        .hasMessageContaining("at least one step");
  }

  @Test
  void yieldIntervalsHoldTheirConfidence() {
    Random random = new Random(112);
    double[] p = {0.97, 0.99, 0.93, 0.995};
    int[] n = {200, 150, 180, 120};
    double truth = 0.97 * 0.99 * 0.93 * 0.995;
    int rounds = 3000;
    int held = 0;
    for (int r = 0; r < rounds; r++) {
      List<Count> steps = new ArrayList<>();
      for (int i = 0; i < p.length; i++) {
        double share = p[i];
        steps.add(new Count(random.doubles(n[i]).filter(u -> u < share).count(), n[i]));
      }
      Interval interval = new FirstPassYield(steps).interval(0.9);
      held += interval.lower() <= truth && truth <= interval.upper() ? 1 : 0;
    }
    assertThat((double) held / rounds).isBetween(0.88, 0.92);
  }

  @Test
  void yieldOfOneStepIsAShare() {
    Count count = new Count(180, 200);
    Interval one = new FirstPassYield(List.of(count)).interval(0.95);
    Interval wilson = Proportion.wilson(count, 0.95);
    assertThat(one.lower()).isCloseTo(wilson.lower(), within(0.001));
    assertThat(one.upper()).isCloseTo(wilson.upper(), within(0.001));
  }

  @Test
  void clustersDivideItemsByTheLargerDesignEffect() {
    ClusteredShare first =
        ClusteredShare.of(
                List.of(new Count(4, 4), new Count(0, 4), new Count(0, 4)), Optional.empty())
            .orElseThrow();
    ClusteredShare second = ClusteredShare.ofSingle(new Count(2, 20));
    ShareComparison found = ShareComparison.ofClusters(first, second).orElseThrow();
    // By hand: excesses 8/3, -4/3, -4/3; squares 96/9 over 24/9, times 3/2.
    assertThat(found.dispersion()).isCloseTo(6, within(1e-12));
    assertThat(found.degrees()).isEqualTo(2 + 3);
    double pooled = 6 / 32.0;
    double t =
        Math.abs(4 / 12.0 - 0.1)
            / Math.sqrt(pooled * (1 - pooled) * (1 / 12.0 + 1 / 20.0) * found.dispersion());
    assertThat(found.p()).isCloseTo(2 * TDistribution.of(5).survivalProbability(t), within(1e-12));
    ShareComparison plain = ShareComparison.of(first.pooled(), second.pooled());
    assertThat(found.p()).isGreaterThan(plain.p());
    assertThat(found.interval(0.95).lower()).isLessThan(plain.interval(0.95).lower());
    ClusteredShare load =
        ClusteredShare.of(List.of(new Count(1, 4)), Optional.empty()).orElseThrow();
    assertThat(ShareComparison.ofClusters(load, load)).isEmpty();
  }

  @Test
  void spreadBetweenShiftsIsNoLessThanThatOfClusters() {
    List<Proportion.Count> shifts = List.of(new Count(3, 20), new Count(4, 20));
    ShareComparison found = ShareComparison.ofShifts(shifts, shifts).orElseThrow();
    assertThat(found.withLeast(1)).isSameAs(found);
    assertThat(found.withLeast(3).dispersion()).isEqualTo(3);
    assertThat(found.withLeast(3).interval(0.95).upper())
        .isGreaterThan(found.interval(0.95).upper());
  }

  @Test
  void yieldOfStepsThatSayLessHasAWiderInterval() {
    FirstPassYield steps = new FirstPassYield(List.of(new Count(90, 100), new Count(40, 50)));
    assertThat(steps.interval(0.95, List.of(100.0, 50.0))).isEqualTo(steps.interval(0.95));
    Interval fewer =
        new FirstPassYield(List.of(new Count(45, 50), new Count(40, 50))).interval(0.95);
    Interval halved = steps.interval(0.95, List.of(50.0, 50.0));
    assertThat(halved.lower()).isCloseTo(fewer.lower(), within(1e-14));
    assertThat(halved.upper()).isCloseTo(fewer.upper(), within(1e-14));
    assertThatThrownBy(() -> steps.interval(0.95, List.of(1.0)))
        .isInstanceOf(IllegalArgumentException.class);
    assertThatThrownBy(() -> steps.interval(0.95, List.of(1.0, 0.0)))
        .isInstanceOf(IllegalArgumentException.class);
  }
}
