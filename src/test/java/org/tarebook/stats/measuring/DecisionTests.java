package org.tarebook.stats.measuring;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;
import static org.tarebook.stats.ReferenceTable.number;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import org.apache.commons.statistics.distribution.TDistribution;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.tarebook.stats.Accuracy;
import org.tarebook.stats.Interval;
import org.tarebook.stats.LinearTrend;
import org.tarebook.stats.ReferenceTable;
import org.tarebook.stats.Tolerance;
import org.tarebook.stats.measuring.GuardedAcceptance.Decision;
import org.tarebook.stats.measuring.MeasuringUncertainty.Part;
import tools.jackson.databind.JsonNode;

class DecisionTests {

  private static final Tolerance UNIT = Tolerance.between(0, 1);

  static List<Map<String, String>> conformance() {
    return ReferenceTable.rows("08_conformity/conformance_probability_grid.csv");
  }

  // JCGM 106:2012, clause 7.
  @ParameterizedTest
  @MethodSource("conformance")
  void conformanceMeetsComputedValues(Map<String, String> row) {
    double u = 1 / (4 * number(row, "Cm"));
    Accuracy.absolute(
        "DecisionRisk.conformance",
        "08_conformity/conformance_probability_grid.csv",
        DecisionRisk.conformance(number(row, "y_tilde"), u, UNIT),
        number(row, "pc"),
        1e-13);
  }

  static List<Map<String, String>> risks() {
    return ReferenceTable.rows("08_conformity/global_risk_grid.csv");
  }

  // JCGM 106:2012, clause 9 and annex A.
  @ParameterizedTest
  @MethodSource("risks")
  void risksMeetComputedValues(Map<String, String> row) {
    String named = row.get("Cm_or_case");
    double um;
    Tolerance tolerance = UNIT;
    Tolerance acceptance;
    if (named.startsWith("TL")) {
      Map<String, Double> given = new HashMap<>();
      for (String part : named.split(" ")) {
        given.put(part.split("=")[0], Double.valueOf(part.split("=")[1]));
      }
      um = given.get("um");
      tolerance = Tolerance.between(given.get("TL"), given.get("TU"));
      acceptance = Tolerance.between(given.get("AL"), given.get("AU"));
    } else {
      um = 1 / (4 * Double.parseDouble(named));
      acceptance = GuardedAcceptance.of(UNIT, 2 * um, number(row, "w_over_U")).acceptance();
    }
    double u0 = row.get("u0").equals("0.1666666667") ? 1.0 / 6 : number(row, "u0");
    DecisionRisk risk = new DecisionRisk(number(row, "y0"), u0, um, tolerance, acceptance);
    String source = "08_conformity/global_risk_grid.csv";
    double consumers = number(row, "global_consumer_risk_RC");
    Accuracy.absolute("DecisionRisk.consumers", source, risk.consumers(), consumers, 1e-12);
    double producers = number(row, "global_producer_risk_RP");
    Accuracy.absolute("DecisionRisk.producers", source, risk.producers(), producers, 1e-12);
    // What is accepted: conforming, less rejected wrongly, more accepted wrongly.
    assertThat(risk.accepted())
        .isCloseTo(risk.conforming() - risk.producers() + risk.consumers(), within(1e-10));
  }

