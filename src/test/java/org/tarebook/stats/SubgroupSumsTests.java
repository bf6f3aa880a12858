package org.tarebook.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.apache.commons.numbers.fraction.BigFraction;
import org.junit.jupiter.api.Test;

class SubgroupSumsTests {

  private static List<Subgroup> subgroups(Random random, int size) {
    List<Subgroup> subgroups = new ArrayList<>();
    for (int i = random.nextInt(30); i >= 0; i--) {
      Subgroup grams =
          Subgroup.of(
              random.longs(size, 4_300_000_000L, 4_500_000_000L).map(v -> v / 1000).toArray());
      BigFraction pound = BigFraction.of(45359237, 100000000);
      // Some were shown in another unit, so that fractions do not terminate.
      subgroups.add(
          random.nextBoolean()
              ? grams
              : new Subgroup(
                  grams.moments().affine(pound.reciprocal(), BigFraction.ZERO),
                  grams.exactRange().divide(pound)));
    }
    return subgroups;
  }

  @Test
  void partsGiveTheSigmasOfTheWholeToTheLastDigit() {
    Random random = new Random(51);
    for (int i = 0; i < 100; i++) {
      int size = 2 + random.nextInt(8);
      List<Subgroup> one = subgroups(random, size);
      List<Subgroup> other = subgroups(random, size);
      List<Subgroup> all = new ArrayList<>(one);
      all.addAll(other);
      SubgroupSums sums = SubgroupSums.of(one).plus(SubgroupSums.of(other));
      assertThat(sums).isEqualTo(SubgroupSums.of(all));
      assertThat(sums.byMeanRange()).isEqualTo(Spread.meanRange(all));
      assertThat(sums.byMeanSd()).isEqualTo(Spread.meanSd(all));
      assertThat(sums.pooled()).isEqualTo(Spread.pooled(all));
      assertThat(OneWayAnova.of(sums))
          .isEqualTo(OneWayAnova.of(all.stream().map(Subgroup::moments).toList()));
    }
  }

  // By hand: ranges 1 and 3, squared deviations 0.5 and 4.5, sds the roots of these.
  @Test
  void sumsAreWhatTheySay() {
    SubgroupSums sums =
        SubgroupSums.of(
            List.of(Subgroup.of(1_000_000_000, 2_000_000_000), Subgroup.of(0, 3_000_000_000L)));
    assertThat(sums.subgroups()).isEqualTo(2);
    assertThat(sums.several()).isEqualTo(2);
    assertThat(sums.sizes()).containsOnlyKeys(2L);
    assertThat(sums.sizes().get(2L).ranges()).isEqualTo(BigFraction.of(4));
    assertThat(sums.squaredDeviations()).isEqualTo(BigFraction.of(5));
    assertThat(sums.sizes().get(2L).sds())
        .isEqualByComparingTo(new BigDecimal(Math.sqrt(0.5)).add(new BigDecimal(Math.sqrt(4.5))));
    assertThat(sums.readings().count()).isEqualTo(4);
  }

  @Test
  void singleReadingsHaveNoSpread() {
    SubgroupSums sums = SubgroupSums.of(List.of(Subgroup.of(1), Subgroup.of(2)));
    assertThat(sums.several()).isZero();
    assertThat(sums.pooled()).isEmpty();
    assertThat(sums.byMeanRange()).isEmpty();
    assertThat(sums.byMeanSd()).isEmpty();
    assertThat(SubgroupSums.EMPTY.byMeanRange()).isEmpty();
    assertThat(SubgroupSums.EMPTY.byMeanSd()).isEmpty();
    assertThat(OneWayAnova.of(SubgroupSums.EMPTY)).isEmpty();
  }

