package org.tarebook.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.Random;
import org.apache.commons.numbers.fraction.BigFraction;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import tools.jackson.databind.JsonNode;

class SpreadTests {

  static List<Map<String, String>> rangeDegrees() {
    return ReferenceTable.rows("d2star.csv");
  }

  @ParameterizedTest
  @MethodSource("rangeDegrees")
  void meanRangeHasTheDegreesOfFreedomOfItsScatter(Map<String, String> row) {
    long groups = Long.parseLong(row.get("g_number_of_subgroups"));
    long n = Long.parseLong(row.get("n_subgroup_size"));
    SigmaEstimate estimate = Spread.meanRange(n, BigFraction.of(groups), groups).orElseThrow();
    double d2Star = ReferenceTable.number(row, "d2star_exact");
    double degrees = ReferenceTable.number(row, "nu_equivalent_df_two_moment");

    Accuracy.relative(
        "Spread.meanRange degrees of freedom",
        "d2star.csv",
        estimate.degreesOfFreedom(),
        degrees,
        1e-8);
    // Every range was 1, so the estimate on the chi scale is 1 / d2*.
    Accuracy.absolute(
        "Spread.meanRange on the chi scale", "d2star.csv", estimate.chiScaled(), 1 / d2Star, 1e-12);
  }

  @Test
  void oneStandardDeviationHasOneDegreeLessThanReadings() {
    for (int n = 2; n < 60; n++) {
      long[] readings = new Random(n).longs(n, 0, 1_000_000).toArray();
      SigmaEstimate estimate = Spread.meanSd(List.of(Subgroup.of(readings))).orElseThrow();
      assertThat(estimate.degreesOfFreedom()).isCloseTo(n - 1, within(1e-11 * n));
      assertThat(estimate.chiScaled())
          .isCloseTo(Moments.of(readings).sd(), within(1e-12 * Moments.of(readings).sd()));
    }
  }

  // Cryer and Ryan, Journal of Quality Technology 22 (1990) 187-192.
  @Test
  void movingRangesScatterAsNeighboursSharingAReadingDo() {
    JsonNode facts = ReferenceTable.json("moving_range_facts.json");
    JsonNode relativeSds = facts.get("relative_sd_of_MRbar_over_d2");
    for (String readings : relativeSds.propertyNames()) {
      int n = Integer.parseInt(readings);
      Moments ranges = Moments.of(new long[n - 1]);
      double degrees = Spread.meanMovingRange(ranges, 1).orElseThrow().degreesOfFreedom();
      double relativeSd = relativeSds.get(readings).asDouble();
      // The two-moment degrees give back the relative scatter they were made of.
      Accuracy.absolute(
          "Spread.meanMovingRange relative variance",
          "moving_range_facts.json",
          Math.expm1(-2 * ChiMean.log(degrees)),
          relativeSd * relativeSd,
          1e-12);
    }
  }

  @Test
  void movingRangesOfPairsAreRangesOfTwo() {
    Moments ranges = Moments.of(new long[] {3, 5, 1, 0});
    SigmaEstimate pairs = Spread.meanMovingRange(ranges, 4).orElseThrow();
    SigmaEstimate twos = Spread.meanRange(2, ranges.sum(), 4).orElseThrow();
    assertThat(pairs.sigma()).isCloseTo(twos.sigma(), within(1e-12 * twos.sigma()));
    assertThat(pairs.degreesOfFreedom()).isCloseTo(twos.degreesOfFreedom(), within(1e-9));
  }

  @Test
  void degreesHoldForVeryManySubgroups() {
    // For many subgroups the degrees grow in proportion: 1 / (2 v) to first order.
    double relative = Factors.d3(5) / Factors.d2(5);
    long k = 1_000_000_000L;
    double degrees = Spread.meanRange(5, BigFraction.of(k), k).orElseThrow().degreesOfFreedom();
    assertThat(degrees).isCloseTo(k / (2 * relative * relative), within(1e-8 * degrees));
  }

  @Test
  void degreesOfManyDeviationsGrowWithTheirNumber() {
    // 1 / (2 v) to first order, as for ranges.
    double relative = Factors.c5(4) / Factors.c4(4);
    int k = 100_000;
    List<Subgroup> subgroups = Collections.nCopies(k, Subgroup.of(1, 2, 3, 5));
    double degrees = Spread.meanSd(subgroups).orElseThrow().degreesOfFreedom();
    assertThat(degrees).isCloseTo(k / (2 * relative * relative), within(1e-5 * degrees));
  }

  @Test
  void poolsUnequalSubgroupsByTheirDegrees() {
    List<Subgroup> subgroups =
        List.of(
            Subgroup.of(1_000_000_000L, 3_000_000_000L),
            Subgroup.of(5_000_000_000L),
            Subgroup.of(0, 0, 3_000_000_000L));
    SigmaEstimate pooled = Spread.pooled(subgroups).orElseThrow();
    // Squared deviations 2 and 6 on 1 and 2 degrees of freedom.
    assertThat(pooled).isEqualTo(new SigmaEstimate(Math.sqrt(8.0 / 3), 3, Estimator.POOLED, 2));
  }

