package org.tarebook.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import tools.jackson.databind.JsonNode;

class ControlLimitsTests {

  // Piston rings: Montgomery, Introduction to Statistical Quality Control, Table 6.3.
  // Gear: NIST/SEMATECH e-Handbook, data set GEAR.DAT.
  @ParameterizedTest
  @ValueSource(strings = {"xbar_s_piston_rings.json", "xbar_gear.json"})
  void reproducesSubgroupCharts(String name) {
    JsonNode file = ReferenceTable.json(name);
    JsonNode expected = file.get("recomputed");
    List<Subgroup> subgroups =
        ReferenceTable.nanos(file.get("data")).stream().map(Subgroup::of).toList();
    Moments all = subgroups.stream().map(Subgroup::moments).reduce(Moments.EMPTY, Moments::plus);
    long n = subgroups.get(0).count();
    double tolerance = 1e-13;

    for (int i = 0; i < subgroups.size(); i++) {
      assertThat(subgroups.get(i).mean())
          .isCloseTo(expected.get("subgroup_means").get(i).asDouble(), within(tolerance));
      // The reference ranges were taken in binary floating point and carry its error.
      assertThat(subgroups.get(i).range())
          .isCloseTo(expected.get("subgroup_ranges").get(i).asDouble(), within(tolerance));
      assertThat(subgroups.get(i).sd())
          .isCloseTo(expected.get("subgroup_sds").get(i).asDouble(), within(tolerance));
    }
    assertThat(all.mean()).isEqualTo(expected.get("grand_mean").asDouble());

    double byRange = Spread.meanRange(subgroups).orElseThrow().sigma();
    assertThat(byRange).isCloseTo(expected.get("sigma_from_R").asDouble(), within(tolerance));
    assertLimits(
        ControlLimits.ofMean(all.mean(), byRange, n), expected.get("xbar_R"), "lcl", "ucl");
    assertLimits(ControlLimits.ofRange(byRange, n), expected.get("xbar_R"), "lcl_R", "ucl_R");

    double bySd = Spread.meanSd(subgroups).orElseThrow().sigma();
    assertThat(bySd).isCloseTo(expected.get("sigma_from_s").asDouble(), within(tolerance));
    assertLimits(ControlLimits.ofMean(all.mean(), bySd, n), expected.get("xbar_s"), "lcl", "ucl");
    assertLimits(ControlLimits.ofSd(bySd, n), expected.get("xbar_s"), "lcl_s", "ucl_s");

    double pooled = Spread.pooled(subgroups).orElseThrow().sigma();
    assertThat(pooled).isCloseTo(expected.get("s_pooled").asDouble(), within(tolerance));
  }

  // NIST/SEMATECH e-Handbook, section 6.3.2.2. Its printed limits (55.8041, 45.8159) use d2 =
  // 1.128.
  @Test
  void reproducesTheIndividualsChartOfTheHandbook() {
    JsonNode file = ReferenceTable.json("imr_flowrate.json");
    JsonNode expected = file.get("recomputed_exact_d2");
    long[] data = new long[10];
    for (int i = 0; i < data.length; i++) {
      data[i] = ReferenceTable.nanos(file.get("data").get(i).asString());
    }
    Moments movingRanges = Spread.movingRanges(data);
    SigmaEstimate sigma = Spread.meanMovingRange(movingRanges, 1).orElseThrow();
    double centre = Moments.of(data).mean();

    assertThat(centre).isEqualTo(50.81);
    assertThat(movingRanges.mean()).isEqualTo(1.8777777777777778);
    assertThat(sigma.sigma()).isCloseTo(expected.get("sigma_hat_mr").asDouble(), within(1e-14));
    assertLimits(ControlLimits.ofIndividual(centre, sigma.sigma()), expected, "lcl_x", "ucl_x");
    assertLimits(ControlLimits.ofMovingRange(sigma.sigma()), expected, "lcl_mr", "ucl_mr");

    double printedD2 = 1.128;
    ControlLimits printed = ControlLimits.ofIndividual(centre, movingRanges.mean() / printedD2);
    assertThat(printed.upper()).isCloseTo(55.8041, within(5e-5));
    assertThat(printed.lower()).isCloseTo(45.8159, within(5e-5));
  }

  @Test
  void equalsTheLimitsByFactors() {
    for (int n = 2; n <= 25; n++) {
      double meanRange = 0.37;
      double sigma = meanRange / Factors.d2(n);
      assertThat(ControlLimits.ofMean(10, sigma, n).upper())
          .isCloseTo(10 + Factors.meanByRange(n) * meanRange, within(1e-14));
      assertThat(ControlLimits.ofRange(sigma, n).upper())
          .isCloseTo(Factors.rangeUpper(n) * meanRange, within(1e-14));
      double meanSd = 0.11;
      sigma = meanSd / Factors.c4(n);
      assertThat(ControlLimits.ofMean(10, sigma, n).lower())
          .isCloseTo(10 - Factors.meanBySd(n) * meanSd, within(1e-14));
      assertThat(ControlLimits.ofSd(sigma, n).lower())
          .isCloseTo(Factors.sdLower(n) * meanSd, within(1e-14));
    }
  }

  @Test
  void coincideWithoutSpread() {
    assertThat(ControlLimits.ofMean(4.4, 0, 5)).isEqualTo(new ControlLimits(4.4, 4.4, 4.4));
    assertThat(ControlLimits.ofRange(0, 5)).isEqualTo(new ControlLimits(0, 0, 0));
    assertThat(ControlLimits.ofSd(0, 5)).isEqualTo(new ControlLimits(0, 0, 0));
  }

  @Test
  void refusesWhatIsNoSpreadOrNoPoint() {
    assertThatThrownBy(() -> ControlLimits.ofMean(1, Double.NaN, 5))
        .hasMessage("sigma is NaN, must be zero or positive and finite");
    assertThatThrownBy(() -> ControlLimits.ofMean(1, -0.1, 5))
        .hasMessageContaining("sigma is -0.1");
    assertThatThrownBy(() -> ControlLimits.ofMean(1, 1, 0))
        .hasMessage("readings per point is 0, must be at least 1");
    assertThatThrownBy(() -> ControlLimits.ofMean(Double.POSITIVE_INFINITY, 1, 4))
        .hasMessage("centre is Infinity, must be finite");
    assertThatThrownBy(() -> ControlLimits.ofSd(1, 1)).hasMessageContaining("subgroup size 1");
    assertThatThrownBy(() -> new ControlLimits(1, 2, 3)).hasMessageContaining("out of order");
  }

  private static void assertLimits(
      ControlLimits limits, JsonNode expected, String lower, String upper) {
    assertThat(limits.lower()).isCloseTo(expected.get(lower).asDouble(), within(1e-12));
    assertThat(limits.upper()).isCloseTo(expected.get(upper).asDouble(), within(1e-12));
  }
}
