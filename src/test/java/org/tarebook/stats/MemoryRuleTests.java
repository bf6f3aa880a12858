package org.tarebook.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.tarebook.stats.chart.Cusum;
import org.tarebook.stats.chart.Ewma;
import org.tarebook.stats.chart.MeanRunLengths;

class MemoryRuleTests {

  private static final EwmaRule EWMA = EwmaRule.USUAL;
  private static final CusumRule CUSUM = CusumRule.USUAL;

  @Test
  void gathersAsTheChartsDoThatStartWhereTheWindowBegins() {
    double[] z = new Random(71).doubles(400, -2, 2.8).toArray();
    List<Integer> averages = new ArrayList<>();
    List<Integer> sums = new ArrayList<>();
    for (int i = 0; i < z.length; i++) {
      double[] seen = Arrays.copyOfRange(z, Math.max(0, i - 63), i + 1);
      List<Ewma.Point> ewma = new Ewma(0.2, 2.86).points(seen, 0, 1);
      List<Cusum.Point> cusum = new Cusum(0, 0.5, 5, 0).points(seen);
      if (ewma.get(seen.length - 1).beyond()) {
        averages.add(i);
      }
      if (cusum.get(seen.length - 1).signal()) {
        sums.add(i);
      }
    }
    assertThat(RunRules.signals(z, List.of(EWMA)).stream().map(RunSignal::completedAt))
        .isEqualTo(averages)
        .hasSizeBetween(20, 380);
    assertThat(RunRules.signals(z, List.of(CUSUM)).stream().map(RunSignal::completedAt))
        .isEqualTo(sums)
        .hasSizeBetween(20, 380);
  }

  @Test
  void tellsTheSideAndSinceWhenThePointsGather() {
    double[] z = {-1, 1, -1, 2, 2, 2, 2, 2};
    assertThat(RunRules.signals(z, List.of(CUSUM)))
        .containsExactly(
            new RunSignal(CUSUM, Side.ABOVE, 3, 6), new RunSignal(CUSUM, Side.ABOVE, 3, 7));
    double[] mirrored = Arrays.stream(z).map(value -> -value).toArray();
    assertThat(RunRules.signals(mirrored, List.of(EWMA, CUSUM)))
        .allMatch(signal -> signal.side() == Side.BELOW && signal.first() == 3)
        .hasSizeGreaterThan(3);
  }

  @Test
  void aFigureOnItsLimitIsQuiet() {
    EwmaRule plain = new EwmaRule("e", 2, 0.5, 3);
    // The first average is z / 2, its limit 3 / 2.
    assertThat(RunRules.signals(new double[] {3}, List.of(plain))).isEmpty();
    assertThat(RunRules.signals(new double[] {3.000001}, List.of(plain))).hasSize(1);
    assertThat(RunRules.signals(new double[] {5.5}, List.of(CUSUM))).isEmpty();
    assertThat(RunRules.signals(new double[] {5.5, 0.500001}, List.of(CUSUM))).hasSize(1);
    assertThat(RunRules.signals(new double[] {9, -12}, List.of(CUSUM)))
        .extracting(RunSignal::side)
        .containsExactly(Side.ABOVE, Side.BELOW);
  }

  @Test
  void forgetsWhatLiesBehindTheWindow() {
    double[] z = new double[70];
    z[0] = 400;
    assertThat(RunRules.signals(z, List.of(CUSUM)).stream().map(RunSignal::completedAt))
        .startsWith(0)
        .endsWith(63);
  }

  @Test
  void aShortWindowHoldsJustItsPoints() {
    // Of two points: weights 1/2 and 1/4, limit 3 sqrt((1 - 1/16) / 3).
    EwmaRule two = new EwmaRule("e", 2, 0.5, 3);
    double limit = 3 * Math.sqrt(0.9375 / 3);
    assertThat(RunRules.signals(new double[] {2 * limit, limit - 1e-9}, List.of(two)))
        .extracting(RunSignal::completedAt)
        .containsExactly(0);
    assertThat(RunRules.signals(new double[] {2 * limit, limit + 1e-9}, List.of(two))).hasSize(2);
    assertThat(RunRules.signals(new double[] {100, 0, 0}, List.of(two)))
        .extracting(RunSignal::completedAt)
        .containsExactly(0, 1);
    CusumRule sums = new CusumRule("c", 2, 0, 5);
    assertThat(RunRules.signals(new double[] {100, 0, 0}, List.of(sums)))
        .extracting(RunSignal::completedAt)
        .containsExactly(0, 1);
  }

