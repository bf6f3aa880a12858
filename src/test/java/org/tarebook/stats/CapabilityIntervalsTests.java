package org.tarebook.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;
import org.junit.jupiter.params.provider.ValueSource;

class CapabilityIntervalsTests {

  static List<Map<String, String>> limits() {
    return ReferenceTable.rows("index_confidence_limits.csv");
  }

  @ParameterizedTest
  @MethodSource("limits")
  void reproducesTabledLimits(Map<String, String> row) {
    long n = Long.parseLong(row.get("n"));
    double index = ReferenceTable.number(row, "index_hat");
    SigmaEstimate sigma = new SigmaEstimate(1, n - 1, Estimator.TOTAL, 1);

    // A two-sided interval has each of the tabled one-sided limits at the tail it leaves out.
    String[] names = {"90", "95", "97_5", "99"};
    double[] confidences = {0.8, 0.9, 0.95, 0.98};
    for (int i = 0; i < names.length; i++) {
      Interval interval = CapabilityIntervals.ofOneSide(index, sigma, n, confidences[i]);
      String lower = (i == 0 ? "exact_onesided_lower_" : "exact_lower_") + names[i];
      String upper = (i == 0 ? "exact_onesided_upper_" : "exact_upper_") + names[i];
      check("ofOneSide", interval, row, lower, upper);
    }
    check(
        "ofMinimum",
        CapabilityIntervals.ofMinimum(index, sigma, n, 0.95),
        row,
        "bissell_lower_two_sided_95",
        "bissell_upper_two_sided_95");
    check(
        "ofPotential",
        CapabilityIntervals.ofPotential(index, sigma, 0.95),
        row,
        "Cp_chi2_lower_two_sided_95",
        "Cp_chi2_upper_two_sided_95");
  }

  // The table has ten decimals.
  private static void check(
      String function, Interval own, Map<String, String> row, String lower, String upper) {
    String name = "CapabilityIntervals." + function;
    String source = "index_confidence_limits.csv";
    Accuracy.absolute(name, source, own.lower(), ReferenceTable.number(row, lower), 1e-10);
    Accuracy.absolute(name, source, own.upper(), ReferenceTable.number(row, upper), 1e-10);
  }

  // mpmath 1.3.0 at 30 digits, quadrature over the chi distribution, for large noncentralities.
  @ParameterizedTest
  @CsvSource({
    "10000, 5, 4.930387535987861, 5.069597182037577",
    "10000, 1.33, 1.310438038265259, ",
    "1000000, 0.2, , 0.2007096458823463",
  })
  void holdsForManyReadingsAndLargeIndices(long n, double index, Double lower, Double upper) {
    SigmaEstimate sigma = new SigmaEstimate(1, n - 1, Estimator.TOTAL, 1);
    Interval interval = CapabilityIntervals.ofOneSide(index, sigma, n, 0.95);
    if (lower != null) {
      assertThat(interval.lower()).isCloseTo(lower, within(1e-10));
    }
    if (upper != null) {
      assertThat(interval.upper()).isCloseTo(upper, within(1e-10));
    }
  }

  @Test
  void negativeIndicesMirrorPositiveOnes() {
    SigmaEstimate sigma = new SigmaEstimate(1, 19, Estimator.TOTAL, 1);
    Interval positive = CapabilityIntervals.ofOneSide(0.7, sigma, 20, 0.9);
    Interval negative = CapabilityIntervals.ofOneSide(-0.7, sigma, 20, 0.9);
    assertThat(negative.lower()).isCloseTo(-positive.upper(), within(1e-12));
    assertThat(negative.upper()).isCloseTo(-positive.lower(), within(1e-12));
  }

