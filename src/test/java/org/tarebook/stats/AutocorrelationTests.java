package org.tarebook.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

class AutocorrelationTests {

  static List<Map<String, String>> datasets() {
    return ReferenceTable.rows("strd/certified.csv");
  }

  // NIST StRD, univariate: every certified digit; the last column was recomputed to 20 digits.
  @ParameterizedTest
  @MethodSource("datasets")
  void reproducesTheCertifiedAutocorrelation(Map<String, String> certified) {
    List<BigDecimal> data =
        ReferenceTable.rows("strd/" + certified.get("dataset") + ".csv").stream()
            .map(row -> new BigDecimal(row.get("y")))
            .toList();
    double lag1 = Autocorrelation.of(data).orElseThrow().lag1();
    String source = "strd/certified.csv";
    double exact = ReferenceTable.number(certified, "recomputed_r1_mpmath");
    Accuracy.relative("Autocorrelation.lag1", source, lag1, exact, 0);
    double printed = ReferenceTable.number(certified, "certified_lag1_autocorrelation");
    Accuracy.absolute("Autocorrelation.lag1 as certified", source, lag1, printed, 1e-14);
  }

  @Test
  void isAbsentWithoutSpread() {
    assertThat(Autocorrelation.of(List.of())).isEmpty();
    assertThat(Autocorrelation.of(List.of(BigDecimal.ONE))).isEmpty();
    assertThat(Autocorrelation.of(List.of(BigDecimal.ONE, new BigDecimal("1.0")))).isEmpty();
    // Two readings lie half a range on either side of their mean: -1/4 over 1/2.
    assertThat(Autocorrelation.of(List.of(BigDecimal.ONE, BigDecimal.TEN)).orElseThrow().lag1())
        .isEqualTo(-0.5);
  }

  // Discussed in H. D. Maragah and W. H. Woodall (1992): the root of 1 - rho.
  @Test
  void biasesOfTheMovingRangeMeetTheTable() {
    ReferenceTable.json("moving_range_facts.json")
        .get("ar1_bias")
        .get("ratio")
        .properties()
        .forEach(
            entry ->
                Accuracy.absolute(
                    "Autocorrelation.movingRangeBias",
                    "moving_range_facts.json",
                    new Autocorrelation(Double.parseDouble(entry.getKey()), 2).movingRangeBias(),
                    entry.getValue().asDouble(),
                    1e-15));
  }

  // Theory: the moving-range sigma of an AR(1) series is the true one times the root of 1 - rho.
  @Test
  void foretellsTheBiasOfTheMovingRange() {
    Random random = new Random(20);
    double rho = 0.5;
    double x = 0;
    double moved = 0;
    List<BigDecimal> series = new ArrayList<>();
    int n = 40_000;
    for (int i = 0; i < n; i++) {
      double next = rho * x + Math.sqrt(1 - rho * rho) * random.nextGaussian();
      moved += Math.abs(next - x);
      x = next;
      series.add(BigDecimal.valueOf(x));
    }
    Autocorrelation found = Autocorrelation.of(series).orElseThrow();
    assertThat(found.lag1()).isCloseTo(rho, within(0.02));
    assertThat(moved / n / Factors.d2(2)).isCloseTo(found.movingRangeBias(), within(0.02));
  }

  @Test
  void shiftingAndScalingChangesNothing() {
    Random random = new Random(21);
    List<BigDecimal> series =
        IntStream.range(0, 50).mapToObj(i -> BigDecimal.valueOf(random.nextInt(100), 2)).toList();
    double lag1 = Autocorrelation.of(series).orElseThrow().lag1();
    assertThat(
            Autocorrelation.of(
                    series.stream()
                        .map(v -> v.multiply(new BigDecimal("0.37")).add(new BigDecimal("1e12")))
                        .toList())
                .orElseThrow()
                .lag1())
        .isEqualTo(lag1);
    assertThat(lag1).isBetween(-1.0, 1.0);
    // 1.959964 / sqrt(50)
    assertThat(new Autocorrelation(lag1, 50).chanceReach(0.95)).isCloseTo(0.277181, within(1e-6));
  }

  // Seeded series, evaluated with numpy.
  @Test
  void meetsComputedSeries() {
    for (tools.jackson.databind.JsonNode series :
        ReferenceTable.json("autocorrelated_series.json").get("series")) {
      List<BigDecimal> x = new ArrayList<>();
      series.get("x").forEach(value -> x.add(new BigDecimal(value.asString())));
      var expected = series.get("estimates");
      check("Autocorrelation.lag1", Autocorrelation.of(x).orElseThrow().lag1(), expected, "r1");
      long[] nanos = x.stream().mapToLong(v -> v.movePointRight(9).longValueExact()).toArray();
      check(
          "Spread.meanMovingRange",
          Spread.meanMovingRange(Spread.movingRanges(nanos), 1).orElseThrow().sigma(),
          expected,
          "sigma_mr");
      double[] doubles = x.stream().mapToDouble(BigDecimal::doubleValue).toArray();
      check(
          "MovingRangeMedian.sigma",
          org.tarebook.stats.chart.MovingRangeMedian.of(doubles).orElseThrow().sigma(),
          expected,
          "sigma_mmr");
    }
  }

  private static void check(
      String function, double own, tools.jackson.databind.JsonNode expected, String figure) {
    double value = expected.get(figure).asDouble();
    Accuracy.absolute(function, "autocorrelated_series.json", own, value, 1e-12);
  }
}
