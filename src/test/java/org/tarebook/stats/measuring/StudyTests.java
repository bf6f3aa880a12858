package org.tarebook.stats.measuring;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.TreeMap;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.tarebook.stats.Accuracy;
import org.tarebook.stats.Moments;
import org.tarebook.stats.ReferenceTable;
import org.tarebook.stats.measuring.CrossedStudy.Divisor;
import tools.jackson.databind.JsonNode;

class StudyTests {

  private static final JsonNode RESULTS = ReferenceTable.json("measuring/results.json");

  static List<JsonNode> cases() {
    List<JsonNode> cases = new ArrayList<>();
    RESULTS.get("cases").forEach(cases::add);
    return cases;
  }

  private static double[][][] study(JsonNode expected) {
    int p = expected.get("p").asInt();
    int o = expected.get("o").asInt();
    int r = expected.get("r").asInt();
    double[][][] y = new double[p][o][r];
    for (Map<String, String> row :
        ReferenceTable.rows("measuring/" + expected.get("name").asString() + ".csv")) {
      int i = Integer.parseInt(row.get("part")) - 1;
      int j = row.get("operator").charAt(0) - 'A';
      y[i][j][Integer.parseInt(row.get("trial")) - 1] = Double.parseDouble(row.get("y"));
    }
    return y;
  }

  // R 4.2.2 lm and anova.
  @ParameterizedTest
  @MethodSource("cases")
  void sumsOfSquaresMeetR(JsonNode expected) {
    CrossedStudy study = CrossedStudy.of(study(expected));
    for (JsonNode row : expected.get("anova")) {
      CrossedStudy.Squares own =
          switch (row.get("source").asString()) {
            case "part" -> study.part();
            case "operator" -> study.operator();
            case "part:operator" -> study.interaction();
            default -> study.repeatability();
          };
      double sum = row.get("SS").asDouble();
      assertThat(own.degrees()).isEqualTo(row.get("df").asLong());
      // Against the largest sum, since the small ones are differences of large ones.
      double largest = expected.get("anova").get(0).get("SS").asDouble();
      Accuracy.absolute(
          "CrossedStudy.Squares.sum over that of parts",
          "measuring/results.json",
          own.sum() / largest,
          sum / largest,
          1e-12);
      if (row.get("F").isNull()) {
        continue;
      }
      CrossedStudy.Test test =
          switch (row.get("source").asString()) {
            case "part" -> study.ofParts(Divisor.INTERACTION).orElseThrow();
            case "operator" -> study.ofOperators(Divisor.INTERACTION).orElseThrow();
            default -> study.ofInteraction().orElseThrow();
          };
      Accuracy.relative(
          "CrossedStudy.Test.f",
          "measuring/results.json",
          test.f(),
          row.get("F").asDouble(),
          1e-10);
      check("CrossedStudy.Test.p", test.p(), row.get("p"), 1e-11);
    }
    JsonNode full = expected.get("vc_full_untruncated");
    Components own = study.components();
    JsonNode components = full == null ? expected.get("vc") : full;
    String crossed = "CrossedStudy.components";
    check(crossed, own.repeatability(), components.get("repeatability"), 1e-10);
    check(crossed, own.part(), components.get("part"), 1e-10);
    if (full != null) {
      check(crossed, own.operator(), full.get("operator"), 1e-10);
      check(crossed, own.interaction(), full.get("interaction"), 1e-10);
      assertSummary(own.truncated(), expected.get("summary_full_model_truncated_at_0"));
      Components without = study.componentsWithoutInteraction();
      JsonNode pooled = expected.get("vc_no_interaction_untruncated");
      check(crossed + "WithoutInteraction", without.operator(), pooled.get("operator"), 1e-10);
      check(crossed + "WithoutInteraction", without.part(), pooled.get("part"), 1e-10);
      assertSummary(without.truncated(), expected.get("summary_no_interaction"));
      JsonNode byResidual = expected.get("F_with_residual_denominator");
      String ratio = "CrossedStudy.Test.f over repeatability";
      check(
          ratio,
          study.ofParts(Divisor.REPEATABILITY).orElseThrow().f(),
          byResidual.get("part"),
          1e-9);
      check(
          ratio,
          study.ofOperators(Divisor.REPEATABILITY).orElseThrow().f(),
          byResidual.get("operator"),
          1e-9);
    }
  }

  private static void check(String function, double own, JsonNode expected, double allowed) {
    Accuracy.absolute(function, "measuring/results.json", own, expected.asDouble(), allowed);
  }

  private static void assertSummary(Components own, JsonNode expected) {
    JsonNode variances = expected.get("var");
    check(
        "Components.reproducibility",
        own.reproducibility(),
        variances.get("reproducibility"),
        1e-10);
    check("Components.measuring", own.measuring(), variances.get("grr"), 1e-11);
    check("Components.total", own.total(), variances.get("total"), 1e-10);
    JsonNode percent = expected.get("pct_study_variation_grr");
    check("Components.shareOfStudy in percent", 100 * own.shareOfStudy(), percent, 1e-10);
    assertThat(own.distinctCategories()).isEqualTo((int) expected.get("ndc_1_41").asDouble());
  }

