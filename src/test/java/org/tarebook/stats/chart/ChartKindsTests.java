package org.tarebook.stats.chart;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;
import static org.tarebook.stats.ReferenceTable.doubles;
import static org.tarebook.stats.ReferenceTable.json;
import static org.tarebook.stats.ReferenceTable.nanos;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.stream.LongStream;
import org.junit.jupiter.api.Test;
import org.tarebook.stats.Accuracy;
import org.tarebook.stats.ControlLimits;
import org.tarebook.stats.SigmaEstimate;
import org.tarebook.stats.Subgroup;
import tools.jackson.databind.JsonNode;

class ChartKindsTests {

  // NIST/SEMATECH e-Handbook, 6.3.2.2, data; Wheeler and Chambers' factors 3.145 and 3.865.
  @Test
  void medianMovingRangeGivesSigmaAndLimits() {
    JsonNode example = json("imr_flowrate.json");
    JsonNode exact = example.get("recomputed_exact_d2");
    MovingRangeMedian median = MovingRangeMedian.of(doubles(example.get("data"))).orElseThrow();
    assertThat(median.median()).isCloseTo(exact.get("mr_median").asDouble(), within(1e-12));
    Accuracy.absolute(
        "MovingRangeMedian.sigma",
        "imr_flowrate.json",
        median.sigma(),
        exact.get("sigma_hat_median_mr").asDouble(),
        1e-13);
    // Of an even number of ranges, here 1 and 3, the middle.
    assertThat(MovingRangeMedian.of(new double[] {0, 1, 4}).orElseThrow().median()).isEqualTo(2);
    MovingRangeMedian one = MovingRangeMedian.of(new double[] {0, 1}).orElseThrow();
    JsonNode factors = json("moving_range_facts.json").get("mr_median");
    check("sigma", one.sigma(), factors.get("sigma_factor"));
    check("ofIndividual", one.ofIndividual(0).upper(), factors.get("limit_factor_3_over"));
    check("ofMovingRange", one.ofMovingRange().upper(), factors.get("mr_upper_limit_factor"));
    // Printed 3.865 from factors rounded before the product; 3.864 is right.
    assertThat(one.ofMovingRange().upper()).isLessThan(3.8645);
    assertThat(MovingRangeMedian.of(new double[] {1})).isEmpty();
    assertThatThrownBy(() -> MovingRangeMedian.of(new double[] {1, Double.NaN}))
        .hasMessage("reading 1 is NaN, must be finite");
  }

  private static void check(String function, double own, JsonNode expected) {
    String name = "MovingRangeMedian." + function;
    Accuracy.absolute(name, "moving_range_facts.json", own, expected.asDouble(), 1e-13);
  }

  @Test
  void oneWildReadingHardlyMovesTheMedian() {
    double[] x = new Random(41).doubles(41).map(u -> 4.385 + 0.01 * u).toArray();
    double calm = MovingRangeMedian.of(x).orElseThrow().sigma();
    x[20] = 9;
    assertThat(MovingRangeMedian.of(x).orElseThrow().sigma()).isCloseTo(calm, within(0.2 * calm));
  }

  @Test
  void unequalSubgroupsGetTheirOwnLimits() {
    List<Subgroup> subgroups =
        List.of(
            Subgroup.of(4_385_000_000L, 4_390_000_000L, 4_375_000_000L),
            Subgroup.of(4_410_000_000L),
            Subgroup.of(4_380_000_000L, 4_400_000_000L, 4_395_000_000L, 4_385_000_000L));
    SubgroupChart chart = SubgroupChart.of(subgroups).orElseThrow();
    // By hand: squared deviations 350/3 and 250 in grams squared over 2 + 3 degrees.
    double sigma = Math.sqrt((350.0 / 3 + 250) / 5) / 1000;
    assertThat(chart.sigma().sigma()).isCloseTo(sigma, within(1e-15));
    assertThat(chart.centre()).isCloseTo(35.120 / 8, within(1e-15));
    assertThat(chart.points().get(0).meanLimits().upper())
        .isCloseTo(4.39 + 3 * sigma / Math.sqrt(3), within(1e-14));
    assertThat(chart.points().get(1).sd()).isNull();
    assertThat(chart.points().get(1).sdLimits()).isNull();
    assertThat(chart.points().get(1).meanLimits().lower())
        .isCloseTo(4.39 - 3 * sigma, within(1e-14));
    assertThat(chart.points().get(2).sdLimits()).isEqualTo(ControlLimits.ofSd(sigma(chart), 4));
    assertThat(SubgroupChart.of(List.of(Subgroup.of(1)))).isEmpty();
  }

