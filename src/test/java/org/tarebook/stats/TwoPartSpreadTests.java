package org.tarebook.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import org.junit.jupiter.api.Test;

class TwoPartSpreadTests {

  /** Of single readings both are the noncentral t and the chi-square interval. */
  @Test
  void ofSingleReadingsItIsTheExactInterval() {
    for (int n : new int[] {2, 5, 20, 200}) {
      for (double index : new double[] {-0.5, 0.3, 1.33, 3}) {
        TwoPartSpread single = new TwoPartSpread(1, n - 1.0, 0, 1, n);
        SigmaEstimate sigma = new SigmaEstimate(1, n - 1.0, Estimator.TOTAL, 1);
        Interval exact = CapabilityIntervals.ofOneSide(index, sigma, n, 0.95);
        for (Interval own :
            List.of(
                single.ofMinimum(3 * index, null, 0.95), single.ofMinimum(null, 3 * index, 0.95))) {
          assertThat(own.lower()).isCloseTo(exact.lower(), within(1e-6 * (1 + Math.abs(index))));
          assertThat(own.upper()).isCloseTo(exact.upper(), within(1e-6 * (1 + Math.abs(index))));
        }
        if (index > 0) {
          Interval chi = CapabilityIntervals.ofPotential(index, sigma, 0.95);
          assertThat(single.ofPotential(6 * index, 0.95).lower())
              .isCloseTo(chi.lower(), within(1e-12));
          assertThat(single.ofPotential(6 * index, 0.95).upper())
              .isCloseTo(chi.upper(), within(1e-12));
        }
      }
    }
  }

  /** What is left is the chi-square interval of sigma. Work is bounded however far the limit is. */
  @Test
  void aMeanKnownFarBetterThanSigma() {
    for (double far : new double[] {1e5, 1e9, 1e15}) {
      near(new TwoPartSpread(1, 1, 0, 1, 2), far, 5e-4);
      near(new TwoPartSpread(1, 19, 0, 1, 20), far, 5e-4);
      near(new TwoPartSpread(1, 5_000, 0, 1, 5_001), far, 5e-4);
    }
    for (double means : new double[] {0, 1e-300, 1e-9}) {
      near(new TwoPartSpread(means, 19, 1, 80, 20), 4, 1e-2);
      near(new TwoPartSpread(means, 1, 1, 8, 2), 1e9, 1e-2);
    }
    for (double far : new double[] {0, 1e-9, 1e9, 1e20}) {
      for (double means : new double[] {0, 1e-300, 1e-9, 1}) {
        TwoPartSpread parts = new TwoPartSpread(means, 19, 1, 80, 20);
        Interval about = parts.aboutTarget(6, far, 0.95);
        double index = 1 / Math.hypot(far, Math.sqrt(1 + means));
        assertThat(index).isBetween(about.lower(), about.upper());
      }
    }
  }

  @Test
  void aMeanThatIsSureToStandOnTheLimit() {
    for (double degrees : new double[] {1, 5, 1e6}) {
      Interval index = new TwoPartSpread(0, degrees, 1, degrees, 2).ofMinimum(0.0, 8.0, 0.95);
      assertThat(index.lower()).isCloseTo(0, within(1e-7));
      assertThat(index.upper()).isCloseTo(0, within(1e-7));
    }
  }

  private static void near(TwoPartSpread parts, double far, double relative) {
    Interval chi = parts.ofPotential(2 * far, 0.95);
    Interval own = parts.ofMinimum(far, null, 0.95);
    assertThat(own.lower()).isCloseTo(chi.lower(), within(relative * chi.lower()));
    assertThat(own.upper()).isCloseTo(chi.upper(), within(relative * chi.upper()));
  }

  // By hand: means 1, 3, 5 of two readings a unit apart from each: squares inside 2 each, between
  // 16.
  @Test
  void partsByHand() {
    List<Subgroup> subgroups = List.of(subgroup(0, 2), subgroup(2, 4), subgroup(4, 6));
    TwoPartSpread parts = TwoPartSpread.of(SubgroupSums.of(subgroups)).orElseThrow();
    assertThat(parts.ofMeans()).isCloseTo(16 / 2.0 / 2, within(1e-14));
    assertThat(parts.inside()).isCloseTo(6 / 3.0 / 2, within(1e-14));
    assertThat(parts.degreesOfMeans()).isEqualTo(2);
    assertThat(parts.degreesInside()).isEqualTo(3);
    assertThat(parts.means()).isEqualTo(3);
    assertThat(TwoPartSpread.of(SubgroupSums.of(subgroups.subList(0, 1)))).isEmpty();
    assertThatThrownBy(() -> new TwoPartSpread(1, 0, 1, 1, 3))
        .hasMessageContaining("degrees of freedom of means");
  }

  @Test
  void theNearerLimitSetsTheUpperEndAndBothTheLower() {
    TwoPartSpread parts = new TwoPartSpread(0.5, 9, 0.4, 40, 10);
    Interval centred = parts.ofMinimum(4.0, 4.0, 0.95);
    Interval side = parts.ofMinimum(4.0, null, 0.95);
    assertThat(centred.upper()).isEqualTo(side.upper());
    assertThat(centred.lower()).isLessThan(side.lower());
    assertThat(parts.ofMinimum(4.0, 40.0, 0.95).lower()).isCloseTo(side.lower(), within(1e-6));
  }

  private static Subgroup subgroup(long first, long second) {
    return Subgroup.of(first * 1_000_000_000, second * 1_000_000_000);
  }
}