  @ParameterizedTest
  @MethodSource("cases")
  void averagesAndRangesMeetComputedOnes(JsonNode expected) {
    AverageAndRange own = AverageAndRange.of(study(expected));
    check("AverageAndRange.meanRange", own.meanRange(), expected.get("Rbar"), 1e-11);
    check("AverageAndRange.operatorRange", own.operatorRange(), expected.get("xdiff"), 1e-11);
    check("AverageAndRange.partRange", own.partRange(), expected.get("Rp"), 1e-11);
    JsonNode exact = expected.get("average_and_range_exact_factors");
    if (exact != null) {
      Components c = own.components();
      String function = "AverageAndRange.components as roots";
      check(function, Math.sqrt(c.repeatability()), exact.get("EV"), 1e-11);
      check(function, Math.sqrt(c.operator()), exact.get("AV"), 1e-11);
      check(function, Math.sqrt(c.part()), exact.get("PV"), 1e-11);
      JsonNode percent = exact.get("pct_GRR");
      check("Components.shareOfStudy in percent", 100 * c.shareOfStudy(), percent, 1e-10);
      assertThat(c.distinctCategories()).isEqualTo((int) exact.get("ndc_1_41").asDouble());
    }
  }

  // AIAG, Measurement Systems Analysis, 4th ed. (2010): the manual's own figures.
  @Test
  void manualDividesByAnotherMeanSquare() {
    double[][][] y = study(cases().get(0));
    CrossedStudy study = CrossedStudy.of(y);
    assertThat(rounded(study.ofParts(Divisor.REPEATABILITY).orElseThrow().f(), 2))
        .isEqualByComparingTo("213.52");
    assertThat(rounded(study.ofOperators(Divisor.REPEATABILITY).orElseThrow().f(), 2))
        .isEqualByComparingTo("34.44");
    assertThat(rounded(study.ofInteraction().orElseThrow().f(), 3)).isEqualByComparingTo("0.434");
    // Over the interaction, as random effects ask for, parts and operators stand out more.
    assertThat(rounded(study.ofParts(Divisor.INTERACTION).orElseThrow().f(), 2))
        .isEqualByComparingTo("492.29");
    Components c = study.componentsWithoutInteraction().truncated();
    assertThat(rounded(Math.sqrt(c.repeatability()), 6)).isEqualByComparingTo("0.199933");
    assertThat(rounded(Math.sqrt(c.operator()), 6)).isEqualByComparingTo("0.226838");
    // Printed 0.302373, exact 0.3023715: the manual added rounded figures.
    assertThat(Math.sqrt(c.measuring())).isCloseTo(0.302373, within(2e-6));
    assertThat(rounded(Math.sqrt(c.measuring()), 6)).isEqualByComparingTo("0.302372");
    assertThat(rounded(Math.sqrt(c.part()), 6)).isEqualByComparingTo("1.042327");
    assertThat(c.distinctCategories()).isEqualTo(4);
    AverageAndRange byRange = AverageAndRange.of(y);
    // Printed Xdiff 0.4446 is cut off, exact 0.444667.
    assertThat(rounded(byRange.operatorRange(), 4)).isEqualByComparingTo("0.4447");
    assertThat(Math.sqrt(byRange.components().repeatability())).isCloseTo(0.20188, within(3e-5));
    assertThat(Math.sqrt(byRange.components().measuring())).isCloseTo(0.30575, within(5e-5));
    assertThat(byRange.components().distinctCategories()).isEqualTo(5);
  }

  private static BigDecimal rounded(double value, int scale) {
    return new BigDecimal(value).setScale(scale, RoundingMode.HALF_UP);
  }

  @Test
  void recoversTheVariancesItWasDrawnFrom() {
    Random random = new Random(121);
    Components sum = new Components(0, 0, 0, 0);
    int rounds = 400;
    for (int k = 0; k < rounds; k++) {
      double[] operators = {random.nextGaussian(), random.nextGaussian(), random.nextGaussian()};
      double[][][] y = new double[10][3][3];
      for (double[][] part : y) {
        double own = 4 * random.nextGaussian();
        for (int j = 0; j < 3; j++) {
          double both = 0.5 * random.nextGaussian();
          for (int l = 0; l < 3; l++) {
            part[j][l] = own + operators[j] + both + 0.8 * random.nextGaussian();
          }
        }
      }
      Components c = CrossedStudy.of(y).components();
      sum =
          new Components(
              sum.repeatability() + c.repeatability() / rounds,
              sum.operator() + c.operator() / rounds,
              sum.interaction() + c.interaction() / rounds,
              sum.part() + c.part() / rounds);
    }
    assertThat(sum.repeatability()).isCloseTo(0.64, within(0.02));
    assertThat(sum.interaction()).isCloseTo(0.25, within(0.03));
    assertThat(sum.operator()).isCloseTo(1, within(0.2));
    assertThat(sum.part()).isCloseTo(16, within(1.2));
  }

