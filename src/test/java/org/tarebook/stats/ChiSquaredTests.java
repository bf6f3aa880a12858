package org.tarebook.stats;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

class ChiSquaredTests {

  private static final String SOURCE = "chi_square_quantiles.csv";

  static List<Map<String, String>> quantiles() {
    return ReferenceTable.rows(SOURCE);
  }

  @ParameterizedTest
  @MethodSource("quantiles")
  void meetsQuantilesOfManyDigits(Map<String, String> row) {
    double degrees = ReferenceTable.number(row, "degrees");
    double below = ReferenceTable.number(row, "probability");
    double expected = ReferenceTable.number(row, "quantile_over_degrees");
    double allowed = degrees < 1e6 ? 1e-12 : 1e-14;
    double ratio = ChiSquared.ratio(degrees, below);
    Accuracy.relative("ChiSquared.ratio", SOURCE, ratio, expected, allowed);
    double upper = ChiSquared.upperRatio(degrees, 1 - below);
    Accuracy.relative("ChiSquared.upperRatio", SOURCE, upper, expected, allowed);
  }

  /** Ever more degrees come ever closer to one, from the side of the probability. */
  @Test
  void ratioGoesToOne() {
    double before = 0;
    for (double degrees = 1; degrees < 1e300; degrees *= 10) {
      double ratio = ChiSquared.ratio(degrees, 0.025);
      assertThat(ratio).as("at %s degrees", degrees).isBetween(before, 1.0);
      before = ratio;
    }
    assertThat(ChiSquared.ratio(Double.POSITIVE_INFINITY, 0.025)).isEqualTo(1);
    assertThat(ChiSquared.upperRatio(Double.POSITIVE_INFINITY, 0.025)).isEqualTo(1);
  }
}
