package org.tarebook.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.tarebook.stats.ZoneRule.BEYOND_LIMITS;
import static org.tarebook.stats.ZoneRule.EIGHT_ON_ONE_SIDE;
import static org.tarebook.stats.ZoneRule.FOUR_OF_FIVE;
import static org.tarebook.stats.ZoneRule.TWO_OF_THREE;
import static org.tarebook.stats.ZoneRule.WESTERN_ELECTRIC;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import tools.jackson.databind.JsonNode;

class RunRulesTests {

  private static final Map<String, ZoneRule> RULES =
      Map.of(
          "beyond3", BEYOND_LIMITS,
          "2of3_2s", TWO_OF_THREE,
          "4of5_1s", new ZoneRule("4of5 strict", 4, 5, 1, true),
          "4of5_1s_nonstrict", FOUR_OF_FIVE,
          "run7", new ZoneRule("run7", 7, 7, 0, true),
          "run8", EIGHT_ON_ONE_SIDE,
          "run9", new ZoneRule("run9", 9, 9, 0, true));

  static List<JsonNode> cases() {
    List<JsonNode> cases = new ArrayList<>();
    ReferenceTable.json("signal_vectors.json").get("cases").forEach(cases::add);
    return cases;
  }

  @ParameterizedTest
  @MethodSource("cases")
  void signalsWhereTheRulesSay(JsonNode series) {
    double[] z = new double[series.get("z").size()];
    for (int i = 0; i < z.length; i++) {
      z[i] = series.get("z").get(i).asDouble();
    }
    RULES.forEach(
        (name, rule) -> {
          JsonNode expected = series.get("signals").get(name);
          JsonNode current = expected.get("window_and_current");
          List<Integer> indices = new ArrayList<>();
          (current == null ? expected.get("window") : current)
              .forEach(index -> indices.add(index.asInt() - 1));
          assertThat(RunRules.signals(z, List.of(rule)))
              .as("%s in %s", name, series.get("name"))
              .extracting(RunSignal::completedAt)
              .isEqualTo(indices);
        });
  }

  @Test
  void tellsRuleSideAndWholeRun() {
    double[] z = {0.4, -2.5, 0, -2.1, -3.2, 1};
    assertThat(RunRules.signals(z, WESTERN_ELECTRIC))
        .containsExactly(
            new RunSignal(TWO_OF_THREE, Side.BELOW, 1, 3),
            new RunSignal(BEYOND_LIMITS, Side.BELOW, 4, 4),
            new RunSignal(TWO_OF_THREE, Side.BELOW, 3, 4));
  }

  @Test
  void countsExactlyOneSigmaButNotExactlyTwoOrThree() {
    assertThat(RunRules.signals(new double[] {1, 1, 1, 1}, List.of(FOUR_OF_FIVE))).hasSize(1);
    assertThat(RunRules.signals(new double[] {-1, -1, -1, -1}, List.of(FOUR_OF_FIVE))).hasSize(1);
    assertThat(RunRules.signals(new double[] {2, 2, 2}, List.of(TWO_OF_THREE))).isEmpty();
    assertThat(RunRules.signals(new double[] {3, -3}, List.of(BEYOND_LIMITS))).isEmpty();
    assertThat(RunRules.signals(new double[] {Math.nextUp(3)}, List.of(BEYOND_LIMITS))).hasSize(1);
  }

  @Test
  void aPointOnTheCentreLineIsOnNeitherSide() {
    assertThat(RunRules.signals(new double[20], WESTERN_ELECTRIC)).isEmpty();
    ZoneRule lax = new ZoneRule("lax", 1, 1, 0, false);
    assertThat(RunRules.signals(new double[] {0, -0.0}, List.of(lax))).isEmpty();
  }

  @Test
  void mirroredSeriesSignalOnTheOtherSide() {
    Random random = new Random(11);
    double[] z = random.doubles(2000, -3.5, 3.5).toArray();
    double[] mirrored = Arrays.stream(z).map(value -> -value).toArray();
    List<RunSignal> expected =
        RunRules.signals(z, WESTERN_ELECTRIC).stream()
            .map(
                signal ->
                    new RunSignal(
                        signal.rule(),
                        signal.side() == Side.ABOVE ? Side.BELOW : Side.ABOVE,
                        signal.first(),
                        signal.completedAt()))
            .toList();
    assertThat(RunRules.signals(mirrored, WESTERN_ELECTRIC)).isEqualTo(expected).isNotEmpty();
  }

  @Test
  void laterPointsDoNotChangeEarlierSignals() {
    double[] z = new Random(12).doubles(500, -3.3, 3.3).toArray();
    List<RunSignal> whole = RunRules.signals(z, WESTERN_ELECTRIC);
    for (int length : new int[] {0, 1, 7, 8, 250}) {
      assertThat(RunRules.signals(Arrays.copyOf(z, length), WESTERN_ELECTRIC))
          .isEqualTo(whole.stream().filter(s -> s.completedAt() < length).toList());
    }
  }

  @Test
  void refusesPointsThatAreNoNumbersAndRulesThatCannotBe() {
    assertThatThrownBy(() -> RunRules.signals(new double[] {0, Double.NaN}, WESTERN_ELECTRIC))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessage("point 1 is NaN, must be finite");
    assertThatThrownBy(() -> new ZoneRule("x", 3, 2, 1, true))
        .hasMessage("rule x asks for 3 of 2 points, must be 1 or more of at most 64");
    assertThatThrownBy(() -> new ZoneRule("x", 1, 1, -1, true))
        .hasMessageContaining("zone of rule x is -1.0");
    assertThatThrownBy(() -> new ZoneRule(" ", 1, 1, 1, true)).hasMessageContaining("blank");
  }
}