  // The worked examples of JCGM 106:2012, with the clause of each.
  @Test
  void workedExamplesOfTheGuide() {
    Map<String, JsonNode> examples = new HashMap<>();
    ReferenceTable.json("08_conformity/jcgm106_examples.json")
        .get("examples")
        .forEach(example -> examples.put(example.get("id").asString(), example));
    // 7.3.3, breakdown voltage, and 7.4, kinematic viscosity.
    check(
        "DecisionRisk.conformance",
        DecisionRisk.conformance(-5.47, 0.05, Tolerance.atMost(-5.4)),
        recomputed(examples, "zener_upper_limit", "pc"),
        1e-13);
    check(
        "DecisionRisk.conformance",
        DecisionRisk.conformance(13.6, 1.8, Tolerance.between(12.5, 16.3)),
        recomputed(examples, "motor_oil_two_sided", "pc"),
        1e-13);
    // 7.3.3, table 1: a reading so many uncertainties inside one limit.
    examples
        .get("table1")
        .get("recomputed")
        .get("z")
        .properties()
        .forEach(
            entry ->
                check(
                    "DecisionRisk.conformance",
                    DecisionRisk.conformance(-entry.getValue().asDouble(), 1, Tolerance.atMost(0)),
                    Double.parseDouble(entry.getKey()),
                    1e-13));
    // 8.3.2.3: a reading on the acceptance limit with w = 2 u is wrong with 2.3 % at most.
    GuardedAcceptance guarded = GuardedAcceptance.of(Tolerance.atMost(10), 2, 1);
    check(
        "DecisionRisk.conformance",
        1 - DecisionRisk.conformance(8, 1, guarded.tolerance()),
        recomputed(examples, "iso14253_guard_band_2u", "p"),
        1e-13);
    assertThat(guarded.judge(8)).isEqualTo(Decision.PASS);
    // 8.3.3.2: guarded rejection by Student's t.
    double g = TDistribution.of(9).inverseCumulativeProbability(0.95) * 0.2;
    check(
        "GuardedAcceptance.acceptance",
        new GuardedAcceptance(Tolerance.atMost(2), -g).acceptance().upper(),
        recomputed(examples, "nandrolone_t_guard_band", "A"),
        1e-13);
    // 9.5.3.2: precision resistors.
    DecisionRisk resistors =
        new DecisionRisk(
            1500,
            0.12,
            0.04,
            Tolerance.between(1499.8, 1500.2),
            Tolerance.between(1499.82, 1500.18));
    String id = "precision_resistors_global_risk";
    double conforming = recomputed(examples, id, "pc");
    check("DecisionRisk.conforming", resistors.conforming(), conforming, 1e-12);
    check("DecisionRisk.consumers", resistors.consumers(), recomputed(examples, id, "RC"), 1e-12);
    check("DecisionRisk.producers", resistors.producers(), recomputed(examples, id, "RP"), 1e-12);
    double accepted = resistors.accepted();
    // The guide prints 84 of 100 accepted; 0.8453 rounds to 85, so 84 is cut off.
    assertThat((int) (100 * accepted)).isEqualTo(84);
    check("DecisionRisk.accepted", accepted, recomputed(examples, id, "P_accept"), 1e-12);
    assertThat(1 - resistors.consumers() / accepted)
        .isCloseTo(recomputed(examples, id, "P_conforming_given_accept"), within(1e-9));
    assertThat(resistors.producers() / (1 - accepted))
        .isCloseTo(recomputed(examples, id, "P_conforming_given_reject"), within(1e-9));
  }

  private static void check(String function, double own, double expected, double allowed) {
    Accuracy.absolute(function, "08_conformity/jcgm106_examples.json", own, expected, allowed);
  }

  private static double recomputed(Map<String, JsonNode> examples, String id, String figure) {
    return examples.get(id).get("recomputed").get(figure).asDouble();
  }

  @Test
  void risksAreThoseOfSimulatedItems() {
    DecisionRisk risk =
        new DecisionRisk(
            4.39, 0.02, 0.006, new Tolerance(4.35, null, null), Tolerance.atLeast(4.354));
    Random random = new Random(131);
    int n = 400_000;
    int consumers = 0;
    int producers = 0;
    for (int i = 0; i < n; i++) {
      double item = 4.39 + 0.02 * random.nextGaussian();
      boolean accepted = item + 0.006 * random.nextGaussian() >= 4.354;
      consumers += accepted && item < 4.35 ? 1 : 0;
      producers += !accepted && item >= 4.35 ? 1 : 0;
    }
    assertThat((double) consumers / n).isCloseTo(risk.consumers(), within(3e-4));
    assertThat((double) producers / n).isCloseTo(risk.producers(), within(8e-4));
    assertThatThrownBy(() -> new DecisionRisk(0, 1, 1e-6, UNIT, UNIT))
        .hasMessageContaining("too small beside");
    assertThatThrownBy(() -> new DecisionRisk(0, 0, 1, UNIT, UNIT))
        .hasMessageContaining("sd is 0.0");
  }

