package org.tarebook.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import org.apache.commons.statistics.distribution.BetaDistribution;
import org.apache.commons.statistics.distribution.NormalDistribution;
import org.apache.commons.statistics.distribution.TDistribution;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.tarebook.stats.Proportion.Count;

class ClusteredShareTests {

  private static ClusteredShare of(Count... clusters) {
    return ClusteredShare.of(List.of(clusters), Optional.empty()).orElseThrow();
  }

  @Test
  void reproducesPublishedDesignEffects() {
    List<Map<String, String>> rows = ReferenceTable.rows("clustered_shares.csv");
    assertThat(rows).hasSize(2);
    for (Map<String, String> row : rows) {
      String[] counts = row.get("counts").split(" ");
      String[] totals = row.get("totals").split(" ");
      List<Count> litters = new ArrayList<>();
      for (int i = 0; i < counts.length; i++) {
        litters.add(new Count(Long.parseLong(counts[i]), Long.parseLong(totals[i])));
      }
      ClusteredShare share = ClusteredShare.of(litters, Optional.empty()).orElseThrow();
      assertThat(share.designEffect())
          .isCloseTo(ReferenceTable.number(row, "design_effect"), within(5e-7));
      assertThat(share.clusters()).isEqualTo(16);
      Collections.shuffle(litters, new Random(1));
      assertThat(ClusteredShare.of(litters, Optional.empty())).contains(share);
    }
  }

  @Test
  void itemsByThemselvesAreClustersOfOne() {
    List<Count> spelled = new ArrayList<>(List.of(new Count(3, 4), new Count(0, 4)));
    for (int i = 0; i < 6; i++) {
      spelled.add(new Count(i < 2 ? 1 : 0, 1));
    }
    Optional<ClusteredShare> expected = ClusteredShare.of(spelled, Optional.empty());
    assertThat(expected).isPresent();
    assertThat(ClusteredShare.of(spelled.subList(0, 2), Optional.of(new Count(2, 6))))
        .isEqualTo(expected);
    assertThat(expected.get().clusters()).isEqualTo(8);
    assertThat(expected.get().degrees()).isEqualTo(4); // three clusters with anything, and one
  }

  @Test
  void isEmptyWhereNoClusterHoldsTwo() {
    assertThat(ClusteredShare.of(List.of(), Optional.of(new Count(2, 9)))).isEmpty();
    assertThat(ClusteredShare.of(List.of(new Count(1, 1)), Optional.of(new Count(2, 9)))).isEmpty();
    assertThat(ClusteredShare.ofSingle(new Count(2, 9)).designEffect()).isEqualTo(1);
  }

  @Test
  void takesEffectiveItemsByTheDegreesOfFreedom() {
    ClusteredShare share = of(new Count(2, 4), new Count(0, 4), new Count(1, 4), new Count(0, 4));
    // By hand: excesses 5/4, -3/4, 1/4, -3/4 of n p = 3/4; squares 11/4; n p q = 39/16.
    double effect = 11 / 4.0 / (39 / 16.0) * 4 / 3;
    assertThat(share.designEffect()).isCloseTo(effect, within(1e-14));
    double z = NormalDistribution.of(0, 1).inverseSurvivalProbability(0.025);
    double t = TDistribution.of(3).inverseSurvivalProbability(0.025);
    assertThat(share.effectiveTotal(0.95).orElseThrow())
        .isCloseTo(16 / effect * (z / t) * (z / t), within(1e-12));
    assertThatThrownBy(() -> share.effectiveTotal(1)).isInstanceOf(IllegalArgumentException.class);
  }

  @Test
  void nothingAndEverythingCountedTakesClustersAsOneFate() {
    ClusteredShare none = of(new Count(0, 4), new Count(0, 4), new Count(0, 2));
    assertThat(none.designEffect()).isEqualTo(36 / 10.0);
    assertThat(none.degrees()).isEqualTo(2);
    assertThat(of(new Count(4, 4), new Count(4, 4)).designEffect()).isEqualTo(4);
    assertThat(of(new Count(1, 4)).effectiveTotal(0.95)).isEmpty();
    assertThat(of(new Count(1, 4)).designEffect()).isEqualTo(4);
  }

