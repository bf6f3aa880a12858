package org.tarebook.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import tools.jackson.databind.JsonNode;

class CapabilityTests {

  // Indices of two data sets with each sigma: Montgomery's piston rings and NIST's GEAR.DAT.
  @ParameterizedTest
  @CsvSource({
    "piston_rings, xbar_s_piston_rings.json",
    "gear, xbar_gear.json",
  })
  void reproducesTheIndicesOfWholeDataSets(String name, String data) {
    JsonNode expected = ReferenceTable.json("dataset_indices.json").get(name);
    var subgroups =
        ReferenceTable.nanos(ReferenceTable.json(data).get("data")).stream()
            .map(Subgroup::of)
            .toList();
    Moments all = subgroups.stream().map(Subgroup::moments).reduce(Moments.EMPTY, Moments::plus);
    Tolerance tolerance =
        new Tolerance(
            expected.get("LSL").asDouble(),
            expected.get("USL").asDouble(),
            expected.get("T").asDouble());
    Map<String, SigmaEstimate> estimates =
        Map.of(
            "within_Rbar_over_d2", Spread.meanRange(subgroups).orElseThrow(),
            "within_sbar_over_c4", Spread.meanSd(subgroups).orElseThrow(),
            "within_pooled", Spread.pooled(subgroups).orElseThrow(),
            "within_pooled_over_c4", Spread.pooled(subgroups).orElseThrow().withoutBias(),
            "overall", Spread.total(all).orElseThrow());
    estimates.forEach(
        (kind, estimate) -> {
          JsonNode indices = expected.get("indices").get(kind);
          CapabilityIndices own =
              CapabilityIndices.of(all.mean(), estimate.sigma(), tolerance).orElseThrow();
          check("CapabilityIndices.potential", own.potential(), indices.get("Cp"), 1e-12);
          check("CapabilityIndices.upper", own.upper(), indices.get("CpU"), 1e-12);
          check("CapabilityIndices.lower", own.lower(), indices.get("CpL"), 1e-12);
          check("CapabilityIndices.minimum", own.minimum(), indices.get("Cpk"), 1e-12);
        });

    SigmaEstimate total = estimates.get("overall");
    CapabilityIndices own =
        CapabilityIndices.of(all.mean(), total.sigma(), tolerance).orElseThrow();
    JsonNode limits = expected.get("overall_limits_95");
    double index = own.minimum();
    long n = all.count();
    Interval potential = CapabilityIntervals.ofPotential(own.potential(), total, 0.95);
    check("CapabilityIntervals.ofPotential", potential.lower(), limits.get("Pp").get(0), 1e-11);
    check("CapabilityIntervals.ofPotential", potential.upper(), limits.get("Pp").get(1), 1e-11);
    Interval minimum = CapabilityIntervals.ofMinimum(index, total, n, 0.95);
    JsonNode bissell = limits.get("Ppk_bissell");
    check("CapabilityIntervals.ofMinimum", minimum.lower(), bissell.get(0), 1e-11);
    check("CapabilityIntervals.ofMinimum", minimum.upper(), bissell.get(1), 1e-11);
    Interval side = CapabilityIntervals.ofOneSide(index, total, n, 0.95);
    JsonNode pair = limits.get("Ppk_exact_onesided_pair");
    check("CapabilityIntervals.ofOneSide", side.lower(), pair.get(0), 1e-11);
    check("CapabilityIntervals.ofOneSide", side.upper(), pair.get(1), 1e-11);
    double lower = CapabilityIntervals.ofOneSide(index, total, n, 0.9).lower();
    check("CapabilityIntervals.ofOneSide", lower, limits.get("Ppk_exact_lower_95"), 1e-11);
    Accuracy.relative(
        "SharesOutside.ofNormal",
        "dataset_indices.json",
        SharesOutside.ofNormal(all.mean(), total.sigma(), tolerance).orElseThrow().total() * 1e6,
        expected.get("ppm_overall_normal").asDouble(),
        1e-9);
  }

  private static void check(String function, double own, JsonNode expected, double allowed) {
    Accuracy.absolute(function, "dataset_indices.json", own, expected.asDouble(), allowed);
  }

  // NIST/SEMATECH e-Handbook 6.1.6; Montgomery, ISQC, Examples 8.1, 8.2 and 8.4.
  @ParameterizedTest
  @ValueSource(ints = {0, 1, 2, 3})
  void reproducesWorkedExamples(int number) {
    JsonNode example = ReferenceTable.json("capability_examples.json").get("examples").get(number);
    JsonNode given = example.get("given");
    JsonNode published = example.get("published");
    Tolerance tolerance = new Tolerance(orNull(given.get("LSL")), orNull(given.get("USL")), null);
    double sigma = (given.has("s") ? given.get("s") : given.get("sigma")).asDouble();
    double mean = given.has("mean") ? given.get("mean").asDouble() : 50;
    CapabilityIndices own = CapabilityIndices.of(mean, sigma, tolerance).orElseThrow();

    assertPrinted(published, "Cp", own.potential());
    assertPrinted(published, "Cpu", own.upper());
    assertPrinted(published, "Cpl", own.lower());
    assertPrinted(published, "Cpk", own.minimum());
    if (given.has("conf")) {
      SigmaEstimate estimate =
          new SigmaEstimate(sigma, given.get("n").asDouble() - 1, Estimator.TOTAL, 1);
      Interval interval =
          CapabilityIntervals.ofPotential(own.potential(), estimate, given.get("conf").asDouble());
      // The book rounds Cp to 2.29 before it multiplies and so prints 1.57 and 3.01.
      assertClose(interval, example.get("recomputed").get("limits"), 1e-11);
      assertThat(interval.lower()).isCloseTo(1.57, within(0.0055));
      assertThat(interval.upper()).isCloseTo(3.01, within(0.0055));
    }
  }