  private static double sigma(SubgroupChart chart) {
    return chart.sigma().sigma();
  }

  @Test
  void equalSubgroupsMeetThePublishedPooledSigma() {
    JsonNode rings = json("xbar_s_piston_rings.json");
    List<Subgroup> subgroups = nanos(rings.get("data")).stream().map(Subgroup::of).toList();
    SubgroupChart chart = SubgroupChart.of(subgroups).orElseThrow();
    Accuracy.absolute(
        "SubgroupChart.sigma",
        "xbar_s_piston_rings.json",
        chart.sigma().sigma(),
        rings.get("recomputed").get("s_pooled").asDouble(),
        1e-13);
    assertThat(chart.centre()).isCloseTo(74.001176, within(1e-12));
  }

  // Simulated press: cavities differ by 2, loads by 3, so means move and their chart must allow it.
  @Test
  void cavitiesOfOneLoadDoNotSetTheLimitsOfItsMean() {
    Random random = new Random(42);
    int loads = 4000;
    List<Subgroup> subgroups = new ArrayList<>();
    for (int i = 0; i < loads; i++) {
      double load = 3 * random.nextGaussian();
      long[] cavities = new long[4];
      for (int j = 0; j < 4; j++) {
        cavities[j] = Math.round((100 + load + 2 * random.nextGaussian()) * 1e9);
      }
      subgroups.add(Subgroup.of(cavities));
    }
    BetweenWithin three = BetweenWithin.of(subgroups, 4).orElseThrow();
    assertThat(three.sigmaWithin().sigma()).isCloseTo(2, within(0.05));
    assertThat(three.sigmaBetween()).isCloseTo(3, within(0.15));
    assertThat(three.sigmaTogether().sigma()).isCloseTo(Math.sqrt(13), within(0.15));
    long outside = beyond(subgroups, three.means());
    assertThat(outside).isBetween(2L, 30L);
    // From the spread inside, most loads would signal.
    assertThat(beyond(subgroups, ControlLimits.ofMean(100, 2, 4))).isGreaterThan(loads / 4);
    assertThat(three.within()).isEqualTo(ControlLimits.ofSd(three.sigmaWithin().sigma(), 4));
    assertThat(BetweenWithin.of(subgroups.subList(0, 1), 4)).isEmpty();
    assertThat(BetweenWithin.of(List.of(), 4)).isEmpty();
    assertThatThrownBy(() -> BetweenWithin.of(subgroups, 1))
        .hasMessageContaining("readings of a subgroup");
  }

  /** Of a fifth of the loads cavities are missing; sigmas and limits stay those of whole loads. */
  @Test
  void missingCavitiesMoveNeitherSigmaNorLimits() {
    Random random = new Random(43);
    List<Subgroup> loads = new ArrayList<>();
    for (int i = 0; i < 20_000; i++) {
      double load = 1.5 * random.nextGaussian();
      int cavities = i % 5 == 0 ? 1 + random.nextInt(3) : 4;
      loads.add(
          Subgroup.of(
              LongStream.range(0, cavities)
                  .map(j -> Math.round((100 + load + 2 * random.nextGaussian()) * 1e9))
                  .toArray()));
    }
    BetweenWithin three = BetweenWithin.of(loads, 4).orElseThrow();
    assertThat(three.sigmaWithin().sigma()).isCloseTo(2, within(0.03));
    assertThat(three.sigmaBetween()).isCloseTo(1.5, within(0.04));
    double ofMean = Math.sqrt(1.5 * 1.5 + 2 * 2 / 4.0);
    assertThat(three.means().upper() - three.means().centre()).isCloseTo(3 * ofMean, within(0.07));
    assertThat(three.within()).isEqualTo(ControlLimits.ofSd(three.sigmaWithin().sigma(), 4));
  }

  /** Nothing moves the means: limits of means of 1 to 12 readings are not too narrow. */
  @Test
  void sizesThatDifferMuchDoNotMakeLimitsNarrow() {
    for (double between : new double[] {0, 0.3}) {
      Random random = new Random(44);
      List<Subgroup> loads = new ArrayList<>();
      for (int i = 0; i < 40_000; i++) {
        double load = between * random.nextGaussian();
        loads.add(
            Subgroup.of(
                LongStream.rangeClosed(0, random.nextInt(12))
                    .map(j -> Math.round((100 + load + random.nextGaussian()) * 1e9))
                    .toArray()));
      }
      BetweenWithin three = BetweenWithin.of(loads, 4).orElseThrow();
      assertThat((three.means().upper() - three.means().centre()) / 3)
          .isCloseTo(Math.sqrt(between * between + 0.25), within(0.006)); // once 0.953 of it
    }
  }

