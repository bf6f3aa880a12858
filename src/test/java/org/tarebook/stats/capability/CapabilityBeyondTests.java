package org.tarebook.stats.capability;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;
import static org.tarebook.stats.ReferenceTable.number;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.function.DoubleUnaryOperator;
import org.apache.commons.statistics.distribution.ExponentialDistribution;
import org.apache.commons.statistics.distribution.GammaDistribution;
import org.apache.commons.statistics.distribution.GumbelDistribution;
import org.apache.commons.statistics.distribution.LogNormalDistribution;
import org.apache.commons.statistics.distribution.NormalDistribution;
import org.apache.commons.statistics.distribution.UniformContinuousDistribution;
import org.apache.commons.statistics.distribution.WeibullDistribution;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;
import org.tarebook.stats.Accuracy;
import org.tarebook.stats.CapabilityIndices;
import org.tarebook.stats.CapabilityIntervals;
import org.tarebook.stats.Interval;
import org.tarebook.stats.Moments;
import org.tarebook.stats.Proportion;
import org.tarebook.stats.ReferenceTable;
import org.tarebook.stats.SigmaEstimate;
import org.tarebook.stats.Spread;
import org.tarebook.stats.Subgroup;
import org.tarebook.stats.Tolerance;
import tools.jackson.databind.JsonNode;

class CapabilityBeyondTests {

  @ParameterizedTest
  @CsvSource({"piston_rings", "gear"})
  void targetIndicesMeetComputedOnes(String name) {
    JsonNode set = ReferenceTable.json("dataset_indices.json").get(name);
    Tolerance tolerance =
        new Tolerance(
            set.get("LSL").asDouble(), set.get("USL").asDouble(), set.get("T").asDouble());
    double mean = set.get("mean").asDouble();
    for (String key :
        List.of(
            "within_Rbar_over_d2",
            "within_sbar_over_c4",
            "within_pooled",
            "within_pooled_over_c4",
            "overall",
            "overall_n")) {
      double sigma = set.get("sigma").get(key).asDouble();
      TargetIndices own = TargetIndices.of(mean, sigma, tolerance).orElseThrow();
      JsonNode expected = set.get("indices").get(key);
      String source = "dataset_indices.json";
      double cpm = expected.get("Cpm").asDouble();
      Accuracy.absolute("TargetIndices.cpm", source, own.cpm(), cpm, 1e-11);
      double cpmk = expected.get("Cpmk").asDouble();
      Accuracy.absolute("TargetIndices.cpmk", source, own.cpmk(), cpmk, 1e-11);
    }
  }

  // By hand: 1, 2, 6 about 2: squares 1 + 0 + 16.
  @Test
  void divisorIsStated() {
    Moments readings = Moments.of(new long[] {1_000_000_000L, 2_000_000_000L, 6_000_000_000L});
    Tolerance tolerance = new Tolerance(-4.0, 8.0, 2.0);
    TargetIndices n = TargetIndices.of(readings, tolerance, TargetIndices.Divisor.N).orElseThrow();
    assertThat(n.spread()).isCloseTo(Math.sqrt(17.0 / 3), within(1e-15));
    assertThat(n.cpm()).isCloseTo(12 / (6 * Math.sqrt(17.0 / 3)), within(1e-15));
    assertThat(n.cpmk()).isCloseTo(5 / (3 * Math.sqrt(17.0 / 3)), within(1e-15));
    TargetIndices less =
        TargetIndices.of(readings, tolerance, TargetIndices.Divisor.N_LESS_1).orElseThrow();
    assertThat(less.spread()).isCloseTo(Math.sqrt(17.0 / 2), within(1e-15));
    assertThat(less.divisor()).isEqualTo(TargetIndices.Divisor.N_LESS_1);
    // NIST/SEMATECH e-Handbook 6.1.6: limits 8 and 20, mean 16, sigma 2, target the middle.
    assertThat(TargetIndices.of(16, 2, Tolerance.between(8, 20)).orElseThrow().cpm())
        .isCloseTo(0.7071067811865476, within(1e-15));
    assertThat(TargetIndices.of(2, 0, tolerance)).isEmpty();
    Moments one = Moments.of(new long[] {3_000_000_000L});
    assertThat(TargetIndices.of(one, tolerance, TargetIndices.Divisor.N).orElseThrow().spread())
        .isEqualTo(1);
    assertThat(TargetIndices.of(one, tolerance, TargetIndices.Divisor.N_LESS_1)).isEmpty();
    assertThat(TargetIndices.of(Moments.EMPTY, tolerance, TargetIndices.Divisor.N)).isEmpty();
    assertThat(TargetIndices.of(3, 1, new Tolerance(null, 9.0, 3.0)).orElseThrow().cpm()).isNull();
    assertThatThrownBy(() -> TargetIndices.of(1, 1, Tolerance.atMost(2)))
        .hasMessage("an index about a target needs a target");
    assertThatThrownBy(
            () -> TargetIndices.of(readings, tolerance, TargetIndices.Divisor.GIVEN_SIGMA))
        .hasMessageContaining("choose N or N_LESS_1");
  }