  @Test
  void anotherUnitChangesNoRisk() {
    DecisionRisk kilograms =
        new DecisionRisk(4.39, 0.02, 0.006, Tolerance.atLeast(4.35), Tolerance.atLeast(4.354));
    DecisionRisk milligrams =
        new DecisionRisk(4.39e6, 2e4, 6e3, Tolerance.atLeast(4.35e6), Tolerance.atLeast(4.354e6));
    assertThat(milligrams.consumers()).isCloseTo(kilograms.consumers(), within(1e-13));
    assertThat(milligrams.producers()).isCloseTo(kilograms.producers(), within(1e-13));
    DecisionRisk above =
        new DecisionRisk(-4.39e6, 2e4, 6e3, Tolerance.atMost(-4.35e6), Tolerance.atMost(-4.354e6));
    assertThat(above.consumers()).isCloseTo(kilograms.consumers(), within(1e-13));
    assertThat(above.producers()).isCloseTo(kilograms.producers(), within(1e-13));
    // The finest instrument that is followed has a thousandth of the spread of items.
    DecisionRisk fine = new DecisionRisk(0, 1, 1e-3, UNIT, UNIT);
    assertThat(fine.consumers()).isCloseTo(fine.producers(), within(2e-4)).isPositive();
    assertThatThrownBy(() -> new DecisionRisk(0, 1.001, 1e-3, UNIT, UNIT))
        .hasMessage(
            "uncertainty 0.001 is too small beside sd 1.001: decisions are hardly ever wrong");
  }

  static List<Map<String, String>> guardBands() {
    return ReferenceTable.rowsOf("trade/weigh_guard_band.csv");
  }

  // JCGM 106:2012 8.2 and 8.3.2; limits and bands of weighings, where doubles err in the last
  // place.
  @ParameterizedTest
  @MethodSource("guardBands")
  void guardedWeighingsAreDecided(Map<String, String> row) {
    Tolerance grams = Tolerance.between(1e4 * number(row, "low"), 1e4 * number(row, "high"));
    double y = Math.rint(1e4 * number(row, "value"));
    Tolerance whole = Tolerance.between(Math.rint(grams.lower()), Math.rint(grams.upper()));
    Decision decision =
        GuardedAcceptance.of(whole, Math.rint(1e4 * number(row, "U_k2")), 1).judge(y);
    Decision expected =
        switch (row.get("four_way")) {
          case "pass" -> Decision.PASS;
          case "conditional pass" -> Decision.CONDITIONAL;
          default ->
              row.get("simple_acceptance").equals("accept") ? Decision.CONDITIONAL : Decision.FAIL;
        };
    assertThat(decision).isEqualTo(expected);
    assertThat(decision == Decision.PASS)
        .isEqualTo(row.get("guarded_acceptance_w_equals_U").equals("accept"));
    assertThat(GuardedAcceptance.of(whole, 50, 0).judge(y) == Decision.PASS)
        .isEqualTo(row.get("simple_acceptance").equals("accept"));
  }

  @Test
  void limitsAreInsideOnEverySide() {
    GuardedAcceptance guarded = GuardedAcceptance.of(Tolerance.between(0, 10), 2, 1);
    double[] y = {-0.1, 0, 1.9, 2, 8, 8.1, 10, 10.1};
    Decision[] expected = {
      Decision.FAIL, Decision.CONDITIONAL, Decision.CONDITIONAL, Decision.PASS,
      Decision.PASS, Decision.CONDITIONAL, Decision.CONDITIONAL, Decision.FAIL
    };
    for (int i = 0; i < y.length; i++) {
      assertThat(guarded.judge(y[i])).as("%s", y[i]).isEqualTo(expected[i]);
    }
    assertThat(GuardedAcceptance.of(Tolerance.between(0, 10), 2, -1).judge(11))
        .isEqualTo(Decision.CONDITIONAL);
    assertThatThrownBy(() -> GuardedAcceptance.of(Tolerance.between(0, 10), 5, 1))
        .hasMessage("a guard band of 5.0 leaves nothing between 0.0 and 10.0");
    assertThatThrownBy(() -> guarded.judge(Double.NaN)).hasMessageContaining("reading is NaN");
  }

  static List<Map<String, String>> uncertainties() {
    return ReferenceTable.rowsOf("trade/weigh_uncertainty.csv");
  }