  // By hand: 9 + 16 (1/2 - 1/4) = 13; kept between 9 and 18, and for more readings between 4.5 and
  // 9.
  @Test
  void aMeanOfFewerReadingsScattersMoreButNoMoreThanWithoutAPartBetween() {
    assertThat(BetweenWithin.sigmaOfMean(3, 4, 1 / 4.0, 1 / 2.0)).isEqualTo(Math.sqrt(13));
    assertThat(BetweenWithin.sigmaOfMean(3, 10, 1 / 4.0, 1 / 2.0)).isEqualTo(Math.sqrt(18));
    assertThat(BetweenWithin.sigmaOfMean(3, 10, 1 / 4.0, 1 / 8.0)).isEqualTo(Math.sqrt(4.5));
    assertThat(BetweenWithin.sigmaOfMean(3, 4, 1 / 4.0, 1 / 4.0)).isEqualTo(3);
  }

  // By hand: means 1 and 7 move by 6, over d2 = 2 / sqrt(pi); squares 2 and 18 on two degrees.
  @Test
  void twoSubgroupsAreEnoughForThreeCharts() {
    BetweenWithin two =
        BetweenWithin.of(
                List.of(
                    Subgroup.of(0, 2_000_000_000L), Subgroup.of(4_000_000_000L, 10_000_000_000L)),
                2)
            .orElseThrow();
    assertThat(two.sigmaWithin().sigma()).isCloseTo(Math.sqrt(10), within(1e-14));
    assertThat(two.sigmaBetween()).isCloseTo(Math.sqrt(9 * Math.PI - 5), within(1e-13));
    assertThat(two.sigmaTogether().sigma()).isCloseTo(Math.sqrt(9 * Math.PI + 5), within(1e-13));
    assertThat(two.means().upper()).isCloseTo(4 + 9 * Math.sqrt(Math.PI), within(1e-13));
  }

  private static long beyond(List<Subgroup> subgroups, ControlLimits limits) {
    return subgroups.stream()
        .filter(s -> s.mean() > limits.upper() || s.mean() < limits.lower())
        .count();
  }

  @Test
  void shortRunsShareOneChart() {
    List<ShortRun.Point> points =
        List.of(new ShortRun.Point(4.395, 4.385, 0.01, 1), new ShortRun.Point(6.18, 6.2, 0.02, 4));
    assertThat(ShortRun.deviations(points)).containsExactly(4.395 - 4.385, 6.18 - 6.2);
    assertThat(ShortRun.standardised(points)[0]).isCloseTo(1, within(1e-12));
    assertThat(ShortRun.standardised(points)[1]).isCloseTo(-2, within(1e-12));
    assertThatThrownBy(() -> new ShortRun.Point(1, 1, 0, 1)).hasMessageContaining("sigma is 0.0");
    assertThatThrownBy(() -> new ShortRun.Point(1, 1, 1, 0))
        .hasMessage("readings per point is 0, must be at least 1");
  }

  // The scatter of the estimate over many made-up presses is what its degrees of freedom say.
  @Test
  void sigmaOfBothPartsIsKnownAsWellAsItsDegreesSay() {
    Random random = new Random(81);
    double sum = 0;
    double squares = 0;
    double degrees = 0;
    int rounds = 4000;
    for (int round = 0; round < rounds; round++) {
      List<Subgroup> loads = new ArrayList<>();
      for (int i = 0; i < 40; i++) {
        double load = 2 * random.nextGaussian();
        loads.add(
            Subgroup.of(
                LongStream.range(0, 4)
                    .map(cavity -> Math.round((load + random.nextGaussian()) * 1e9))
                    .toArray()));
      }
      SigmaEstimate both = BetweenWithin.of(loads, 4).orElseThrow().sigmaTogether();
      sum += both.sigma();
      squares += both.sigma() * both.sigma();
      degrees += both.degreesOfFreedom() / rounds;
    }
    double mean = sum / rounds;
    double relative = Math.sqrt(squares / rounds - mean * mean) / mean;
    assertThat(mean).isCloseTo(Math.sqrt(5), within(0.02));
    assertThat(relative).isCloseTo(1 / Math.sqrt(2 * degrees), within(0.05 * relative));
  }
}