  @Test
  void ofTwoSumsAtOnceTheNewestPointTellsTheSide() {
    CusumRule sums = new CusumRule("c", 64, 0, 1);
    assertThat(RunRules.signals(new double[] {3, -1.5}, List.of(sums)))
        .containsExactly(
            new RunSignal(sums, Side.ABOVE, 0, 0), new RunSignal(sums, Side.BELOW, 1, 1));
    assertThat(RunRules.signals(new double[] {-3, 1.5}, List.of(sums)))
        .containsExactly(
            new RunSignal(sums, Side.BELOW, 0, 0), new RunSignal(sums, Side.ABOVE, 1, 1));
    assertThat(RunRules.signals(new double[] {3, -2}, List.of(sums)).get(1).side())
        .isEqualTo(Side.BELOW);
    assertThat(RunRules.signals(new double[] {3, 0}, List.of(sums)).get(1))
        .isEqualTo(new RunSignal(sums, Side.ABOVE, 0, 1));
  }

  @Test
  void everyRuleIsFoundByItsCode() {
    assertThat(RuleSet.codes())
        .doesNotHaveDuplicates()
        .hasSize(17)
        .startsWith("BEYOND_LIMITS")
        .endsWith("CUSUM")
        .allMatch(code -> RuleSet.rule(code).orElseThrow().code().equals(code));
    assertThat(RuleSet.rule("NELSON_9")).isEmpty();
  }

  // The integral equation knows nothing of the window nor of the simulation; steady limits and the
  // exact ones differ in the first points only.
  @Test
  void runsAboutAsLongAsTheChartsWithoutAWindow() {
    RuleCost shifted = RuleCost.of(List.of(CUSUM), 1);
    assertThat(shifted.runLength().mean())
        .isCloseTo(MeanRunLengths.ofCusum(0.5, 5, 0, 1), within(4 * error(shifted)));
    RuleCost inControl = RuleCost.of(List.of(CUSUM), 0);
    assertThat(inControl.runLength().mean())
        .isCloseTo(MeanRunLengths.ofCusum(0.5, 5, 0, 0), within(4 * error(inControl)));
    RuleCost averages = RuleCost.of(List.of(EWMA), 0);
    assertThat(averages.runLength().mean())
        .isCloseTo(MeanRunLengths.ofSteady(new Ewma(0.2, 2.86), 0), within(10.0));
  }

  @Test
  void aChanceIsExactWhereThereIsAChainAndElseCounted() {
    assertThat(RuleCost.perPoint(RuleSet.WESTERN_ELECTRIC.rules()))
        .isEqualTo(RunRuleChances.perPoint(RuleSet.WESTERN_ELECTRIC.rules()));
    assertThat(RuleCost.of(RuleSet.WESTERN_ELECTRIC.rules(), 0).standardError()).isNull();
    // Seven points rise or fall: twice 1 in 7!, of a stretch of which the eighth marks again.
    assertThat(RuleCost.perPoint(List.of(new TrendRule("t", 7))))
        .isCloseTo(2 / 5040.0, within(0.15 * 2 / 5040));
    assertThat(RuleCost.perPoint(List.of())).isZero();
  }

  @Test
  void refusesFiguresThatCannotBe() {
    assertThatThrownBy(() -> new EwmaRule("e", 64, 1, 3))
        .hasMessage("weight of rule e is 1.0, must be above 0 and below 1");
    assertThatThrownBy(() -> new EwmaRule("e", 64, 0.2, 0)).hasMessageContaining("reach of rule e");
    assertThatThrownBy(() -> new EwmaRule("e", 65, 0.2, 3))
        .hasMessage("rule e asks for 65 points, must be 2 to 64");
    assertThatThrownBy(() -> new CusumRule("c", 65, 0.5, 5))
        .hasMessage("rule c asks for 65 points, must be 2 to 64");
    assertThatThrownBy(() -> new EwmaRule("e", 64, 0, 3))
        .hasMessage("weight of rule e is 0.0, must be above 0 and below 1");
    assertThatThrownBy(() -> new CusumRule("c", 64, -1, 3)).hasMessageContaining("allowance");
    assertThatThrownBy(() -> new CusumRule("c", 64, 0.5, 0)).hasMessageContaining("decision value");
  }

  private static double error(RuleCost of) {
    Double error = of.standardError();
    assertThat(error).isNotNull();
    return error == null ? 0 : error;
  }
}
