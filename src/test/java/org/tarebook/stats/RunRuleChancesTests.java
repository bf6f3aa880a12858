package org.tarebook.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;
import static org.junit.jupiter.api.Assertions.assertTimeoutPreemptively;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Random;
import org.apache.commons.statistics.distribution.NormalDistribution;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

class RunRuleChancesTests {

  static List<Map<String, String>> runLengths() {
    return ReferenceTable.rows("arl_runs_rules.csv");
  }

  // Champ and Woodall, Technometrics 29 (1987) 393-399; C124 means rules 1, 2 and 4.
  @ParameterizedTest
  @MethodSource("runLengths")
  void reproducesPublishedRunLengths(Map<String, String> row) {
    List<ZoneRule> rules = new ArrayList<>();
    for (char number : row.get("rule_set").substring(1).toCharArray()) {
      rules.add(ZoneRule.WESTERN_ELECTRIC.get(number - '1'));
    }
    double length =
        RunRuleChances.meanRunLength(rules, ReferenceTable.number(row, "shift_in_sigma"));
    // The table has eight decimals.
    Accuracy.absolute(
        "RunRuleChances.meanRunLength",
        "arl_runs_rules.csv",
        length,
        ReferenceTable.number(row, "exact_ARL"),
        1e-8);
    // Half of the last printed digit, and a little: C1234 at 0.6 is 20.90507, printed 20.90.
    Accuracy.absolute(
        "RunRuleChances.meanRunLength as printed",
        "arl_runs_rules.csv",
        length,
        ReferenceTable.number(row, "published_Champ_Woodall_1987"),
        0.0051);
  }

  @Test
  void chancePerPointOfSingleRulesIsElementary() {
    double beyond = 2 * NormalDistribution.of(0, 1).survivalProbability(3);
    assertThat(RunRuleChances.perPoint(List.of(ZoneRule.BEYOND_LIMITS)))
        .isCloseTo(beyond, within(1e-15));
    assertThat(RunRuleChances.perPoint(List.of(ZoneRule.EIGHT_ON_ONE_SIDE)))
        .isCloseTo(2 * Math.pow(0.5, 8), within(1e-15));
    // The newest point lies beyond, and at least one of the two before.
    double two = NormalDistribution.of(0, 1).survivalProbability(2);
    assertThat(RunRuleChances.perPoint(List.of(ZoneRule.TWO_OF_THREE)))
        .isCloseTo(2 * two * (2 * two - two * two), within(1e-15));
    assertThat(RunRuleChances.perPoint(List.of())).isZero();
  }

  @Test
  void chancePerPointIsTheShareOfPointsThatSignal() {
    Random random = new Random(1956);
    int points = 1_000_000;
    double[] z = new double[points];
    for (int i = 0; i < points; i++) {
      z[i] = random.nextGaussian();
    }
    double marked =
        RunRules.signals(z, ZoneRule.WESTERN_ELECTRIC).stream()
            .mapToInt(RunSignal::completedAt)
            .distinct()
            .count();
    double chance = RunRuleChances.perPoint(ZoneRule.WESTERN_ELECTRIC);
    // Marks come in runs, so they scatter about three times as much as independent ones.
    double tolerance = 4 * 3 * Math.sqrt(chance / points);
    assertThat(marked / points).isCloseTo(chance, within(tolerance));
    double sum = 0;
    for (ZoneRule rule : ZoneRule.WESTERN_ELECTRIC) {
      sum += RunRuleChances.perPoint(List.of(rule));
    }
    assertThat(chance).isLessThan(sum);
  }

  /**
   * Of runs of r points on either side, each with chance p, it takes (1 - p^r) / (p^r (1 - p)) / 2
   * points; here once in 1e17 and 2e19.
   */
  @Test
  void lengthsOfRareRunsKeepTheirDigits() {
    double p = NormalDistribution.of(0, 1).survivalProbability(6);
    double two = (1 + p) / (2 * p * p);
    ZoneRule far = new ZoneRule("FAR", 2, 2, 6, true);
    assertThat(RunRuleChances.meanRunLength(List.of(far), 0)).isCloseTo(two, within(1e-11 * two));
    ZoneRule onOneSide = new ZoneRule("SIDE", 64, 64, 0, true);
    double sixtyFour = Math.pow(2, 64) - 1;
    assertThat(RunRuleChances.meanRunLength(List.of(onOneSide), 0))
        .isCloseTo(sixtyFour, within(1e-11 * sixtyFour));
    ZoneRule never = new ZoneRule("NEVER", 64, 64, 6, true);
    assertThatThrownBy(() -> RunRuleChances.meanRunLength(List.of(never), 0))
        .hasMessageContaining("hardly ever signal");
  }

  /** Two of 64 beyond four sigma have 4,096 pasts and signal once in eight million points. */
  @Test
  void longWindowsOfRareRunsTakeNoLongTime() {
    ZoneRule rare = new ZoneRule("RARE", 2, 64, 4, true);
    RunLength length =
        assertTimeoutPreemptively(
            Duration.ofSeconds(5), () -> RunRuleChances.runLength(List.of(rare), 0));
    // The second of two independent points: no sooner than one pair of 63 neighbours a side.
    double p = NormalDistribution.of(0, 1).survivalProbability(4);
    double first = 1 / (2 * p * -Math.expm1(63 * Math.log1p(-p)));
    assertThat(length.mean()).isCloseTo(first, within(0.01 * first));
    assertThat(length.sd()).isCloseTo(length.mean(), within(1e-4 * first));
  }

  @Test
  void refusesWhatItCannotFollow() {
    assertThatThrownBy(() -> RunRuleChances.meanRunLength(List.of(), 0))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("no rule");
    assertThatThrownBy(() -> RunRuleChances.meanRunLength(ZoneRule.WESTERN_ELECTRIC, Double.NaN))
        .hasMessage("shift is NaN, must be finite");
    ZoneRule long40 = new ZoneRule("long", 20, 40, 1, true);
    assertThatThrownBy(() -> RunRuleChances.perPoint(List.of(long40)))
        .hasMessageContaining("shorten their windows");
  }
}