  @ParameterizedTest
  @MethodSource("uncertainties")
  void netWeighingsHaveTheirUncertainty(Map<String, String> row) {
    double d = number(row, "d");
    MeasuringUncertainty net =
        new MeasuringUncertainty(
            List.of(
                Part.rounding(d),
                Part.rounding(d),
                Part.repeatability(number(row, "s"), 10),
                Part.within("largest error", number(row, "mpe"))));
    String source = "../trade/weigh_uncertainty.csv";
    double rounding = number(row, "u_one_rounding_d_over_sqrt12");
    Accuracy.absolute("Part.rounding", source, Part.rounding(d).standard(), rounding, 1e-11);
    String function = "MeasuringUncertainty.standard";
    Accuracy.absolute(function, source, net.standard(), number(row, "u_net"), 6e-11);
    function = "MeasuringUncertainty.expanded";
    Accuracy.absolute(function, source, net.expanded(2), number(row, "U_k2"), 1e-10);
  }

  static List<Map<String, String>> minimumWeights() {
    return ReferenceTable.rowsOf("trade/weigh_minimum_weight.csv");
  }

  @ParameterizedTest
  @MethodSource("minimumWeights")
  void minimumWeightsMeetTheTable(Map<String, String> row) {
    double own =
        MeasuringUncertainty.minimumWeight(
            number(row, "s_of_10_or_more_weighings"),
            number(row, "d"),
            number(row, "requirement_fraction"),
            2);
    Accuracy.relative(
        "MeasuringUncertainty.minimumWeight",
        "../trade/weigh_minimum_weight.csv",
        own,
        number(row, "minimum_weight"),
        1e-12);
  }

  // By hand: u = 0.01, 0.0086, 0.0082 with 9, 4, 14 degrees.
  @Test
  void effectiveDegreesAreThoseOfWelchAndSatterthwaite() {
    MeasuringUncertainty three =
        new MeasuringUncertainty(
            List.of(new Part("a", 0.0100, 9), new Part("b", 0.0086, 4), new Part("c", 0.0082, 14)));
    double expected =
        Math.pow(three.standard(), 4)
            / (Math.pow(0.01, 4) / 9 + Math.pow(0.0086, 4) / 4 + Math.pow(0.0082, 4) / 14);
    assertThat(three.degrees()).isCloseTo(expected, within(1e-9));
    assertThat(new MeasuringUncertainty(List.of(Part.rounding(1))).degrees())
        .isEqualTo(Double.POSITIVE_INFINITY);
    assertThat(Part.repeatability(0.5, 10)).isEqualTo(new Part("repeatability", 0.5, 9));
    assertThat(Part.certified("check weight", 0.05, 2).standard()).isEqualTo(0.025);
    assertThatThrownBy(() -> new MeasuringUncertainty(List.of()))
        .hasMessage("an uncertainty has at least one part");
    assertThatThrownBy(() -> new Part("x", 1, 0)).hasMessageContaining("degrees of freedom of x");
    assertThatThrownBy(() -> Part.repeatability(1, 1))
        .hasMessage("readings is 1, must be at least 2");
  }

  // t(0.975; 4) = 2.776445: bias 0.004, sd root of 0.00001.
  @Test
  void biasAndLinearity() {
    Bias bias = Bias.of(new double[] {5.002, 5.004, 5.006, 5.000, 5.008}, 5);
    assertThat(bias.bias()).isCloseTo(0.004, within(1e-14));
    Interval interval = bias.interval(0.95);
    double reach = 2.776445 * Math.sqrt(0.00001) / Math.sqrt(5);
    assertThat(interval.lower()).isCloseTo(0.004 - reach, within(1e-8));
    assertThat(interval.upper()).isCloseTo(0.004 + reach, within(1e-8));
    double[] standards = {1, 1, 2, 2, 5, 5};
    double[] y = {1.01, 1.02, 2.02, 2.03, 5.05, 5.06};
    LinearTrend line = Bias.linearity(standards, y).orElseThrow();
    // By hand: a hundredth for every unit, and half a hundredth.
    assertThat(line.slope()).isCloseTo(0.01, within(1e-13));
    assertThat(line.at(0)).isCloseTo(0.005, within(1e-13));
    assertThat(line.slopeInterval(0.95).lower()).isPositive();
    assertThat(Bias.linearity(new double[] {1, 1, 1}, new double[] {1, 2, 3})).isEmpty();
    assertThatThrownBy(() -> Bias.linearity(standards, new double[1]))
        .hasMessage("6 standards for 1 readings");
    assertThatThrownBy(() -> Bias.of(new double[] {1}, 1))
        .hasMessage("reading has 1 values, it takes at least 2");
  }
}
