package org.tarebook.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import tools.jackson.databind.JsonNode;

class RunPatternsTests {

  private static final Map<String, RunRule> RULES =
      Map.of(
          "trend6", new TrendRule("trend6", 6),
          "trend7", new TrendRule("trend7", 7),
          "altern14", new AlternationRule("altern14", 14),
          "15inC", new BandRule("15inC", 15, 1, true, false, true),
          "8outC_any", new BandRule("8outC_any", 8, 1, false, false, true),
          "8outC_both", new BandRule("8outC_both", 8, 1, false, true, true));

  private static final List<RunRule> NELSON = RuleSet.NELSON.rules();

  static List<JsonNode> cases() {
    List<JsonNode> cases = new ArrayList<>();
    ReferenceTable.json("signal_vectors.json").get("cases").forEach(cases::add);
    return cases;
  }

  // Constructed edge cases and seeded series; indices count from 1.
  @ParameterizedTest
  @MethodSource("cases")
  void signalsWhereTheRulesSay(JsonNode series) {
    double[] z = ReferenceTable.doubles(series.get("z"));
    RULES.forEach(
        (name, rule) -> {
          List<Integer> expected = new ArrayList<>();
          series.get("signals").get(name).get("window").forEach(i -> expected.add(i.asInt() - 1));
          assertThat(RunRules.signals(z, List.of(rule)))
              .as("%s in %s", name, series.get("name"))
              .extracting(RunSignal::completedAt)
              .isEqualTo(expected);
        });
  }

  @Test
  void watchingPointByPointFindsTheSamePoints() {
    Random random = new Random(62);
    List<RunRule> mixed = RuleSet.ALL.stream().flatMap(set -> set.rules().stream()).toList();
    for (RunRule rule : mixed) {
      // Steps of half a sigma, so ties and points on lines are common.
      double[] z = random.doubles(20_000, -7, 7).map(v -> Math.rint(v) / 4).toArray();
      RunRuleWatch watch = new RunRuleWatch(List.of(rule));
      List<Integer> found = new ArrayList<>();
      for (int i = 0; i < z.length; i++) {
        if (watch.next(z[i])) {
          found.add(i);
        }
      }
      assertThat(RunRules.signals(z, List.of(rule)).stream().map(RunSignal::completedAt))
          .as(rule.code())
          .containsExactlyElementsOf(found);
    }
  }

  @Test
  void tellsWhereAPatternBegan() {
    double[] z = {0.5, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6};
    TrendRule trend = new TrendRule("six", 6);
    assertThat(RunRules.signals(z, List.of(trend)))
        .containsExactly(new RunSignal(trend, Side.ABOVE, 1, 6));
  }

  @Test
  void aBandCountsItsEdgeOnlyIfToldSo() {
    double[] z = {1, -1, 1, -1, 1};
    assertThat(RunRules.signals(z, List.of(new BandRule("in", 5, 1, true, false, true)))).isEmpty();
    assertThat(RunRules.signals(z, List.of(new BandRule("in", 5, 1, true, false, false))))
        .hasSize(1);
    assertThat(RunRules.signals(z, List.of(new BandRule("out", 5, 1, false, true, false))))
        .hasSize(1);
    assertThat(RunRules.signals(z, List.of(new BandRule("out", 5, 1, false, true, true))))
        .isEmpty();
  }

  @Test
  void refusesRulesThatCannotBe() {
    assertThatThrownBy(() -> new TrendRule(" ", 6)).hasMessageContaining("blank");
    assertThatThrownBy(() -> new TrendRule("t", 2))
        .hasMessage("rule t asks for 2 points, must be 3 to 64");
    assertThatThrownBy(() -> new AlternationRule("a", 65)).hasMessageContaining("must be 3 to 64");
    assertThatThrownBy(() -> new BandRule("b", 8, 0, true, false, true))
        .hasMessageContaining("zone of rule b is 0.0");
    assertThatThrownBy(() -> RunRules.signals(new double[] {Double.NaN}, NELSON))
        .hasMessage("point 0 is NaN, must be finite");
    assertThatThrownBy(() -> RunRuleChances.runLength(List.of(new TrendRule("t", 6)), 0))
        .hasMessage("rule t has no exact chain, simulate it");
  }

  @Test
  void publishedSetsSaySourceAndRules() {
    assertThat(RuleSet.WESTERN_ELECTRIC.rules()).hasSize(4);
    assertThat(NELSON).hasSize(8);
    assertThat(RuleSet.ISO_7870_2.rules()).extracting(RunRule::window).containsExactly(1, 7, 7);
    assertThat(RuleSet.NELSON.source()).contains("1984");
  }

