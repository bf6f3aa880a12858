package org.tarebook.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;
import static org.junit.jupiter.api.Assertions.assertTimeoutPreemptively;

import java.time.Duration;
import java.util.Random;
import org.apache.commons.statistics.distribution.HypergeometricDistribution;
import org.apache.commons.statistics.distribution.NormalDistribution;
import org.junit.jupiter.api.Test;
import org.tarebook.stats.Proportion.Count;

class FisherExactTests {

  @Test
  void publishedTablesAreMet() {
    // R. A. Fisher's tea: 3 of 4 and 1 of 4, two-sided 34 / 70.
    assertThat(FisherExact.chance(new Count(3, 4), new Count(1, 4)))
        .isCloseTo(34.0 / 70, within(1e-13));
    // His criminal twins, in the manual of R, fisher.test: 0.0005367.
    assertThat(FisherExact.chance(new Count(2, 17), new Count(10, 13)))
        .isCloseTo(0.0005367, within(5e-8));
  }

  @Test
  void chanceIsThatOfAllTablesThatAreNoLikelier() {
    Random random = new Random(11);
    for (int i = 0; i < 300; i++) {
      int n = 1 + random.nextInt(60);
      int m = 1 + random.nextInt(60);
      Count first = new Count(random.nextInt(n + 1), n);
      Count second = new Count(random.nextInt(m + 1), m);
      int counted = (int) (first.counted() + second.counted());
      HypergeometricDistribution tables = HypergeometricDistribution.of(n + m, counted, n);
      double limit = tables.probability((int) first.counted()) * (1 + 1e-7);
      double sum = 0;
      for (int k = tables.getSupportLowerBound(); k <= tables.getSupportUpperBound(); k++) {
        sum += tables.probability(k) <= limit ? tables.probability(k) : 0;
      }
      assertThat(FisherExact.chance(first, second))
          .as(first + " " + second)
          .isCloseTo(Math.min(1, sum), within(1e-11));
      assertThat(FisherExact.chance(second, first))
          .isCloseTo(FisherExact.chance(first, second), within(1e-11));
    }
  }

  /** By scipy 1.17, fisher_exact; and of so many items as an int can hold, by the normal curve. */
  @Test
  void manyItemsTakeNoLongTime() {
    assertThat(FisherExact.chance(new Count(50_000, 100_000), new Count(50_300, 100_000)))
        .isCloseTo(0.18116548544759448, within(1e-10));
    int half = Integer.MAX_VALUE / 2;
    double chance =
        assertTimeoutPreemptively(
            Duration.ofSeconds(5),
            () ->
                FisherExact.chance(
                    new Count(half / 2 - 30_000, half), new Count(half / 2 + 30_000, half)));
    double z = (60_000 - 1) / Math.sqrt(half / 2.0);
    assertThat(chance)
        .isCloseTo(2 * NormalDistribution.of(0, 1).survivalProbability(z), within(1e-6));
  }

  @Test
  void equalOrEmptySidesDoNotDiffer() {
    assertThat(FisherExact.chance(new Count(0, 5), new Count(0, 9))).isEqualTo(1);
    assertThat(FisherExact.chance(new Count(5, 5), new Count(9, 9))).isEqualTo(1);
    assertThat(FisherExact.chance(new Count(500_000, 1_000_000), new Count(500_000, 1_000_000)))
        .isEqualTo(1);
    assertThat(FisherExact.chance(new Count(20_000, 1_000_000), new Count(21_000, 1_000_000)))
        .isBetween(0.0, 1e-5);
  }
}
