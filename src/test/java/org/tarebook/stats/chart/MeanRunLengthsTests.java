package org.tarebook.stats.chart;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;
import static org.tarebook.stats.ReferenceTable.number;

import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;
import org.tarebook.stats.Accuracy;
import org.tarebook.stats.ReferenceTable;

class MeanRunLengthsTests {

  static List<Map<String, String>> ewma() {
    return ReferenceTable.rows("arl_ewma.csv");
  }

  // J. M. Lucas and M. S. Saccucci, Technometrics 32 (1990) 1-12, Table 3 and exact values.
  @ParameterizedTest
  @MethodSource("ewma")
  void ewmaMeetsThePublishedTable(Map<String, String> row) {
    Ewma ewma = new Ewma(number(row, "lambda"), number(row, "L"));
    double shift = number(row, "shift");
    double steady = MeanRunLengths.ofSteady(ewma, shift);
    double exact = number(row, "exact_ARL_zero_state_asymptotic_limits");
    Accuracy.absolute("MeanRunLengths.ofSteady", "arl_ewma.csv", steady, exact, 1e-7);
    String printed = row.get("published_Lucas_Saccucci_1990");
    if (!printed.isEmpty()) {
      double value = Double.parseDouble(printed);
      assertThat(steady).isCloseTo(value, within(value >= 100 ? 0.75 : 0.06));
    }
    String varying = row.get("exact_ARL_time_varying_limits");
    if (!varying.isEmpty()) {
      double value = Double.parseDouble(varying);
      Accuracy.absolute(
          "MeanRunLengths.of", "arl_ewma.csv", MeanRunLengths.of(ewma, shift), value, 1e-6);
    }
  }

  static List<Map<String, String>> cusum() {
    return ReferenceTable.rows("arl_cusum.csv");
  }

  // Lucas (1976), Lucas and Crosier (1982), Hawkins (1993) and exact values.
  @ParameterizedTest
  @MethodSource("cusum")
  void cusumMeetsThePublishedTables(Map<String, String> row) {
    double k = number(row, "k");
    double h = number(row, "h");
    double start = number(row, "head_start");
    double shift = number(row, "shift");
    double exact = number(row, "exact_two_sided_ARL");
    double own = MeanRunLengths.ofCusum(k, h, start, shift);
    Accuracy.absolute("MeanRunLengths.ofCusum", "arl_cusum.csv", own, exact, 1e-7);
    assertThat(MeanRunLengths.ofCusum(k, h, start, -shift)).isEqualTo(own);
    double upper = number(row, "exact_one_sided_upper_ARL");
    Accuracy.absolute(
        "MeanRunLengths.ofUpperCusum",
        "arl_cusum.csv",
        MeanRunLengths.ofUpperCusum(k, h, start, shift),
        upper,
        1e-7);
    String printed = row.get("published_two_sided");
    if (!printed.isEmpty()) {
      double value = Double.parseDouble(printed);
      // Hawkins rounds h to two decimals, which moves a run length of 370 by up to 2 %.
      boolean pairs = row.get("published_source").startsWith("Hawkins");
      assertThat(own).isCloseTo(value, within(pairs ? 0.02 * value : value >= 100 ? 0.6 : 0.06));
    }
  }

  static List<Map<String, String>> siegmund() {
    return ReferenceTable.rows("arl_cusum_siegmund.csv");
  }

  // D. Siegmund's approximation, (exp(-2 d b) + 2 d b - 1) / (2 d^2) with b = h + 1.166.
  @ParameterizedTest
  @MethodSource("siegmund")
  void cusumLiesNearSiegmundsApproximation(Map<String, String> row) {
    double own =
        MeanRunLengths.ofUpperCusum(number(row, "k"), number(row, "h"), 0, number(row, "shift"));
    double approximation = number(row, "siegmund_one_sided_upper");
    // It is good to a few percent only.
    assertThat(own).isCloseTo(approximation, within(0.07 * approximation));
  }

  // A sum that falls steadily hardly ever signals: the approximation holds its order of magnitude.
  @Test
  void rareSignalsKeepTheirDigits() {
    double own = MeanRunLengths.ofUpperCusum(0.5, 5, 0, -2);
    assertThat(own).isBetween(5e11, 4e12);
    assertThat(MeanRunLengths.ofUpperCusum(0.5, 5, 2.5, -2))
        .isLessThan(own)
        .isGreaterThan(0.999 * own);
    assertThat(MeanRunLengths.ofUpperCusum(0.5, 8, 0, -6)).isGreaterThan(1e30);
  }