  @Test
  void intervalIsNeverNarrowerThanThatOfIndependentItems() {
    Random random = new Random(5);
    for (int run = 0; run < 500; run++) {
      List<Count> clusters = new ArrayList<>();
      for (int i = 0; i < 2 + random.nextInt(30); i++) {
        int n = 2 + random.nextInt(28);
        clusters.add(new Count(random.nextInt(n + 1), n));
      }
      ClusteredShare share = ClusteredShare.of(clusters, Optional.empty()).orElseThrow();
      double total = share.effectiveTotal(0.95).orElseThrow();
      assertThat(total).isPositive().isLessThanOrEqualTo(share.pooled().total());
      Interval wide = Proportion.wilson(share.pooled().share(), total, 0.95);
      Interval narrow = Proportion.wilson(share.pooled(), 0.95);
      assertThat(wide.upper() - wide.lower())
          .isGreaterThanOrEqualTo(narrow.upper() - narrow.lower());
    }
  }

  @Test
  void wholeTotalsGiveTheIntervalsOfCounts() {
    Count count = new Count(7, 90);
    double p = count.share();
    assertThat(Proportion.wilson(p, 90, 0.9)).isEqualTo(Proportion.wilson(count, 0.9));
    same(Proportion.clopperPearson(p, 90, 0.9), Proportion.clopperPearson(count, 0.9));
    same(Proportion.jeffreys(p, 90, 0.9), Proportion.jeffreys(count, 0.9));
    assertThat(Proportion.clopperPearson(0, 9.5, 0.9).lower()).isZero();
    assertThat(Proportion.jeffreys(1, 9.5, 0.9).upper()).isEqualTo(1);
    assertThatThrownBy(() -> Proportion.wilson(1.1, 9, 0.9))
        .isInstanceOf(IllegalArgumentException.class);
    assertThatThrownBy(() -> Proportion.jeffreys(0.1, 0, 0.9))
        .isInstanceOf(IllegalArgumentException.class);
  }

  private static void same(Interval found, Interval expected) {
    assertThat(found.lower()).isCloseTo(expected.lower(), within(1e-13));
    assertThat(found.upper()).isCloseTo(expected.upper(), within(1e-13));
  }

  /** Loads whose rate is drawn from a beta distribution of some correlation. */
  @ParameterizedTest
  @CsvSource({
    "10, 28, 0.1, 0.3",
    "30, 28, 0.01, 0.3",
    "30, 28, 0.02, 0.3",
    "30, 28, 0.1, 0.1",
    "30, 4, 0.02, 1",
    "100, 4, 0.02, 0.3",
    "100, 4, 0.02, 0",
    "100, 2, 0.1, 1",
    "100, 28, 0.1, 0.3"
  })
  void coversTheRateOfLoads(int loads, int cavities, double rate, double correlation) {
    Random random = new Random(7);
    int runs = 3000;
    int held = 0;
    for (int run = 0; run < runs; run++) {
      List<Count> counts = new ArrayList<>();
      for (int load = 0; load < loads; load++) {
        double own = rate(rate, correlation, random.nextDouble());
        int x = 0;
        for (int cavity = 0; cavity < cavities; cavity++) {
          x += random.nextDouble() < own ? 1 : 0;
        }
        counts.add(new Count(x, cavities));
      }
      ClusteredShare share = ClusteredShare.of(counts, Optional.empty()).orElseThrow();
      Interval interval =
          Proportion.wilson(share.pooled().share(), share.effectiveTotal(0.95).orElseThrow(), 0.95);
      held += interval.lower() <= rate && rate <= interval.upper() ? 1 : 0;
    }
    assertThat((double) held / runs).isGreaterThan(0.92);
  }

  private static double rate(double rate, double correlation, double u) {
    if (correlation == 0) {
      return rate;
    }
    if (correlation == 1) {
      return u < rate ? 1 : 0;
    }
    double s = (1 - correlation) / correlation;
    return BetaDistribution.of(rate * s, (1 - rate) * s).inverseCumulativeProbability(u);
  }
}
