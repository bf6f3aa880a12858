package org.tarebook.stats.fit;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;
import static org.tarebook.stats.ReferenceTable.number;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.tarebook.stats.Accuracy;
import org.tarebook.stats.ReferenceTable;
import tools.jackson.databind.JsonNode;

class NormalityTests {

  static List<Map<String, String>> byR() {
    return ReferenceTable.rows("normality/results_R.csv");
  }

  // R 4.2.2 shapiro.test and nortest ad.test; A2 by mpmath.
  @ParameterizedTest
  @MethodSource("byR")
  void agreesWithR(Map<String, String> row) {
    double[] x = FitsTests.data(row.get("dataset"));
    // Readings of a million with a spread of 0.009 have lost some digits as doubles.
    boolean lost = row.get("dataset").startsWith("d20");
    String of = lost ? " of a million" : "";
    double tolerance = lost ? 1e-7 : 1e-11;
    String source = "normality/results_R.csv";
    AndersonDarling ad = AndersonDarling.of(x).orElseThrow();
    double a2 = number(row, "AD_A2_mpmath");
    Accuracy.absolute("AndersonDarling.statistic" + of, source, ad.statistic(), a2, tolerance);
    double modified = number(row, "AD_A2star_1986(1+0.75/n+2.25/n^2)");
    Accuracy.absolute("AndersonDarling.modified" + of, source, ad.modified(), modified, tolerance);
    double earlier = number(row, "AD_A2star_1974(1+4/n-25/n^2)");
    String of1974 = "AndersonDarling.modifiedOf1974" + of;
    Accuracy.absolute(of1974, source, ad.modifiedOf1974(), earlier, tolerance);
    double p = number(row, "AD_p_R_nortest");
    Accuracy.relative("AndersonDarling.p" + of, source, ad.p(), p, 2e-11);

    ShapiroWilk sw = ShapiroWilk.of(x).orElseThrow();
    Accuracy.absolute(
        "ShapiroWilk.w" + of, source, sw.w(), number(row, "SW_W_R"), lost ? 1e-8 : 1e-11);
    Accuracy.relative(
        "ShapiroWilk.p" + of, source, sw.p(), number(row, "SW_p_R"), lost ? 1e-6 : 5e-11);
  }

  static List<Map<String, String>> byScipy() {
    return ReferenceTable.rows("normality/results_scipy.csv");
  }

  // scipy 1.17.1 skew and kurtosis, with and without bias.
  @ParameterizedTest
  @MethodSource("byScipy")
  void shapesAgreeWithScipy(Map<String, String> row) {
    Shape shape = Shape.of(FitsTests.data(row.get("dataset"))).orElseThrow();
    check("skewness", shape.skewness(), row, "skewness_g1");
    check("kurtosis", shape.kurtosis(), row, "excess_kurtosis_g2");
    double adjustedSkewness = shape.adjustedSkewness().orElseThrow();
    check("adjustedSkewness", adjustedSkewness, row, "skewness_G1_adjusted");
    double adjustedKurtosis = shape.adjustedKurtosis().orElseThrow();
    check("adjustedKurtosis", adjustedKurtosis, row, "kurtosis_G2_adjusted");
  }

  private static void check(String figure, double own, Map<String, String> row, String column) {
    Accuracy.absolute(
        "Shape." + figure, "normality/results_scipy.csv", own, number(row, column), 1e-11);
  }

  // NIST/SEMATECH e-Handbook 1.4.2.8 prints the figure of 1974, 1.4.2.1 the unmodified one.
  @Test
  void handbookPrintsTwoDifferentFigures() {
    for (JsonNode printed :
        ReferenceTable.json("normality/nist_anderson_darling.json").get("cases")) {
      String data = printed.get("data").asString().replace(".csv", "");
      AndersonDarling ad = AndersonDarling.of(FitsTests.data(data)).orElseThrow();
      boolean unmodified = printed.get("printed_value_is").asString().startsWith("unmodified");
      BigDecimal value = new BigDecimal(printed.get("printed_A2").asString());
      double own = unmodified ? ad.statistic() : ad.modifiedOf1974();
      assertThat(new BigDecimal(own).setScale(value.scale(), RoundingMode.HALF_UP))
          .isEqualByComparingTo(value);
      double p = printed.get("p_1986").asDouble();
      Accuracy.absolute(
          "AndersonDarling.p", "normality/nist_anderson_darling.json", ad.p(), p, 1e-12);
    }
  }