  @Test
  void intervalsHoldTheirConfidenceInSimulation() {
    Random random = new Random(95);
    int rounds = 4000;
    int cpkHeld = 0;
    int rBarHeld = 0;
    int movingHeld = 0;
    double sigma = 1;
    Tolerance tolerance = new Tolerance(-5.0, 5.0, 0.0);
    double mean = 0.8;
    double cpk = 4.2 / 3;
    double cp = 10.0 / 6;
    for (int r = 0; r < rounds; r++) {
      long[] x =
          random.longs(50).map(u -> Math.round(1e9 * (mean + random.nextGaussian()))).toArray();
      Moments all = Moments.of(x);
      SigmaEstimate total = Spread.total(all).orElseThrow();
      double minimum = indices(all, total, tolerance).minimum();
      cpkHeld += holds(CapabilityIntervals.ofMinimum(minimum, total, 50, 0.9), cpk);
      List<Subgroup> subgroups = new ArrayList<>();
      for (int i = 0; i < 50; i += 5) {
        subgroups.add(Subgroup.of(x, i, i + 5));
      }
      SigmaEstimate rBar = Spread.meanRange(subgroups).orElseThrow();
      double byRange = indices(all, rBar, tolerance).potential();
      rBarHeld += holds(CapabilityIntervals.ofPotential(byRange, rBar, 0.9), cp);
      SigmaEstimate moving = Spread.meanMovingRange(Spread.movingRanges(x), 1).orElseThrow();
      double byMoving = indices(all, moving, tolerance).potential();
      movingHeld += holds(CapabilityIntervals.ofPotential(byMoving, moving, 0.9), cp);
    }
    // Nominally 90 %, standard error 0.5 %. Cpm and Cpk are approximations.
    assertThat((double) cpkHeld / rounds).isBetween(0.87, 0.93);
    assertThat((double) rBarHeld / rounds).isBetween(0.88, 0.92);
    assertThat((double) movingHeld / rounds).isBetween(0.88, 0.92);
  }

  private static CapabilityIndices indices(Moments all, SigmaEstimate sigma, Tolerance tolerance) {
    return CapabilityIndices.of(all.mean(), sigma.sigma(), tolerance).orElseThrow();
  }

  private static int holds(Interval interval, double truth) {
    return interval.lower() <= truth && truth <= interval.upper() ? 1 : 0;
  }

  static List<Map<String, String>> percentiles() {
    return ReferenceTable.rows("percentile_method.csv");
  }

