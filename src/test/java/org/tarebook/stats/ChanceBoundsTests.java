package org.tarebook.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;

class ChanceBoundsTests {

  /** Quantiles of t, F and chi-square by scipy 1.17.1. */
  @Test
  void areThoseOfTheReference() {
    assertThat(ChanceBounds.farthest(40, 30, 117.6, 0.001))
        .isCloseTo(4.461561116735488, within(1e-9));
    assertThat(ChanceBounds.farthest(1_000_000, 1000, 3.5, 0.001))
        .isCloseTo(536.0237743785859, within(1e-3));
    assertThat(ChanceBounds.largestSd(5, 100, 120, 0.001))
        .isCloseTo(2.821527033484431, within(1e-9));
    assertThat(ChanceBounds.meanSquare(180, 30, 120, 0.001))
        .isCloseTo(2.0593242166510946, within(1e-9));
  }

  /** Of 25 later points of an unchanged process, by limits of 25, at a chance that can be seen. */
  @Test
  void holdAsOftenAsTheySay() {
    Random random = new Random(5);
    int tries = 4000;
    int beyond = 0;
    int scattered = 0;
    for (int i = 0; i < tries; i++) {
      Moments baseline = Moments.of(normal(random, 25));
      double farthest = 0;
      double squares = 0;
      for (long nanos : normal(random, 25)) {
        double z = (nanos / 1e9 - baseline.mean()) / baseline.sd();
        farthest = Math.max(farthest, Math.abs(z));
        squares += z * z;
      }
      beyond += farthest > ChanceBounds.farthest(25, 25, 24, 0.05) ? 1 : 0;
      scattered += squares / 25 > ChanceBounds.meanSquare(25, 25, 24, 0.05) ? 1 : 0;
    }
    assertThat(beyond / (double) tries).isBetween(0.03, 0.055);
    assertThat(scattered / (double) tries).isBetween(0.02, 0.055);
  }

  private static long[] normal(Random random, int count) {
    long[] nanos = new long[count];
    for (int i = 0; i < count; i++) {
      nanos[i] = Math.round(1e9 * random.nextGaussian());
    }
    return nanos;
  }

  /** By hand: means 1 and 4 about 2, sigma 2; twice 1 and twice 4, over 4, over two subgroups. */
  @Test
  void meanSquareCountsEachSubgroupByItsReadings() {
    SubgroupSums sums =
        SubgroupSums.of(
            List.of(
                Subgroup.of(new long[] {0, 2_000_000_000L}),
                Subgroup.of(new long[] {4_000_000_000L, 4_000_000_000L})));
    assertThat(sums.meanSquare(2, 2)).isCloseTo((2 * 1 + 2 * 4) / 4.0 / 2, within(1e-12));
  }

  @Test
  void refuseWhatIsNoQuestion() {
    assertThatIllegalArgumentException().isThrownBy(() -> ChanceBounds.farthest(0, 30, 20, 0.001));
    assertThatIllegalArgumentException().isThrownBy(() -> ChanceBounds.farthest(40, 0, 20, 0.001));
    assertThatIllegalArgumentException().isThrownBy(() -> ChanceBounds.farthest(40, 30, 0, 0.001));
    assertThatIllegalArgumentException().isThrownBy(() -> ChanceBounds.farthest(40, 30, 20, 0));
    assertThatIllegalArgumentException().isThrownBy(() -> ChanceBounds.largestSd(1, 30, 20, 0.001));
    assertThatIllegalArgumentException()
        .isThrownBy(() -> ChanceBounds.meanSquare(0, 30, 20, 0.001));
  }
}
