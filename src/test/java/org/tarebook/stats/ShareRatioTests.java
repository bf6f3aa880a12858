package org.tarebook.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import org.apache.commons.statistics.distribution.BinomialDistribution;
import org.junit.jupiter.api.Test;
import org.tarebook.stats.Proportion.Count;

/** The ratio of two shares and its interval. */
class ShareRatioTests {

  private static ShareComparison of(long x, long n, long y, long m) {
    return ShareComparison.of(new Count(x, n), new Count(y, m));
  }

  @Test
  void ratioTurnedRoundIsOneOverIt() {
    ShareComparison one = of(7, 34, 1, 34);
    ShareComparison other = of(1, 34, 7, 34);
    assertThat(one.ratio().orElseThrow()).isCloseTo(7, within(1e-12));
    Interval interval = one.ratioInterval(0.95).orElseThrow();
    Interval turned = other.ratioInterval(0.95).orElseThrow();
    assertThat(interval.lower()).isCloseTo(1 / turned.upper(), within(1e-12));
    assertThat(interval.upper()).isCloseTo(1 / turned.lower(), within(1e-10));
    // By hand from the score intervals 0.10350 to 0.36824 and 0.00521 to 0.14917.
    assertThat(interval.lower()).isCloseTo(1.153, within(0.002));
    assertThat(interval.upper()).isCloseTo(42.0, within(0.2));
  }

  @Test
  void nothingCountedHasNoUpperLimitOrNoLower() {
    assertThat(of(3, 20, 0, 20).ratio()).isEmpty();
    assertThat(of(3, 20, 0, 20).ratioInterval(0.95)).isEmpty();
    ShareComparison none = of(0, 20, 3, 20);
    assertThat(none.ratio()).contains(0.0);
    Interval interval = none.ratioInterval(0.95).orElseThrow();
    assertThat(interval.lower()).isZero();
    assertThat(interval.upper()).isFinite().isGreaterThan(0.3);
  }

  @Test
  void intervalHoldsItsConfidenceByExactSums() {
    for (int[] sizes : List.of(new int[] {50, 50}, new int[] {100, 300}, new int[] {300, 100})) {
      for (double[] shares :
          List.of(
              new double[] {0.1, 0.1},
              new double[] {0.3, 0.1},
              new double[] {0.05, 0.2},
              new double[] {0.02, 0.02})) {
        assertThat(coverage(sizes[0], shares[0], sizes[1], shares[1]))
            .as("%d at %s, %d at %s", sizes[0], shares[0], sizes[1], shares[1])
            .isBetween(0.93, 0.999);
      }
    }
  }

  /** The share of tables with a ratio whose interval holds the true one. */
  private static double coverage(int n, double p, int m, double q) {
    BinomialDistribution first = BinomialDistribution.of(n, p);
    BinomialDistribution second = BinomialDistribution.of(m, q);
    double held = 0;
    double all = 0;
    for (int x = 0; x <= n; x++) {
      for (int y = 1; y <= m; y++) {
        double chance = first.probability(x) * second.probability(y);
        if (chance > 1e-12) {
          Interval interval = of(x, n, y, m).ratioInterval(0.95).orElseThrow();
          all += chance;
          held += interval.lower() <= p / q && p / q <= interval.upper() ? chance : 0;
        }
      }
    }
    return held / all;
  }
}