  @Test
  void isAbsentWithNothingToEstimateFrom() {
    assertThat(Spread.pooled(List.of())).isEmpty();
    assertThat(Spread.pooled(List.of(Subgroup.of(1), Subgroup.of(2)))).isEmpty();
    assertThat(Spread.meanRange(List.of())).isEmpty();
    assertThat(Spread.meanSd(List.of())).isEmpty();
    assertThat(Spread.meanMovingRange(Spread.movingRanges(new long[] {1}), 1)).isEmpty();
    assertThat(Spread.total(Moments.of(new long[] {1}))).isEmpty();
  }

  @Test
  void isZeroWhenNothingVaried() {
    List<Subgroup> flat = List.of(Subgroup.of(5, 5, 5), Subgroup.of(5, 5, 5));
    assertThat(Spread.pooled(flat).orElseThrow().sigma()).isZero();
    assertThat(Spread.meanRange(flat).orElseThrow().sigma()).isZero();
    assertThat(Spread.meanSd(flat).orElseThrow().sigma()).isZero();
    assertThat(Spread.total(Moments.of(new long[] {5, 5})).orElseThrow().sigma()).isZero();
  }

  @Test
  void refusesUnequalSubgroupsWhereFactorsNeedOneSize() {
    List<Subgroup> subgroups = List.of(Subgroup.of(1, 2), Subgroup.of(1, 2), Subgroup.of(1, 2, 3));
    assertThatThrownBy(() -> Spread.meanRange(subgroups))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessage("subgroup 2 has 3 readings, subgroup 0 has 2: pool unequal subgroups instead");
    assertThatThrownBy(() -> Spread.meanSd(subgroups)).hasMessageContaining("subgroup 2");
    assertThatThrownBy(() -> Spread.meanSd(List.of(Subgroup.of(1))))
        .hasMessageContaining("subgroup size 1");
  }

  @Test
  void refusesWhatCannotBe() {
    assertThatThrownBy(() -> Spread.movingRanges(new long[] {0, Long.MIN_VALUE, Long.MAX_VALUE}))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessage("readings 0 and 1 lie too far apart: 0 and " + Long.MIN_VALUE);
    assertThatThrownBy(() -> Spread.meanMovingRange(Moments.of(new long[] {1, 1}), 3))
        .hasMessage("2 moving ranges cannot come from 3 series");
    assertThatThrownBy(() -> Spread.pooled(BigFraction.ONE, -1, 1))
        .hasMessageContaining("negative: -1");
    assertThatThrownBy(() -> new SigmaEstimate(Double.NaN, 1, Estimator.TOTAL, 1))
        .hasMessageContaining("sigma is NaN");
    assertThatThrownBy(() -> new SigmaEstimate(1, 0, Estimator.TOTAL, 1))
        .hasMessageContaining("degrees of freedom is 0.0");
    assertThatThrownBy(() -> new SigmaEstimate(1, 1, Estimator.TOTAL, 0))
        .hasMessage("subgroups is 0, must be at least 1");
    assertThatThrownBy(() -> Subgroup.of()).hasMessage("no reading from 0 to 0");
    assertThatThrownBy(() -> new Subgroup(Moments.EMPTY, BigFraction.ZERO))
        .hasMessageContaining("at least one reading");
    assertThatThrownBy(() -> new Subgroup(Moments.of(new long[] {1}), BigFraction.of(-1)))
        .hasMessageContaining("negative");
  }

  /** Simulated subgroups: every within-subgroup estimate finds the sigma they were drawn with. */
  @Test
  void findsTheSigmaReadingsWereDrawnWith() {
    Random random = new Random(1924);
    List<Subgroup> subgroups = new ArrayList<>();
    for (int i = 0; i < 20_000; i++) {
      long[] readings = new long[5];
      double shift = random.nextGaussian() * 5e9;
      for (int j = 0; j < readings.length; j++) {
        readings[j] = Math.round(shift + 2e9 * random.nextGaussian());
      }
      subgroups.add(Subgroup.of(readings));
    }
    // Four standard errors of the weakest of the three.
    double tolerance = 4 * 2 / Math.sqrt(2 * 70_000.0);
    assertThat(Spread.pooled(subgroups).orElseThrow().sigma()).isCloseTo(2, within(tolerance));
    assertThat(Spread.meanRange(subgroups).orElseThrow().sigma()).isCloseTo(2, within(tolerance));
    assertThat(Spread.meanSd(subgroups).orElseThrow().sigma()).isCloseTo(2, within(tolerance));
  }
}