  @ParameterizedTest
  @MethodSource("percentiles")
  void percentileIndicesMeetKnownDistributions(Map<String, String> row) {
    DoubleUnaryOperator quantile =
        switch (row.get("distribution").replaceAll("[ (].*", "")) {
          case "normal" -> NormalDistribution.of(16, 2)::inverseCumulativeProbability;
          case "lognormal" -> LogNormalDistribution.of(1, 0.3)::inverseCumulativeProbability;
          case "weibull" -> WeibullDistribution.of(1.3, 4)::inverseCumulativeProbability;
          case "gamma" -> GammaDistribution.of(4, 0.25)::inverseCumulativeProbability;
          case "exponential" -> ExponentialDistribution.of(1)::inverseCumulativeProbability;
          case "uniform" -> UniformContinuousDistribution.of(0, 1)::inverseCumulativeProbability;
          case "gumbel" -> GumbelDistribution.of(0, 1)::inverseCumulativeProbability;
          default -> throw new IllegalStateException(row.get("distribution"));
        };
    Double lower = row.get("LSL").isEmpty() ? null : Double.valueOf(row.get("LSL"));
    Tolerance tolerance = new Tolerance(lower, number(row, "USL"), null);
    CapabilityIndices iso =
        PercentileIndices.of(quantile, tolerance, PercentileIndices.ISO_22514_TAIL).orElseThrow();
    assertClose(iso.potential(), row.get("Cp_percentile_ISO22514"));
    assertClose(iso.upper(), row.get("Cpu"));
    assertClose(iso.lower(), row.get("Cpl"));
    assertClose(iso.minimum(), row.get("Cpk_percentile_ISO22514"));
    assertClose(
        PercentileIndices.of(quantile, tolerance, PercentileIndices.HANDBOOK_TAIL)
            .orElseThrow()
            .minimum(),
        row.get("Cnpk_with_0.005_and_0.995_percentiles_NIST"));
  }

  private static void assertClose(Double own, String expected) {
    if (expected.isEmpty()) {
      assertThat(own).isNull();
    } else {
      Accuracy.absolute(
          "PercentileIndices.of",
          "percentile_method.csv",
          own,
          Double.parseDouble(expected),
          5e-11);
    }
  }

  @Test
  void percentilesThatCoincideHaveNoIndex() {
    Tolerance tolerance = Tolerance.atMost(1);
    assertThat(PercentileIndices.of(p -> 3, tolerance, 0.00135)).isEmpty();
    assertThat(PercentileIndices.of(p -> Math.max(p, 0.5), tolerance, 0.00135)).isEmpty();
    assertThat(PercentileIndices.of(p -> Math.min(p, 0.5), tolerance, 0.00135)).isEmpty();
    assertThatThrownBy(() -> PercentileIndices.of(p -> p, tolerance, 0.5))
        .hasMessage("tail is 0.5, must be below 0.5");
    assertThatThrownBy(() -> PercentileIndices.of(p -> Double.NaN, tolerance, 0.1))
        .hasMessageContaining("low percentile is NaN");
  }

  @Test
  void aClaimTakesSoManyReadings() {
    int n = SmallestSample.readings(1.33, 1.6, 0.95);
    // Exactly at the edge, by the same exact limits.
    assertThat(lower(1.6, n)).isGreaterThanOrEqualTo(1.33);
    assertThat(lower(1.6, n - 1)).isLessThan(1.33);
    // z^2 (1/9 + C^2/2) / (C - c)^2 by the normal approximation is about 52.
    assertThat(n).isBetween(45, 65);
    double index = SmallestSample.index(1.33, 50, 0.95);
    assertThat(lower(index, 50)).isCloseTo(1.33, within(1e-8));
    assertThat(SmallestSample.readings(1.33, index + 1e-6, 0.95)).isEqualTo(50);
    // chi-square(0.05; 19) = 10.117013, any table: 1.33 sqrt(19 / 10.117).
    assertThat(SmallestSample.potential(1.33, 20, 0.95))
        .isCloseTo(1.33 * Math.sqrt(19 / 10.117013), within(1e-6));
    // Two readings know so little that it takes a large index.
    double ofTwo = SmallestSample.index(1.33, 2, 0.95);
    assertThat(ofTwo).isGreaterThan(10);
    assertThat(lower(ofTwo, 2)).isCloseTo(1.33, within(1e-8));
    double small = SmallestSample.index(0.01, 30, 0.95);
    assertThat(lower(small, 30)).isCloseTo(0.01, within(1e-9));
    for (double confidence : new double[] {0.5, 1}) {
      String message = "confidence is %s, must lie between 0.5 and 1, such as 0.95";
      assertThatThrownBy(() -> SmallestSample.readings(1.33, 1.6, confidence))
          .hasMessage(message.formatted(confidence));
      assertThatThrownBy(() -> SmallestSample.index(1.33, 50, confidence))
          .hasMessage(message.formatted(confidence));
      assertThatThrownBy(() -> SmallestSample.potential(1.33, 50, confidence))
          .hasMessage(message.formatted(confidence));
    }
    assertThatThrownBy(() -> SmallestSample.readings(1.33, 1.33, 0.95))
        .hasMessage("observed index is 1.33, only one above the claim of 1.33 can support it");
    assertThatThrownBy(() -> SmallestSample.readings(1.33, 1.3300001, 0.95))
        .hasMessageContaining("too near");
    assertThatThrownBy(() -> SmallestSample.index(1.33, 1, 0.95))
        .hasMessage("readings is 1, must be at least 2");
  }

