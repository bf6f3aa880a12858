package org.tarebook.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

class OneWayAnovaTests {

  static List<Map<String, String>> datasets() {
    return ReferenceTable.rows("anova/certified.csv");
  }

  // NIST Statistical Reference Datasets, analysis of variance, up to the highest difficulty.
  @ParameterizedTest
  @MethodSource("datasets")
  void reproducesEveryCertifiedDigit(Map<String, String> certified) {
    Map<String, List<BigDecimal>> groups = new TreeMap<>();
    for (Map<String, String> row :
        ReferenceTable.rows("anova/" + certified.get("dataset") + ".csv")) {
      groups
          .computeIfAbsent(row.get("group"), group -> new ArrayList<>())
          .add(new BigDecimal(row.get("y")));
    }
    OneWayAnova anova =
        OneWayAnova.of(groups.values().stream().map(Moments::of).toList()).orElseThrow();

    assertThat(anova.degreesBetween()).isEqualTo(Long.parseLong(certified.get("df_between")));
    assertThat(anova.degreesWithin()).isEqualTo(Long.parseLong(certified.get("df_within")));
    check("f", anova.f(), certified, "recomputed_F_mpmath", 0);
    // Certified to 15 digits.
    check("f as certified", anova.f(), certified, "certified_F", 5e-15);
    double between = anova.squaresBetween().doubleValue();
    check("squaresBetween", between, certified, "certified_ss_between", 5e-15);
    double within = anova.squaresWithin().doubleValue();
    check("squaresWithin", within, certified, "certified_ss_within", 5e-15);
  }

  @Test
  void tellsHowRareTheDifferenceIs() {
    List<Moments> same =
        List.of(Moments.of(new long[] {1, 2, 3}), Moments.of(new long[] {3, 2, 1}));
    OneWayAnova none = OneWayAnova.of(same).orElseThrow();
    assertThat(none.f()).isZero();
    assertThat(none.p()).isEqualTo(1);
    // Two strata: F is the square of Student's t. Means 2 and 5, variances 1: t^2 = 9 / (2/3).
    OneWayAnova apart =
        OneWayAnova.of(List.of(Moments.of(new long[] {1, 2, 3}), Moments.of(new long[] {4, 5, 6})))
            .orElseThrow();
    assertThat(apart.f()).isEqualTo(13.5);
    double t = Math.sqrt(13.5);
    double expected =
        2 * org.apache.commons.statistics.distribution.TDistribution.of(4).survivalProbability(t);
    assertThat(apart.p()).isCloseTo(expected, within(1e-14));
  }

  // By hand: 1, 2 and 4: means 1.5 and 4, squares 1/2 inside and 25/6 between, one degree each.
  @Test
  void threeReadingsInTwoStrataAreEnough() {
    OneWayAnova least =
        OneWayAnova.of(
                List.of(Moments.of(new long[] {1, 2}), Moments.EMPTY, Moments.of(new long[] {4})))
            .orElseThrow();
    assertThat(least.degreesBetween()).isEqualTo(1);
    assertThat(least.degreesWithin()).isEqualTo(1);
    assertThat(least.f()).isEqualTo(25.0 / 3);
  }

  @Test
  void isAbsentWhereThereIsNothingToCompare() {
    Moments one = Moments.of(new long[] {1, 2});
    assertThat(OneWayAnova.of(List.of())).isEmpty();
    assertThat(OneWayAnova.of(List.of(one, Moments.EMPTY))).isEmpty();
    assertThat(OneWayAnova.of(List.of(Moments.of(new long[] {1}), Moments.of(new long[] {2}))))
        .isEmpty();
    assertThat(
            OneWayAnova.of(List.of(Moments.of(new long[] {1, 1}), Moments.of(new long[] {2, 2}))))
        .isEmpty();
  }

  private static void check(
      String figure, double own, Map<String, String> row, String column, double allowed) {
    double certified = ReferenceTable.number(row, column);
    Accuracy.relative("OneWayAnova." + figure, "anova/certified.csv", own, certified, allowed);
  }
}
