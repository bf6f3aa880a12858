package org.tarebook.stats;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** NIST Statistical Reference Datasets, univariate: every certified digit. */
class CertifiedDataTests {

  static List<Map<String, String>> datasets() {
    return ReferenceTable.rows("strd/certified.csv");
  }

  @ParameterizedTest
  @MethodSource("datasets")
  void reproducesTheCertifiedMeanAndStandardDeviation(Map<String, String> certified) {
    List<String> data =
        ReferenceTable.rows("strd/" + certified.get("dataset") + ".csv").stream()
            .map(row -> row.get("y"))
            .toList();
    Moments decimals = Moments.of(data.stream().map(BigDecimal::new).toList());
    Moments nanos = Moments.of(data.stream().mapToLong(ReferenceTable::nanos).toArray());

    assertThat(decimals).isEqualTo(nanos).hasSameHashCodeAs(nanos);
    assertThat(nanos.count()).isEqualTo(Long.parseLong(certified.get("n")));
    // The doubles nearest to the values recomputed to 20 digits, not merely close to them.
    check("Moments.mean", nanos.mean(), certified, "recomputed_mean_mpmath");
    check("Moments.sd", nanos.sd(), certified, "recomputed_sd_mpmath");
    assertThat(rounded(nanos.mean(), certified.get("certified_mean")))
        .isEqualByComparingTo(certified.get("certified_mean"));
    assertThat(rounded(nanos.sd(), certified.get("certified_sd_nminus1")))
        .isEqualByComparingTo(certified.get("certified_sd_nminus1"));
  }

  private static void check(String function, double own, Map<String, String> row, String column) {
    double expected = ReferenceTable.number(row, column);
    Accuracy.relative(function, "strd/certified.csv", own, expected, 0);
  }

  /** The figure, rounded to the digits that were certified. */
  private static BigDecimal rounded(double value, String certified) {
    int scale = new BigDecimal(certified).scale();
    return new BigDecimal(Double.toString(value)).setScale(scale, java.math.RoundingMode.HALF_EVEN);
  }
}