  /** With a huge index the mean is as good as known and only the spread's chi-square is left. */
  @ParameterizedTest
  @ValueSource(doubles = {1e4, 1e6, 1e9})
  void endsInTheChiSquareIntervalForHugeIndices(double index) {
    SigmaEstimate sigma = new SigmaEstimate(1, 24, Estimator.TOTAL, 1);
    Interval spreadOnly = CapabilityIntervals.ofPotential(index, sigma, 0.95);
    Interval exact = CapabilityIntervals.ofOneSide(index, sigma, 25, 0.95);
    assertThat(exact.lower() / spreadOnly.lower()).isCloseTo(1, within(1e-7));
    assertThat(exact.upper() / spreadOnly.upper()).isCloseTo(1, within(1e-7));
  }

  /** Both ways to integrate agree where either may be used. */
  @Test
  void isContinuousWhereTheQuadratureChanges() {
    for (double degrees : new double[] {1, 2.5, 24, 999}) {
      double t = 30 * Math.sqrt(degrees);
      for (double delta : new double[] {0.5 * t, 0.9 * t, t, 1.2 * t}) {
        assertThat(NoncentralT.cumulative(t, degrees, delta))
            .isCloseTo(NoncentralT.cumulative(Math.nextUp(t), degrees, delta), within(1e-11));
      }
    }
  }

  // Student's t at noncentrality 0: t(0.975; 10) = 2.228138851986274 (any table, 16 digits R qt).
  @Test
  void isStudentsTWithoutNoncentrality() {
    assertThat(NoncentralT.cumulative(2.228138851986274, 10, 0)).isCloseTo(0.975, within(1e-13));
    assertThat(NoncentralT.cumulative(-2.228138851986274, 10, 0)).isCloseTo(0.025, within(1e-13));
    // Cauchy: P(T <= 1) = 3/4.
    assertThat(NoncentralT.cumulative(1, 1, 0)).isCloseTo(0.75, within(1e-13));
  }

  /**
   * Intervals from ranges hold what they promise: simulated coverage of 95 % within four standard
   * errors, for few subgroups, where a wrong scale would show.
   */
  @Test
  void intervalsFromRangesCoverWhatTheyPromise() {
    Random random = new Random(31);
    int runs = 4000;
    int covered = 0;
    for (int run = 0; run < runs; run++) {
      List<Subgroup> subgroups = new ArrayList<>();
      for (int i = 0; i < 3; i++) {
        long[] readings = new long[3];
        for (int j = 0; j < readings.length; j++) {
          readings[j] = Math.round(1e9 * random.nextGaussian());
        }
        subgroups.add(Subgroup.of(readings));
      }
      SigmaEstimate sigma = Spread.meanRange(subgroups).orElseThrow();
      // True Cp is 1: the tolerance is six true sigmas wide.
      Interval interval = CapabilityIntervals.ofPotential(1 / sigma.sigma(), sigma, 0.95);
      if (interval.lower() <= 1 && 1 <= interval.upper()) {
        covered++;
      }
    }
    assertThat((double) covered / runs).isCloseTo(0.95, within(4 * Math.sqrt(0.0475 / runs)));
  }

  @Test
  void refusesWhatGivesNoInterval() {
    SigmaEstimate sigma = new SigmaEstimate(1, 19, Estimator.TOTAL, 1);
    SigmaEstimate flat = new SigmaEstimate(0, 19, Estimator.TOTAL, 1);
    assertThatThrownBy(() -> CapabilityIntervals.ofPotential(1, sigma, 1))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessage("confidence is 1.0, must lie between 0 and 1, such as 0.95");
    assertThatThrownBy(() -> CapabilityIntervals.ofPotential(1, flat, 0.95))
        .hasMessageContaining("sigma is 0.0");
    assertThatThrownBy(() -> CapabilityIntervals.ofMinimum(1, sigma, 1, 0.95))
        .hasMessage("readings is 1, an interval takes at least 2");
    assertThatThrownBy(() -> CapabilityIntervals.ofOneSide(Double.NaN, sigma, 20, 0.95))
        .hasMessageContaining("index is NaN");
    assertThatThrownBy(() -> CapabilityIntervals.ofPotential(-1, sigma, Double.NaN))
        .hasMessageContaining("index is -1.0");
  }
}