  @Test
  void givesOnlyTheSideThatExists() {
    CapabilityIndices below = CapabilityIndices.of(264, 32, Tolerance.atLeast(200)).orElseThrow();
    assertThat(below).isEqualTo(new CapabilityIndices(null, 64.0 / 96, null, 64.0 / 96));
    CapabilityIndices above = CapabilityIndices.of(5, 1, Tolerance.atMost(2)).orElseThrow();
    assertThat(above).isEqualTo(new CapabilityIndices(null, -1, -1.0, null));
  }

  @Test
  void isAbsentWhenNothingVaried() {
    assertThat(CapabilityIndices.of(4.4, 0, Tolerance.between(4.3, 4.5))).isEmpty();
    assertThat(CapabilityIndices.of(4.4, Double.MIN_VALUE, Tolerance.between(4.3, 4.5))).isEmpty();
    assertThat(SharesOutside.ofNormal(4.4, 0, Tolerance.between(4.3, 4.5))).isEmpty();
  }

  // Montgomery, ISQC, Table 8.2. Down to one part in a million both sides are rounded, and one side
  // is half of that rounded up, so it may be one too many. Below, one side is cut off and doubled.
  @Test
  void printedPartsPerMillionWereRoundedBeforeTheyWereHalved() {
    for (Map<String, String> row : ReferenceTable.rows("ppm_table.csv")) {
      double index = ReferenceTable.number(row, "index");
      SharesOutside own =
          SharesOutside.ofNormal(0, 1, Tolerance.between(-3 * index, 3 * index)).orElseThrow();
      BigDecimal two = new BigDecimal(row.get("published_ppm_two_sided"));
      BigDecimal one = new BigDecimal(row.get("published_ppm_one_sided"));
      if (index < 1.7) {
        assertThat(new BigDecimal(own.total() * 1e6).setScale(0, RoundingMode.HALF_UP))
            .isEqualByComparingTo(two);
        assertThat(two.divide(BigDecimal.valueOf(2)).setScale(0, RoundingMode.HALF_UP))
            .isEqualByComparingTo(one);
      } else {
        assertThat(new BigDecimal(own.above() * 1e6).setScale(one.scale(), RoundingMode.DOWN))
            .isEqualByComparingTo(one);
        assertThat(one.multiply(BigDecimal.valueOf(2))).isEqualByComparingTo(two);
      }
    }
  }

  // Montgomery, ISQC, Table 8.2.
  @Test
  void reproducesPartsPerMillion() {
    for (Map<String, String> row : ReferenceTable.rows("ppm_table.csv")) {
      double index = ReferenceTable.number(row, "index");
      double two = ReferenceTable.number(row, "exact_ppm_two_sided");
      SharesOutside shares =
          SharesOutside.ofNormal(0, 1, Tolerance.between(-3 * index, 3 * index)).orElseThrow();
      String source = "ppm_table.csv";
      Accuracy.relative("SharesOutside.ofNormal", source, shares.total() * 1e6, two, 1e-9);
      double one = ReferenceTable.number(row, "exact_ppm_one_sided");
      SharesOutside above = SharesOutside.ofNormal(0, 1, Tolerance.atMost(3 * index)).orElseThrow();
      Accuracy.relative("SharesOutside.ofNormal", source, above.above() * 1e6, one, 1e-9);
      assertThat(above.below()).isZero();
    }
  }

  // mpmath 1.3.0: ncdf(-20), ncdf(-4.5).
  @Test
  void keepsItsDigitsForTinyShares() {
    SharesOutside shares = SharesOutside.ofNormal(0, 1, Tolerance.between(-20, 4.5)).orElseThrow();
    assertThat(shares.below()).isCloseTo(2.7536241186062337e-89, within(3e-101));
    assertThat(shares.above()).isCloseTo(3.3976731247300604e-6, within(3e-18));
  }

  @Test
  void refusesTolerancesAndFiguresThatCannotBe() {
    assertThatThrownBy(() -> new Tolerance(null, null, 4.4))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("this one none");
    assertThatThrownBy(() -> Tolerance.between(4.5, 4.5))
        .hasMessage("lower limit 4.5 is not below upper limit 4.5");
    assertThatThrownBy(() -> Tolerance.atMost(Double.NaN))
        .hasMessage("upper limit is NaN, must be finite");
    assertThatThrownBy(() -> Tolerance.atLeast(Double.NEGATIVE_INFINITY))
        .hasMessageContaining("lower limit is -Infinity");
    assertThatThrownBy(() -> new Tolerance(1.0, 2.0, Double.NaN))
        .hasMessageContaining("target is NaN");
    assertThatThrownBy(() -> CapabilityIndices.of(Double.NaN, 1, Tolerance.atMost(1)))
        .hasMessageContaining("mean is NaN");
    assertThatThrownBy(() -> SharesOutside.ofNormal(1, -1, Tolerance.atMost(1)))
        .hasMessageContaining("sigma is -1.0");
  }

  private static Double orNull(JsonNode node) {
    return node.isNull() ? null : (Double) node.asDouble();
  }

  private static void assertPrinted(JsonNode published, String name, Double own) {
    if (published.has(name)) {
      String printed = published.get(name).asString();
      double half = 0.5000001 * Math.pow(10, -new java.math.BigDecimal(printed).scale());
      assertThat(own).as(name).isCloseTo(Double.parseDouble(printed), within(half));
    }
  }

  static void assertClose(Interval own, JsonNode expected, double tolerance) {
    assertThat(own.lower()).isCloseTo(expected.get(0).asDouble(), within(tolerance));
    assertThat(own.upper()).isCloseTo(expected.get(1).asDouble(), within(tolerance));
  }
}