  static List<Map<String, String>> correlated() {
    return ReferenceTable.rows("arl_ar1.csv");
  }

  @ParameterizedTest
  @MethodSource("correlated")
  void correlatedReadingsMeetComputedValues(Map<String, String> row) {
    double phi = number(row, "phi_lag1");
    double exact = number(row, "in_control_ARL_limits_3_sigma_x");
    String function = "MeanRunLengths.ofCorrelated";
    String source = "arl_ar1.csv";
    Accuracy.relative(function, source, MeanRunLengths.ofCorrelated(phi, 3), exact, 2e-9);
    double byRanges =
        number(row, "in_control_ARL_limits_3_MRbar_over_d2_asymptotic(=3 sqrt(1-phi) sigma_x)");
    double own = MeanRunLengths.ofCorrelated(phi, 3 * Math.sqrt(1 - phi));
    Accuracy.relative(function, source, own, byRanges, 2e-9);
  }

  @Test
  void plainChartIsTheLimitOfAll() {
    assertThat(MeanRunLengths.ofCorrelated(0, 3)).isCloseTo(370.3983473449564, within(1e-8));
    assertThat(MeanRunLengths.ofSteady(new Ewma(1, 3), 0))
        .isCloseTo(370.3983473449564, within(1e-7));
    assertThatThrownBy(() -> MeanRunLengths.of(new Ewma(1e-9, 3), 0))
        .hasMessageContaining("must be at least 0.03");
    assertThat(MeanRunLengths.of(new Ewma(1, 3), 0)).isCloseTo(370.3983473449564, within(1e-7));
    assertThatThrownBy(() -> MeanRunLengths.ofCorrelated(1, 3))
        .hasMessage("correlation of neighbours is 1.0, must lie between -1 and 1");
    assertThatThrownBy(() -> MeanRunLengths.ofCorrelated(-1, 3))
        .hasMessage("correlation of neighbours is -1.0, must lie between -1 and 1");
    assertThatThrownBy(() -> MeanRunLengths.ofCusum(0.5, 4, 4, 0))
        .hasMessageContaining("head start");
    assertThatThrownBy(() -> MeanRunLengths.ofSteady(new Ewma(0.2, 3), Double.NaN))
        .hasMessageContaining("shift is NaN");
  }

  @Test
  void anotherUnitOfTheFigureChangesNoRun() {
    RunLengthEquation one = new RunLengthEquation(1, 0.15, 1, 0, 3);
    RunLengthEquation other = new RunLengthEquation(1, 0.3, 2, 0, 6);
    for (double from : new double[] {0, 0.5, 2.9}) {
      assertThat(other.above().applyAsDouble(2 * from))
          .isCloseTo(one.above().applyAsDouble(from), within(1e-13));
      assertThat(other.points().applyAsDouble(2 * from))
          .isCloseTo(one.points().applyAsDouble(from), within(1e-12));
    }
    // Upwards without end every run ends above, downwards none does.
    assertThat(new RunLengthEquation(1, 9, 1, 0, 3).above().applyAsDouble(1))
        .isCloseTo(1, within(1e-9));
    assertThat(new RunLengthEquation(1, -9, 1, 0, 3).above().applyAsDouble(1))
        .isCloseTo(0, within(1e-9));
  }

  // The charts themselves, simulated.
  @Test
  void chartsSignalAsOftenAsComputed() {
    Random random = new Random(71);
    Ewma ewma = new Ewma(0.2, 2.5);
    Cusum cusum = new Cusum(0, 0.5, 3, 1.5);
    int runs = 4000;
    double ewmaSum = 0;
    double cusumSum = 0;
    for (int i = 0; i < runs; i++) {
      double[] x = random.doubles(400).map(u -> 0.75 + random.nextGaussian()).toArray();
      int e = 0;
      List<Ewma.Point> averages = ewma.points(Arrays.copyOf(x, 120), 0, 1);
      while (!averages.get(e).beyond()) {
        e++;
      }
      int c = 0;
      List<Cusum.Point> sums = cusum.points(Arrays.copyOf(x, 200));
      while (!sums.get(c).signal()) {
        c++;
      }
      ewmaSum += e + 1;
      cusumSum += c + 1;
    }
    assertThat(ewmaSum / runs).isCloseTo(MeanRunLengths.of(ewma, 0.75), within(0.5));
    assertThat(cusumSum / runs).isCloseTo(MeanRunLengths.ofCusum(0.5, 3, 1.5, 0.75), within(0.5));
  }