  private static double lower(double index, int n) {
    SigmaEstimate sigma = new SigmaEstimate(1, n - 1, org.tarebook.stats.Estimator.TOTAL, 1);
    return CapabilityIntervals.ofOneSide(index, sigma, n, 0.9).lower();
  }

  static List<Map<String, String>> binomial() {
    return ReferenceTable.rows("binomial_intervals.csv");
  }

  @ParameterizedTest
  @MethodSource("binomial")
  void oneSidedLimitsOfSharesMeetR(Map<String, String> row) {
    Proportion.Count count =
        new Proportion.Count(Long.parseLong(row.get("x")), Long.parseLong(row.get("n")));
    double confidence = number(row, "conf");
    Accuracy.absolute(
        "Proportion.upperLimit",
        "binomial_intervals.csv",
        Proportion.upperLimit(count, confidence),
        number(row, "cp_one_sided_upper"),
        1e-11);
    Accuracy.absolute(
        "Proportion.lowerLimit",
        "binomial_intervals.csv",
        Proportion.lowerLimit(count, confidence),
        number(row, "cp_one_sided_lower"),
        1e-11);
  }

  // The rule of three: none in 299 says below 1 %, none in 298 does not.
  @Test
  void noneSeenIsNotNone() {
    assertThat(Proportion.itemsWithoutOne(0.01, 0.95)).isEqualTo(299);
    assertThat(Proportion.upperLimit(new Proportion.Count(0, 299), 0.95)).isLessThan(0.01);
    assertThat(Proportion.upperLimit(new Proportion.Count(0, 298), 0.95)).isGreaterThan(0.01);
    for (int n = 1; n <= 20; n++) {
      for (String share : List.of("0.5", "0.2", "0.1", "0.01")) {
        // A confidence that so many items reach exactly.
        BigDecimal left = BigDecimal.ONE.subtract(new BigDecimal(share)).pow(n);
        double confidence = BigDecimal.ONE.subtract(left).doubleValue();
        assertThat(Proportion.itemsWithoutOne(Double.parseDouble(share), confidence)).isEqualTo(n);
      }
    }
    assertThat(Proportion.upperLimit(new Proportion.Count(5, 5), 0.95)).isEqualTo(1);
    assertThatThrownBy(() -> Proportion.itemsWithoutOne(0, 0.95))
        .hasMessage("bound is 0.0, must lie between 0 and 1");
  }

  /** By scipy 1.17, nct: 13 subgroups of 5 reach 1.3302, 12 only 1.3191; 51 of 2 reach 1.3310. */
  @Test
  void subgroupsKnowSigmaLessWellThanAsManyReadings() {
    assertThat(SmallestSample.subgroups(1.33, 1.6, 5, 0.95)).isEqualTo(13);
    assertThat(SmallestSample.subgroups(1.33, 1.6, 2, 0.95)).isEqualTo(51);
    assertThat(SmallestSample.subgroups(0.1, 100, 25, 0.95)).isEqualTo(1);
    assertThatThrownBy(() -> SmallestSample.subgroups(1.33, 1.6, 1, 0.95))
        .hasMessageContaining("readings in a subgroup");
    assertThatThrownBy(() -> SmallestSample.subgroups(1.33, 1.33, 5, 0.95))
        .hasMessageContaining("observed index");
  }
}
