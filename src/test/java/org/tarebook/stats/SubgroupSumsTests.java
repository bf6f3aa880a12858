package org.tarebook.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

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
    assertThat(sums.ranges()).isEqualTo(BigFraction.of(4));
    assertThat(sums.squaredDeviations()).isEqualTo(BigFraction.of(5));
    assertThat(sums.sds())
        .isEqualByComparingTo(new BigDecimal(Math.sqrt(0.5)).add(new BigDecimal(Math.sqrt(4.5))));
    assertThat(sums.readings().count()).isEqualTo(4);
  }

  @Test
  void singleReadingsHaveNoSpread() {
    SubgroupSums sums = SubgroupSums.of(List.of(Subgroup.of(1), Subgroup.of(2)));
    assertThat(sums.several()).isZero();
    assertThat(sums.pooled()).isEmpty();
    assertThatThrownBy(sums::byMeanSd).hasMessageContaining("subgroup size 1");
    assertThat(SubgroupSums.EMPTY.byMeanRange()).isEmpty();
    assertThat(SubgroupSums.EMPTY.byMeanSd()).isEmpty();
    assertThat(OneWayAnova.of(SubgroupSums.EMPTY)).isEmpty();
  }

  @Test
  void refusesUnequalSubgroupsWhereFactorsNeedOneSize() {
    SubgroupSums sums = SubgroupSums.of(List.of(Subgroup.of(1, 2), Subgroup.of(1, 2, 3)));
    assertThatThrownBy(sums::byMeanRange)
        .hasMessage(
            "5 readings do not make 2 subgroups of one size: pool unequal subgroups instead");
    assertThat(sums.pooled())
        .isEqualTo(Spread.pooled(List.of(Subgroup.of(1, 2), Subgroup.of(1, 2, 3))));
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