  static List<Map<String, String>> scatter() {
    return ReferenceTable.rows("arl_runs_rules.csv");
  }

  @ParameterizedTest
  @MethodSource("scatter")
  void runLengthsScatterAsComputed(Map<String, String> row) {
    List<ZoneRule> rules = new ArrayList<>();
    for (char number : row.get("rule_set").substring(1).toCharArray()) {
      rules.add(ZoneRule.WESTERN_ELECTRIC.get(number - '1'));
    }
    RunLength length =
        RunRuleChances.runLength(rules, ReferenceTable.number(row, "shift_in_sigma"));
    Accuracy.absolute(
        "RunRuleChances.runLength sd",
        "arl_runs_rules.csv",
        length.sd(),
        ReferenceTable.number(row, "exact_SDRL"),
        2e-8);
  }

  static List<Map<String, String>> otherSets() {
    return ReferenceTable.rows("arl_other_sets.csv");
  }

  @ParameterizedTest
  @MethodSource("otherSets")
  void otherSetsHaveTheirRunLengths(Map<String, String> row) {
    String set = row.get("set");
    List<RunRule> rules =
        switch (set) {
          case "WE four, run 8 (C1234)" -> RuleSet.WESTERN_ELECTRIC.rules();
          case "1 + run 7" -> RuleSet.ISO_7870_2.rules().subList(0, 2);
          case "N1+N2(9)" -> NELSON.subList(0, 2);
          case "N1+N5" -> List.of(NELSON.get(0), NELSON.get(4));
          case "N1+N2+N5+N6" -> List.of(NELSON.get(0), NELSON.get(1), NELSON.get(4), NELSON.get(5));
          default -> throw new IllegalStateException(set);
        };
    Accuracy.absolute(
        "RunRuleChances.meanRunLength",
        "arl_other_sets.csv",
        RunRuleChances.meanRunLength(rules, ReferenceTable.number(row, "shift")),
        ReferenceTable.number(row, "exact_ARL"),
        1e-8);
  }

  static List<Map<String, String>> singleTests() {
    return ReferenceTable.rows("nelson_single_test.csv");
  }

  @ParameterizedTest
  @MethodSource("singleTests")
  void singleTestsHaveTheirRunLengths(Map<String, String> row) {
    String test = row.get("test");
    double expected = ReferenceTable.number(row, "ARL_in_control");
    if (test.startsWith("trend") || test.startsWith("altern")) {
      int window = Integer.parseInt(test.replaceAll("\\D", ""));
      if (window == 8) {
        return; // a signal in 22682 points: more random numbers than a test is given
      }
      RunRule rule =
          test.startsWith("t") ? new TrendRule(test, window) : new AlternationRule(test, window);
      SimulatedRunLength simulated = SimulatedRunLength.of(List.of(rule), 0, 12_000, 1984);
      Accuracy.simulated(
          "SimulatedRunLength.of",
          "nelson_single_test.csv",
          simulated.runLength().mean(),
          expected,
          simulated.standardError(),
          3.5);
      assertThat(simulated.standardError()).isLessThan(0.012 * expected);
      return;
    }
    RunRule rule =
        switch (test) {
          case "N1" -> NELSON.get(0);
          case "N5" -> NELSON.get(4);
          case "N8any" -> new BandRule("any", 8, 1, false, false, true);
          default -> {
            int run = Integer.parseInt(test.substring(3));
            yield new ZoneRule(test, run, run, 0, true);
          }
        };
    String function = "RunRuleChances.meanRunLength";
    String source = "nelson_single_test.csv";
    if (!test.equals("N5")) {
      // Of N5 the table counts windows, whether or not their newest point lies beyond.
      Accuracy.relative(
          "RunRuleChances.perPoint",
          source,
          RunRuleChances.perPoint(List.of(rule)),
          ReferenceTable.number(row, "single_window_probability_in_control"),
          1e-9);
    }
    Accuracy.relative(
        function, source, RunRuleChances.meanRunLength(List.of(rule), 0), expected, 1e-9);
    Accuracy.relative(
        function,
        source,
        RunRuleChances.meanRunLength(List.of(rule), 1),
        ReferenceTable.number(row, "ARL_shift_1_sigma"),
        1e-9);
  }