  @Test
  void refusesStudiesWithGaps() {
    double[][][] y = {{{1, 2}, {1, 2}}, {{1, 2}, {1, 2, 3}}};
    assertThatThrownBy(() -> CrossedStudy.of(y))
        .hasMessage(
            "trials of part 1, operator 1 are 3, those of the first are 2: fill every cell");
    assertThatThrownBy(() -> CrossedStudy.of(new double[1][2][2]))
        .hasMessage("number of parts is 1, must be at least 2");
    assertThatThrownBy(() -> CrossedStudy.of(new double[][][] {{{1, 2}}, {{1, Double.NaN}}}))
        .hasMessage("part 1, operator 0, trial 1 is NaN, must be finite");
    CrossedStudy one = CrossedStudy.of(new double[][][] {{{1, 2}}, {{3, 4}}});
    assertThatThrownBy(() -> one.ofOperators(Divisor.INTERACTION))
        .isInstanceOf(IllegalStateException.class);
    assertThat(one.ofParts(Divisor.INTERACTION)).isEqualTo(one.ofParts(Divisor.REPEATABILITY));
    CrossedStudy exact = CrossedStudy.of(new double[][][] {{{1, 1}, {1, 1}}, {{2, 2}, {2, 2}}});
    assertThat(exact.ofParts(Divisor.INTERACTION)).isEmpty();
    assertThat(exact.ofOperators(Divisor.REPEATABILITY)).isEmpty();
    assertThat(exact.ofInteraction()).isEmpty();
    assertThatThrownBy(() -> one.ofInteraction())
        .hasMessage("one operator cannot differ from others");
    assertThatThrownBy(() -> CrossedStudy.of(new double[2][1][0]))
        .hasMessage("part 0, operator 0, trial has 0 values, it takes at least 2");
    assertThatThrownBy(() -> CrossedStudy.of(new double[][][] {{{1, 2}, {1, 2}}, {{1, 2}}}))
        .hasMessage("operators of part 1 are 1, those of the first are 2: fill every cell");
    assertThat(new Components(0, 0, 0, 0).distinctCategories()).isEqualTo(Integer.MAX_VALUE);
    assertThat(new Components(0, 0, 0, 0).shareOfStudy()).isZero();
    assertThat(new Components(0, 0, 0, 1).distinctCategories()).isEqualTo(Integer.MAX_VALUE);
    // 6 * 2 / 48
    assertThat(new Components(4, 0, 0, 9).shareOfTolerance(48)).isCloseTo(0.25, within(1e-15));
  }

  @Test
  void aLargeCommonValueCostsNoDigits() {
    double[][][] y = {{{1, 2, 4}, {3, 3, 5}}, {{6, 7, 7}, {8, 6, 9}}, {{2, 2, 3}, {4, 3, 3}}};
    double[][][] far = new double[3][2][3];
    for (int i = 0; i < 3; i++) {
      for (int j = 0; j < 2; j++) {
        for (int k = 0; k < 3; k++) {
          far[i][j][k] = y[i][j][k] + 1e9;
        }
      }
    }
    CrossedStudy near = CrossedStudy.of(y);
    assertThat(CrossedStudy.of(far)).isEqualTo(near);
    assertThat(AverageAndRange.of(far)).isEqualTo(AverageAndRange.of(y));
    // By hand: part means 3, 43/6 and 17/6.
    assertThat(AverageAndRange.of(y).partRange()).isCloseTo(26.0 / 6, within(1e-14));
  }

  // NIST/SEMATECH e-Handbook 2.6.1: pooled repeatability (5 degrees a row) and day to day.
  @Test
  void gaugeStudyOfTheHandbookIsReproduced() {
    Map<String, Map<String, List<Map<String, String>>>> runs = new TreeMap<>();
    for (Map<String, String> row : ReferenceTable.rows("measuring/nist_mpc61.csv")) {
      runs.computeIfAbsent(
              "run" + row.get("run") + "_probe" + row.get("probe"), k -> new TreeMap<>())
          .computeIfAbsent(row.get("wafer"), k -> new ArrayList<>())
          .add(row);
    }
    JsonNode results = ReferenceTable.json("measuring/nist_mpc61_summary.json").get("results");
    runs.forEach(
        (name, wafers) -> {
          double squares = 0;
          long rows = 0;
          double between = 0;
          for (List<Map<String, String>> days : wafers.values()) {
            List<BigDecimal> averages = new ArrayList<>();
            for (Map<String, String> day : days) {
              squares += Math.pow(Double.parseDouble(day.get("stddev")), 2);
              averages.add(new BigDecimal(day.get("average")));
              rows++;
            }
            between += Moments.of(averages).variance() / wafers.size();
          }
          JsonNode expected = results.get(name);
          assertThat(rows).isEqualTo(expected.get("n").asLong());
          assertThat(Math.sqrt(squares / rows))
              .isCloseTo(expected.get("pooled_sd").asDouble(), within(1e-12));
          Accuracy.absolute(
              "Moments.variance pooled",
              "measuring/nist_mpc61_summary.json",
              Math.sqrt(between),
              expected.get("level2_sd_pooled_over_wafers").asDouble(),
              1e-12);
        });
    assertThat(runs).hasSize(10);
  }
}
