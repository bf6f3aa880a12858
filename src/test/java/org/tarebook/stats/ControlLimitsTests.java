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

    for (int i = 0; i < subgroups.size(); i++) {
      Subgroup own = subgroups.get(i);
      check("Subgroup.mean", name, own.mean(), expected.get("subgroup_means").get(i));
      // The reference ranges were taken in binary floating point and carry its error.
      check("Subgroup.range", name, own.range(), expected.get("subgroup_ranges").get(i));
      check("Subgroup.sd", name, own.sd(), expected.get("subgroup_sds").get(i));
    }
    assertThat(all.mean()).isEqualTo(expected.get("grand_mean").asDouble());

    double byRange = Spread.meanRange(subgroups).orElseThrow().sigma();
    check("Spread.meanRange", name, byRange, expected.get("sigma_from_R"));
    ControlLimits means = ControlLimits.ofMean(all.mean(), byRange, n);
    assertLimits("ofMean", name, means, expected.get("xbar_R"), "lcl", "ucl");
    ControlLimits ranges = ControlLimits.ofRange(byRange, n);
    assertLimits("ofRange", name, ranges, expected.get("xbar_R"), "lcl_R", "ucl_R");

    double bySd = Spread.meanSd(subgroups).orElseThrow().sigma();
    check("Spread.meanSd", name, bySd, expected.get("sigma_from_s"));
    means = ControlLimits.ofMean(all.mean(), bySd, n);
    assertLimits("ofMean", name, means, expected.get("xbar_s"), "lcl", "ucl");
    ControlLimits sds = ControlLimits.ofSd(bySd, n);
    assertLimits("ofSd", name, sds, expected.get("xbar_s"), "lcl_s", "ucl_s");

    double pooled = Spread.pooled(subgroups).orElseThrow().sigma();
    check("Spread.pooled", name, pooled, expected.get("s_pooled"));
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
    String name = "imr_flowrate.json";
    check("Spread.meanMovingRange", name, sigma.sigma(), expected.get("sigma_hat_mr"));
    ControlLimits individual = ControlLimits.ofIndividual(centre, sigma.sigma());
    assertLimits("ofIndividual", name, individual, expected, "lcl_x", "ucl_x");
    ControlLimits moving = ControlLimits.ofMovingRange(sigma.sigma());
    assertLimits("ofMovingRange", name, moving, expected, "lcl_mr", "ucl_mr");

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
      String function,
      String source,
      ControlLimits limits,
      JsonNode expected,
      String lower,
      String upper) {
    check("ControlLimits." + function, source, limits.lower(), expected.get(lower));
    check("ControlLimits." + function, source, limits.upper(), expected.get(upper));
  }

  private static void check(String function, String source, double own, JsonNode expected) {
    Accuracy.absolute(function, source, own, expected.asDouble(), 1e-13);
  }
}