  static List<Map<String, String>> simulatedSets() {
    return ReferenceTable.rows("arl_nelson_sets_simulated.csv");
  }

  @ParameterizedTest
  @MethodSource("simulatedSets")
  void simulatedSetsAgreeWithinTheirErrors(Map<String, String> row) {
    List<RunRule> rules =
        switch (row.get("tests")) {
          case "N1-N4" -> NELSON.subList(0, 4);
          case "N1-N8" -> NELSON;
          case "N1,N2,N3,N5,N6" ->
              List.of(NELSON.get(0), NELSON.get(1), NELSON.get(2), NELSON.get(4), NELSON.get(5));
          default -> RuleSet.WESTERN_ELECTRIC.rules();
        };
    SimulatedRunLength own =
        SimulatedRunLength.of(rules, ReferenceTable.number(row, "shift"), 20_000, 7);
    double error = Math.hypot(own.standardError(), ReferenceTable.number(row, "standard_error"));
    Accuracy.simulated(
        "SimulatedRunLength.of",
        "arl_nelson_sets_simulated.csv",
        own.runLength().mean(),
        ReferenceTable.number(row, "simulated_ARL"),
        error,
        3.5);
  }

  // The exact chain and the simulation know nothing of each other.
  @Test
  void bandRulesOnTheChainAgreeWithSimulation() {
    List<RunRule> without = new ArrayList<>(NELSON);
    without.remove(3);
    without.remove(2);
    for (double shift : new double[] {0, 0.5}) {
      RunLength exact = RunRuleChances.runLength(without, shift);
      SimulatedRunLength simulated = SimulatedRunLength.of(without, shift, 20_000, 63);
      assertThat(simulated.runLength().mean())
          .isCloseTo(exact.mean(), within(3.5 * simulated.standardError()));
      assertThat(simulated.runLength().sd()).isCloseTo(exact.sd(), within(0.05 * exact.sd()));
    }
    assertThat(SimulatedRunLength.of(NELSON, 1, 500, 9))
        .isEqualTo(SimulatedRunLength.of(NELSON, 1, 500, 9));
  }

  @Test
  void chancePerPointOfABandIsElementary() {
    double inside =
        org.apache.commons.statistics.distribution.NormalDistribution.of(0, 1).probability(-1, 1);
    assertThat(RunRuleChances.perPoint(List.of(NELSON.get(6))))
        .isCloseTo(Math.pow(inside, 15), within(1e-15));
    double outside = 1 - inside;
    // Eight outside, less those all on one side.
    assertThat(RunRuleChances.perPoint(List.of(NELSON.get(7))))
        .isCloseTo(Math.pow(outside, 8) - 2 * Math.pow(outside / 2, 8), within(1e-16));
  }

  @Test
  void aRuleMayBeJudgedOnOneSideOnly() {
    double[] z = {2.5, 2.5, -2.5, -2.5, 3.5};
    OneSideRule above = new OneSideRule(ZoneRule.TWO_OF_THREE, Side.ABOVE);
    assertThat(RunRules.signals(z, List.of(above)))
        .containsExactly(new RunSignal(above, Side.ABOVE, 0, 1));
    assertThat(above.code()).isEqualTo("TWO_OF_THREE_ABOVE");
    // One side beyond three sigma signals half as often, and a run of eight in 2 (2^8 - 1) points.
    OneSideRule beyond = new OneSideRule(ZoneRule.BEYOND_LIMITS, Side.BELOW);
    assertThat(RunRuleChances.meanRunLength(List.of(beyond), 0))
        .isCloseTo(2 * 370.39834734, within(1e-5));
    OneSideRule eight = new OneSideRule(ZoneRule.EIGHT_ON_ONE_SIDE, Side.ABOVE);
    assertThat(RunRuleChances.meanRunLength(List.of(eight), 0)).isCloseTo(510, within(1e-8));
    List<OneSideRule> both = List.of(above, new OneSideRule(ZoneRule.TWO_OF_THREE, Side.BELOW));
    assertThat(RunRuleChances.runLength(both, 0.4).mean())
        .isCloseTo(RunRuleChances.meanRunLength(List.of(ZoneRule.TWO_OF_THREE), 0.4), within(1e-9));
    SimulatedRunLength simulated = SimulatedRunLength.of(List.of(above), 1, 4000, 64);
    assertThat(simulated.runLength().mean())
        .isCloseTo(
            RunRuleChances.meanRunLength(List.of(above), 1),
            within(3.5 * simulated.standardError()));
  }
}