  // D'Agostino and Stephens (1986), tables 4.7 and 4.9.
  @Test
  void chancesMeetThePrintedFormula() {
    JsonNode table = ReferenceTable.json("normality/anderson_darling_p_value.json");
    for (JsonNode point : table.get("grid")) {
      double p = point.get("p").asDouble();
      Accuracy.relative(
          "AndersonDarling.chance",
          "normality/anderson_darling_p_value.json",
          AndersonDarling.chance(point.get("A_star").asDouble()),
          p,
          1e-12);
    }
    // The formula approximates the printed critical values; it is off by up to 0.013 at 0.25.
    table
        .get("critical_values_A_star")
        .properties()
        .forEach(
            entry ->
                assertThat(AndersonDarling.chance(entry.getValue().asDouble()))
                    .isCloseTo(Double.parseDouble(entry.getKey()), within(0.013)));
    JsonNode jumps = table.get("jumps_at_joins");
    jumps
        .properties()
        .forEach(
            entry -> {
              double at = Double.parseDouble(entry.getKey());
              assertThat(AndersonDarling.chance(Math.nextDown(at)))
                  .isCloseTo(entry.getValue().get("left").asDouble(), within(1e-12));
              assertThat(AndersonDarling.chance(at))
                  .isCloseTo(entry.getValue().get("right").asDouble(), within(1e-12));
            });
  }

  // Shapiro and Wilk (1965): weights of eleven men, W printed 0.79.
  @Test
  void meetsTheFirstPublishedExample() {
    JsonNode example = ReferenceTable.json("normality/shapiro_wilk_1965.json");
    ShapiroWilk own = ShapiroWilk.of(ReferenceTable.doubles(example.get("data"))).orElseThrow();
    assertThat(own.w()).isCloseTo(0.79, within(0.005));
    String source = "normality/shapiro_wilk_1965.json";
    JsonNode exact = example.get("recomputed");
    Accuracy.absolute("ShapiroWilk.w", source, own.w(), exact.get("W_R").asDouble(), 1e-13);
    Accuracy.absolute("ShapiroWilk.p", source, own.p(), exact.get("p_R").asDouble(), 1e-13);
  }

  // n = 3: W of 0, 0, 1 is 3/4, the least there is, with chance 0; evenly spaced it is 1.
  @Test
  void knowsTheClosedFormOfThree() {
    assertThat(ShapiroWilk.of(new double[] {0, 0, 1}).orElseThrow().w())
        .isCloseTo(0.75, within(1e-15));
    assertThat(ShapiroWilk.of(new double[] {0, 0, 1}).orElseThrow().p()).isCloseTo(0, within(1e-7));
    assertThat(ShapiroWilk.of(new double[] {1, 2, 3}).orElseThrow().p()).isCloseTo(1, within(1e-7));
  }

  // scipy 1.17.1: shapiro, skew and kurtosis with bias=False. Six readings are the fewest with two
  // fitted weights, eleven the most with the chances of small samples.
  @Test
  void smallSamplesMeetScipy() {
    assertShapiro(0.9456304828556503, 0.6889364384881989, 1, 2, 4, 7);
    assertShapiro(0.943934563722845, 0.693872389021534, 1, 2, 4, 7, 9.5);
    assertShapiro(0.8688823668578239, 0.22178630038805214, 1, 2, 4, 7, 9.5, 20);
    assertShapiro(
        0.8896105786853821, 0.1375190812358486, 3, 1, 4, 1.5, 9, 2.6, 5.3, 5.8, 9.7, 9.3, 2.3);
    assertThat(Shape.of(new double[] {1, 2, 4}).orElseThrow().adjustedSkewness().orElseThrow())
        .isCloseTo(0.9352195295828235, within(1e-13));
    assertThat(Shape.of(new double[] {1, 2, 4, 9}).orElseThrow().adjustedKurtosis().orElseThrow())
        .isCloseTo(1.5, within(1e-13));
  }

  private static void assertShapiro(double w, double p, double... x) {
    ShapiroWilk own = ShapiroWilk.of(x).orElseThrow();
    // Its normal quantiles have nine digits.
    assertThat(own.w()).isCloseTo(w, within(1e-9));
    assertThat(own.p()).isCloseTo(p, within(1e-8));
  }