  @Test
  void estimatedLimitsFalselySignalMoreOften() {
    // scipy 1.17.1: 2 * t.sf(3 / sqrt(1.04), 24).
    EstimatedLimits few = new EstimatedLimits(25, 24, 3);
    assertThat(few.meanFalseSignals()).isCloseTo(0.00712400404941296, within(1e-14));
    EstimatedLimits many = new EstimatedLimits(1_000_000, 4_000_000, 3);
    assertThat(many.meanFalseSignals()).isCloseTo(0.0026998, within(1e-6));
    assertThat(many.falseSignals(0.5)).isCloseTo(0.0026998, within(1e-5));
    assertThat(few.meanRunLength(0.1)).isLessThan(few.meanRunLength(0.5));
    assertThat(few.meanRunLength(0.5)).isLessThan(few.meanRunLength(0.9));
  }

  // Simulated baselines: 25 subgroups of 4, pooled sigma.
  @Test
  void estimatedLimitsAgreeWithSimulatedBaselines() {
    Random random = new Random(72);
    int m = 25;
    int n = 4;
    int rounds = 20_000;
    double[] chances = new double[rounds];
    double sum = 0;
    var normal = org.apache.commons.statistics.distribution.NormalDistribution.of(0, 1);
    for (int r = 0; r < rounds; r++) {
      double centre = random.nextGaussian() / Math.sqrt(m);
      double squares = 0;
      for (int i = 0; i < m * (n - 1); i++) {
        double z = random.nextGaussian();
        squares += z * z;
      }
      double w = Math.sqrt(squares / (m * (n - 1)));
      chances[r] =
          normal.cumulativeProbability(-3 * w + centre)
              + normal.cumulativeProbability(-3 * w - centre);
      sum += chances[r];
    }
    Arrays.sort(chances);
    EstimatedLimits limits = new EstimatedLimits(m, m * (n - 1), 3);
    assertThat(sum / rounds).isCloseTo(limits.meanFalseSignals(), within(8e-5));
    for (double share : new double[] {0.1, 0.5, 0.9}) {
      double found = chances[(int) (share * rounds)];
      assertThat(found).isCloseTo(limits.falseSignals(share), within(0.04 * found));
    }
    assertThatThrownBy(() -> limits.falseSignals(1)).hasMessageContaining("share of baselines");
    assertThatThrownBy(() -> new EstimatedLimits(0, 1, 3))
        .hasMessage("points of the baseline is 0, must be at least 1");
  }

  /**
   * Both halves start beyond what one leaves the other. By numpy 2.4: mean and standard error of
   * 400,000 or 4,000,000 simulated runs.
   */
  @ParameterizedTest
  @CsvSource({
    "0.5, 5, 4, 1, 3.37229075, 0.0017",
    "0.5, 5, 4.9, 1, 1.70888025, 0.00092",
    "0.5, 5, 4.9, 0, 90.3685475, 0.428",
    "0.25, 8, 7, 1, 2.312828, 0.0009",
    "0.25, 8, 7, 0.5, 5.056095, 0.0037",
    "0, 4, 3.5, 0, 1.607862, 0.00049",
    "0, 4, 3.5, 1, 1.31131325, 0.00031",
    "1, 2.5, 2.4, 0, 236.110695, 0.53"
  })
  void followsBothHalvesFromALargeHeadStart(
      double k, double h, double headStart, double shift, double simulated, double error) {
    double own = MeanRunLengths.ofCusum(k, h, headStart, shift);
    assertThat(own).isCloseTo(simulated, within(4 * error));
    assertThat(MeanRunLengths.ofCusum(k, h, headStart, -shift)).isEqualTo(own);
  }

  /** The formula ends at h / 2 + k, and what follows both halves begins there. */
  @Test
  void largeHeadStartsBeginWhereSmallOnesEnd() {
    for (double shift : new double[] {0, 0.5, 2}) {
      double small = MeanRunLengths.ofCusum(0.5, 5, 3, shift);
      double large = MeanRunLengths.ofCusum(0.5, 5, 3 + 1e-9, shift);
      assertThat(large).isCloseTo(small, within(1e-8 * small));
    }
    assertThat(MeanRunLengths.ofCusum(1e-12, 20, 19.9, 0)).isBetween(1.0, 2.0);
  }
}