  @Test
  void unequalSubgroupsAreWeighedByWhatEachTells() {
    List<Subgroup> unequal =
        List.of(
            Subgroup.of(0, 2_000_000_000L),
            Subgroup.of(0, 1_000_000_000L, 4_000_000_000L),
            Subgroup.of(0, 1_000_000_000L, 2_000_000_000L),
            Subgroup.of(7));
    SubgroupSums sums = SubgroupSums.of(unequal);
    assertThat(sums.pooled()).isEqualTo(Spread.pooled(unequal));
    double of2 = Math.pow(Factors.d2(2) / Factors.d3(2), 2);
    double of3 = Math.pow(Factors.d2(3) / Factors.d3(3), 2);
    SigmaEstimate ranges = sums.byMeanRange().orElseThrow();
    assertThat(ranges.sigma())
        .isCloseTo(
            (of2 * 2 / Factors.d2(2) + of3 * 4 / Factors.d2(3) + of3 * 2 / Factors.d2(3))
                / (of2 + 2 * of3),
            within(1e-14));
    assertThat(ranges.subgroups()).isEqualTo(3);
    assertThat(ranges.degreesOfFreedom())
        .isCloseTo(ChiMean.degreesFor(1 / (of2 + 2 * of3)), within(1e-12));
    double h2 = Math.pow(Factors.c4(2) / Factors.c5(2), 2);
    double h3 = Math.pow(Factors.c4(3) / Factors.c5(3), 2);
    assertThat(sums.byMeanSd().orElseThrow().sigma())
        .isCloseTo(
            (h2 * Math.sqrt(2) / Factors.c4(2) + h3 * (Math.sqrt(13 / 3.0) + 1) / Factors.c4(3))
                / (h2 + 2 * h3),
            within(1e-14));
  }

  /** Both are unbiased and scatter as their degrees of freedom say, whichever sizes are mixed. */
  @Test
  void sigmasOfUnequalSubgroupsAreUnbiasedAndAsGoodAsTheySay() {
    Random random = new Random(53);
    double[] sums = new double[2];
    double[] squares = new double[2];
    int rounds = 20_000;
    for (int round = 0; round < rounds; round++) {
      List<Subgroup> subgroups = new ArrayList<>();
      for (int i = 0; i < 12; i++) {
        int n = i % 4 == 0 ? 1 + i % 3 : 5;
        subgroups.add(
            Subgroup.of(
                random
                    .doubles(n)
                    .map(any -> random.nextGaussian() * 1e9)
                    .mapToLong(Math::round)
                    .toArray()));
      }
      SubgroupSums all = SubgroupSums.of(subgroups);
      List<SigmaEstimate> both =
          List.of(all.byMeanRange().orElseThrow(), all.byMeanSd().orElseThrow());
      for (int i = 0; i < 2; i++) {
        sums[i] += both.get(i).sigma();
        squares[i] += both.get(i).sigma() * both.get(i).sigma();
      }
    }
    double[] weights = new double[2];
    for (int n : new int[] {2, 3, 5, 5, 5, 5, 5, 5, 5, 5, 5}) {
      weights[0] += Math.pow(Factors.d2(n) / Factors.d3(n), 2);
      weights[1] += Math.pow(Factors.c4(n) / Factors.c5(n), 2);
    }
    for (int i = 0; i < 2; i++) {
      double mean = sums[i] / rounds;
      double scatter = Math.sqrt(squares[i] / rounds - mean * mean);
      assertThat(mean).isCloseTo(1, within(4 * scatter / Math.sqrt(rounds)));
      assertThat(scatter).isCloseTo(1 / Math.sqrt(weights[i]), within(0.003));
    }
  }

  // By hand: of sizes 2, 4 and 6, (12 - 56 / 12) / 2.
  @Test
  void theTypicalSizeLiesBelowTheMean() {
    SubgroupSums sums =
        SubgroupSums.of(
            List.of(Subgroup.of(1, 2), Subgroup.of(1, 2, 3, 4), Subgroup.of(1, 2, 3, 4, 5, 6)));
    assertThat(sums.typicalSize()).isCloseTo(11 / 3.0, within(1e-15));
    assertThat(SubgroupSums.of(List.of(Subgroup.of(1, 2), Subgroup.of(3, 4))).typicalSize())
        .isEqualTo(2);
    assertThatThrownBy(SubgroupSums.EMPTY::typicalSize).hasMessageContaining("there are 0");
  }

  @Test
  void momentsComeBackFromTheirSums() {
    Random random = new Random(52);
    for (int i = 0; i < 200; i++) {
      Moments moments =
          Moments.of(random.longs(random.nextInt(9), -100, 100).toArray())
              .affine(BigFraction.of(1 + random.nextInt(9), 7), BigFraction.of(5, 9));
      assertThat(Moments.ofSums(moments.count(), moments.sum(), moments.sumOfSquares()))
          .isEqualTo(moments);
    }
    assertThatThrownBy(() -> Moments.ofSums(-1, BigFraction.ZERO, BigFraction.ZERO))
        .hasMessage("count is negative: -1");
  }
}