  // mpmath 1.3.0, 30 digits: log(ncdf(z)).
  @Test
  void chancesFarBelowTheLeastDoubleAreKept() {
    assertThat(AndersonDarling.logBelow(-36)).isCloseTo(-652.503227593798397, within(1e-11));
    assertThat(AndersonDarling.logBelow(-37.5)).isCloseTo(-707.668989317507191, within(8e-4));
    assertThat(AndersonDarling.logBelow(-40)).isCloseTo(-804.608442013753788, within(7e-4));
    assertThat(AndersonDarling.logBelow(-100)).isCloseTo(-5005.52420869420509, within(1.1e-4));
  }

  @Test
  void normalReadingsAreRejectedAsOftenAsStated() {
    Random random = new Random(101);
    int rounds = 3000;
    for (int n : new int[] {8, 11, 12, 50}) {
      int ad = 0;
      int sw = 0;
      for (int i = 0; i < rounds; i++) {
        double[] x = random.doubles(n).map(u -> 4.385 + 0.01 * random.nextGaussian()).toArray();
        ad += AndersonDarling.of(x).orElseThrow().p() < 0.05 ? 1 : 0;
        sw += ShapiroWilk.of(x).orElseThrow().p() < 0.05 ? 1 : 0;
      }
      // Nominally 5 %, standard error 0.4 %.
      assertThat((double) ad / rounds).as("Anderson-Darling %d", n).isBetween(0.036, 0.064);
      assertThat((double) sw / rounds).as("Shapiro-Wilk %d", n).isBetween(0.036, 0.064);
    }
  }

  @Test
  void otherUnitsAndOrdersChangeNothing() {
    double[] x = new Random(102).doubles(40, 4.3, 4.5).toArray();
    double[] other = Arrays.stream(x).map(v -> 1000 * v - 4000).toArray();
    for (int i = 0; i < 20; i++) {
      double swapped = other[i];
      other[i] = other[39 - i];
      other[39 - i] = swapped;
    }
    assertThat(AndersonDarling.of(other).orElseThrow().statistic())
        .isCloseTo(AndersonDarling.of(x).orElseThrow().statistic(), within(1e-11));
    assertThat(ShapiroWilk.of(other).orElseThrow().w())
        .isCloseTo(ShapiroWilk.of(x).orElseThrow().w(), within(1e-12));
  }

  @Test
  void isAbsentWithoutSpreadAndRefusesWhatIsNotKnown() {
    assertThat(AndersonDarling.of(new double[8])).isEmpty();
    assertThat(ShapiroWilk.of(new double[3])).isEmpty();
    assertThat(Shape.of(new double[3])).isEmpty();
    assertThat(Shape.of(new double[] {1})).isEmpty();
    assertThat(Shape.of(new double[] {1, 2}).orElseThrow().adjustedSkewness()).isEmpty();
    assertThat(Shape.of(new double[] {1, 2, 3}).orElseThrow().adjustedKurtosis()).isEmpty();
    assertThatThrownBy(() -> AndersonDarling.of(new double[7]))
        .hasMessage("reading has 7 values, it takes at least 8");
    assertThat(ShapiroWilk.of(new double[5000])).isEmpty();
    assertThatThrownBy(() -> ShapiroWilk.of(new double[5001]))
        .hasMessageContaining("known for 5000 at most");
    assertThatThrownBy(() -> ShapiroWilk.of(new double[] {1, 2, Double.NaN}))
        .hasMessage("reading 2 is NaN, must be finite");
    // One reading a million sigma away.
    double[] wild = new double[1000];
    wild[0] = 1e9;
    wild[1] = 1;
    assertThat(AndersonDarling.of(wild).orElseThrow().statistic()).isFinite().isGreaterThan(100);
  }

  @Test
  void plotPointsStandWhereTheyAreExpected() {
    List<ProbabilityPlot.Point> points = ProbabilityPlot.normal(new double[] {3, 1, 2});
    assertThat(points).extracting(ProbabilityPlot.Point::reading).containsExactly(1.0, 2.0, 3.0);
    assertThat(points.get(0).share()).isCloseTo(0.625 / 3.25, within(1e-15));
    assertThat(points.get(1).expected()).isCloseTo(0, within(1e-15));
    // Phi^-1(0.1923077) = -0.869424 by any table.
    assertThat(points.get(0).expected()).isCloseTo(-0.8694, within(1e-4));
    FittedDistribution fit = Fits.of(Family.NORMAL, new double[] {1, 2, 3}).orElseThrow();
    assertThat(ProbabilityPlot.of(new double[] {1, 2, 3}, fit::quantile).get(1).expected())
        .isCloseTo(2, within(1e-12));
    assertThat(ProbabilityPlot.normal(new double[0])).isEmpty();
  }
}
