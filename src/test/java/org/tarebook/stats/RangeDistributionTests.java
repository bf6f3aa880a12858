package org.tarebook.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.Map;
import org.apache.commons.statistics.distribution.NormalDistribution;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.junit.jupiter.params.provider.ValueSource;

class RangeDistributionTests {

  static List<Map<String, String>> quantiles() {
    return ReferenceTable.rows("range_quantiles.csv");
  }

  @ParameterizedTest
  @MethodSource("quantiles")
  void agreesWithComputedQuantiles(Map<String, String> row) {
    int n = Integer.parseInt(row.get("n"));
    row.forEach(
        (column, cell) -> {
          if (column.startsWith("W_")) {
            double probability = Double.parseDouble(column.substring(2));
            Accuracy.absolute(
                "RangeDistribution.quantile",
                "range_quantiles.csv",
                RangeDistribution.quantile(probability, n),
                Double.parseDouble(cell),
                1e-11);
          }
        });
  }

  // Range of two: |N(0, 2)|.
  @Test
  void knowsTheClosedFormOfTwo() {
    NormalDistribution normal = NormalDistribution.of(0, 1);
    for (double w = 0.01; w < 7; w += 0.37) {
      double expected = normal.probability(-w / Math.sqrt(2), w / Math.sqrt(2));
      assertThat(RangeDistribution.cumulative(w, 2)).isCloseTo(expected, within(1e-13));
    }
    double median = Math.sqrt(2) * normal.inverseCumulativeProbability(0.75);
    assertThat(RangeDistribution.quantile(0.5, 2)).isCloseTo(median, within(1e-12));
  }

  // E(W) and E(W^2) from the distribution instead of from the density: another way to d2 and d3.
  @ParameterizedTest
  @ValueSource(ints = {2, 3, 4, 5, 7, 10, 13, 17, 25, 33, 50, 64, 77, 99, 100})
  void integratesToTheFactors(int n) {
    double mean = 0;
    double square = 0;
    double step = 1.0 / 32;
    // Romberg's first step mends the trapezoid rule's error at 0, where the integrand starts.
    double coarseMean = 0;
    double coarseSquare = 0;
    for (int i = 0; i * step <= 14; i++) {
      double w = i * step;
      double above = 1 - RangeDistribution.cumulative(w, n);
      double weight = i == 0 ? 0.5 : 1;
      mean += weight * above * step;
      square += weight * 2 * w * above * step;
      if (i % 2 == 0) {
        coarseMean += weight * above * 2 * step;
        coarseSquare += weight * 2 * w * above * 2 * step;
      }
    }
    double d2 = n == 2 ? (4 * mean - coarseMean) / 3 : mean;
    double second = (4 * square - coarseSquare) / 3;
    // The rule errs at 0 by a power of w^(n-1), so only there and for small n.
    double tolerance = n <= 5 ? 1e-6 : 1e-10;
    assertThat(Factors.d2(n)).isCloseTo(d2, within(tolerance));
    assertThat(Factors.d3(n)).isCloseTo(Math.sqrt(second - d2 * d2), within(tolerance));
  }

  @Test
  void holdsAtBothEnds() {
    assertThat(RangeDistribution.cumulative(0, 5)).isZero();
    assertThat(RangeDistribution.cumulative(-1, 5)).isZero();
    assertThat(RangeDistribution.cumulative(Double.POSITIVE_INFINITY, 5))
        .isCloseTo(1, within(1e-13));
  }

  @ParameterizedTest
  @MethodSource("exactFactors")
  void medianScattersAsComputed(Map<String, String> row) {
    int n = Integer.parseInt(row.get("n"));
    check("MedianSpread.sd", MedianSpread.sd(n), row, "sd_median", 1e-11);
    check(
        "MedianSpread.sd over d2",
        3 * MedianSpread.sd(n) / Factors.d2(n),
        row,
        "A_median_range(3*sd_median/d2)",
        1e-10);
    ControlLimits sd = ControlLimits.ofSd(1, n);
    check("ControlLimits.ofSd", sd.lower(), row, "B5", 1e-12);
    check("ControlLimits.ofSd", sd.upper(), row, "B6", 1e-12);
    ControlLimits range = ControlLimits.ofRange(1, n);
    check("ControlLimits.ofRange", range.lower(), row, "D1", 1e-12);
    check("ControlLimits.ofRange", range.upper(), row, "D2", 1e-12);
  }

  private static void check(
      String function, double own, Map<String, String> row, String column, double allowed) {
    Accuracy.absolute(
        function, "factors_exact.csv", own, ReferenceTable.number(row, column), allowed);
  }

  // J. L. Hodges and E. L. Lehmann (1967): the median of an even number scatters as that of one
  // more; sqrt(pi / 2 n) is the limit of both.
  @Test
  void mediansOfManyReadingsNearTheirLimit() {
    assertThat(MedianSpread.sd(1000)).isCloseTo(Math.sqrt(Math.PI / 2000), within(3e-5));
    assertThat(MedianSpread.sd(998)).isCloseTo(MedianSpread.sd(999), within(1e-7));
    assertThat(MedianSpread.sd(98)).isCloseTo(MedianSpread.sd(99), within(1e-5));
  }

  static List<Map<String, String>> exactFactors() {
    return ReferenceTable.rows("factors_exact.csv").stream()
        .filter(row -> !row.get("sd_median").isEmpty())
        .toList();
  }

  @Test
  void refusesWhatHasNoRange() {
    assertThatThrownBy(() -> RangeDistribution.cumulative(1, 1))
        .hasMessage("range of 1 values, must be 2 to 100");
    assertThatThrownBy(() -> RangeDistribution.quantile(0, 5))
        .hasMessage("probability is 0.0, must lie between 0 and 1");
    assertThatThrownBy(() -> RangeDistribution.cumulative(Double.NaN, 5))
        .hasMessageContaining("NaN");
    assertThatThrownBy(() -> MedianSpread.sd(1))
        .hasMessage("median of 1 readings, must be 2 to 1000");
    assertThatThrownBy(() -> MedianSpread.sd(1001)).hasMessageContaining("must be 2 to 1000");
  }
}
