package org.tarebook.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Random;
import org.apache.commons.statistics.distribution.TDistribution;
import org.junit.jupiter.api.Test;
import org.tarebook.stats.Proportion.Count;

class OverdispersionTests {

  @Test
  void isPearsonsChiSquareOverItsDegrees() {
    // Shares 0.1 and 0.3 around 0.2: each excess 10 of variance 100 * 0.2 * 0.8 = 16.
    Overdispersion shifts =
        Overdispersion.of(List.of(new Count(10, 100), new Count(30, 100))).orElseThrow();
    assertThat(shifts.pooled()).isEqualTo(new Count(40, 200));
    assertThat(shifts.dispersion()).isCloseTo(2 * 100 / 16.0, within(1e-12));
    assertThat(shifts.groups()).isEqualTo(2);
  }

  @Test
  void intervalIsWilsonsWithFewerItemsAndStudentsQuantile() {
    List<Count> counts = new ArrayList<>();
    for (int i = 0; i < 10; i++) {
      counts.add(new Count(i % 2 == 0 ? 5 : 25, 100));
    }
    Overdispersion shifts = Overdispersion.of(counts).orElseThrow();
    double n = 1000 / shifts.dispersion();
    double t = TDistribution.of(9).inverseSurvivalProbability(0.025);
    double p = 0.15;
    double root = t * Math.sqrt(p * (1 - p) / n + t * t / (4 * n * n));
    double scale = 1 + t * t / n;
    Interval interval = shifts.interval(0.95);
    assertThat(interval.lower()).isCloseTo((p + t * t / (2 * n) - root) / scale, within(1e-14));
    assertThat(interval.upper()).isCloseTo((p + t * t / (2 * n) + root) / scale, within(1e-14));
  }

  @Test
  void asManyIndependentItemsGiveTheSameInterval() {
    Overdispersion shifts =
        Overdispersion.of(List.of(new Count(10, 100), new Count(30, 100), new Count(9, 40)))
            .orElseThrow();
    for (double least : new double[] {1, 3, 50}) {
      Interval same =
          Proportion.score(shifts.pooled(), shifts.effectiveTotal(0.95, least), 1.959963984540054);
      assertThat(same.lower()).isCloseTo(shifts.interval(0.95, least).lower(), within(1e-12));
      assertThat(same.upper()).isCloseTo(shifts.interval(0.95, least).upper(), within(1e-12));
    }
    assertThatThrownBy(() -> shifts.effectiveTotal(0.95, 0.5)).hasMessageContaining("at least 1");
  }

  @Test
  void isNeverNarrowerThanTheIntervalThatTakesItemsAsIndependent() {
    Random random = new Random(5);
    for (int run = 0; run < 500; run++) {
      List<Count> counts = new ArrayList<>();
      for (int i = 0; i < 2 + random.nextInt(20); i++) {
        int n = 1 + random.nextInt(300);
        counts.add(new Count(random.nextInt(n + 1), n));
      }
      Overdispersion shifts = Overdispersion.of(counts).orElseThrow();
      Interval simple = Proportion.wilson(shifts.pooled(), 0.95);
      Interval wide = shifts.interval(0.95);
      assertThat(wide.upper() - wide.lower())
          .isGreaterThanOrEqualTo(simple.upper() - simple.lower());
      assertThat(wide.lower()).isBetween(0.0, shifts.pooled().share());
      assertThat(wide.upper()).isBetween(shifts.pooled().share(), 1.0);
      Collections.shuffle(counts, random);
      assertThat(Overdispersion.of(counts)).contains(shifts);
    }
  }

  /** Shifts whose true rates differ: the interval covers, Wilson's does not. */
  @Test
  void coversTheRateWhenShiftsDiffer() {
    Random random = new Random(77);
    int runs = 3000;
    int wide = 0;
    int simple = 0;
    for (int run = 0; run < runs; run++) {
      List<Count> counts = new ArrayList<>();
      for (int shift = 0; shift < 12; shift++) {
        double rate = random.nextBoolean() ? 0.02 : 0.10;
        int x = 0;
        for (int item = 0; item < 200; item++) {
          x += random.nextDouble() < rate ? 1 : 0;
        }
        counts.add(new Count(x, 200));
      }
      Overdispersion shifts = Overdispersion.of(counts).orElseThrow();
      wide += holds(shifts.interval(0.95)) ? 1 : 0;
      simple += holds(Proportion.wilson(shifts.pooled(), 0.95)) ? 1 : 0;
    }
    assertThat((double) wide / runs).isBetween(0.93, 0.975);
    assertThat((double) simple / runs).isLessThan(0.75);
  }

  @Test
  void isAbsentForOneGroupAndOneWhenNothingWasCounted() {
    assertThat(Overdispersion.of(List.of(new Count(1, 10)))).isEmpty();
    Overdispersion none =
        Overdispersion.of(List.of(new Count(0, 10), new Count(0, 30))).orElseThrow();
    assertThat(none.dispersion()).isEqualTo(1.0);
    assertThat(none.interval(0.95).lower()).isEqualTo(0.0);
    Overdispersion all =
        Overdispersion.of(List.of(new Count(10, 10), new Count(30, 30))).orElseThrow();
    assertThat(all.interval(0.95).upper()).isEqualTo(1.0);
  }

  private static boolean holds(Interval interval) {
    return interval.lower() <= 0.06 && 0.06 <= interval.upper();
  }

  @Test
  void intervalAllowsForTheDesignEffectOfSmallerClusters() {
    Overdispersion alike =
        Overdispersion.of(List.of(new Count(10, 100), new Count(10, 100))).orElseThrow();
    Overdispersion fewer =
        Overdispersion.of(List.of(new Count(5, 50), new Count(5, 50))).orElseThrow();
    assertThat(alike.interval(0.95, 2)).isEqualTo(fewer.interval(0.95));
    assertThat(alike.interval(0.95, 1)).isEqualTo(alike.interval(0.95));
    assertThatThrownBy(() -> alike.interval(0.95, 0.9))
        .isInstanceOf(IllegalArgumentException.class);
  }
}
