package org.tarebook.capability;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import org.assertj.core.data.Offset;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.ChartBench;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.ReferenceTable;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;

@OnBothDatabases
class MethodHttpTests {

  private static final Instant FROM = Instant.parse("2024-05-06T00:00:00Z");
  private static final Instant BEFORE = Instant.parse("2024-05-08T00:00:00Z");
  private static final Duration STEP = Duration.ofMinutes(2);
  private static final Offset<Double> FITTED = within(1e-7);

  private final RunningTarebook tarebook;

  MethodHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  /** Seeded data sets; fits, percentiles and numerical information by scipy 1.17. */
  @Test
  void fittedFamiliesGiveTheIndicesOfAnIndependentProgram() {
    requireFit(
        "d17_weibull_n22", "WEIBULL", "25.3", 1.1055347977976606, 0.62379578, 1.58727382, 4.552e-4);
    requireFit(
        "d15_gamma_n35", "GAMMA", "34.1", 0.7372151436650142, 0.46056978, 1.01386051, 8.299e-3);
    requireFit(
        "d08_lognormal_n25",
        "LOGNORMAL",
        "13.6",
        1.1054279200019144,
        0.49695875,
        1.71389709,
        7.654e-4);
  }

  private void requireFit(
      String data,
      String method,
      String limit,
      double index,
      double lower,
      double upper,
      double above) {
    ChartBench bench = runOut(limit, values(data));
    JsonNode study = bench.study(FROM, BEFORE, "&method=" + method);
    assertThat(study.at("/ppk/value").asDouble()).as(method).isCloseTo(index, FITTED);
    assertThat(study.at("/ppu")).isEqualTo(study.at("/ppk"));
    assertThat(study.at("/ppk/lower").asDouble()).as(method).isCloseTo(lower, within(1e-5));
    assertThat(study.at("/ppk/upper").asDouble()).as(method).isCloseTo(upper, within(1e-5));
    assertThat(study.at("/estimated/above").asDouble()).isCloseTo(above, within(5e-7));
    assertThat(study.at("/method/method").asString()).isEqualTo(method);
    assertThat(study.at("/method/estimator").asString()).contains("maximum likelihood", "22514-2");
    assertThat(study.at("/method/intervals").asString()).contains("information");
    assertThat(reason(study, "cpk")).isEqualTo("NOT_BY_THIS_METHOD");
    assertThat(reason(study, "cpm")).isEqualTo("NOT_BY_THIS_METHOD");
    assertThat(reason(study, "pp")).isEqualTo("ONE_SIDED");
  }

  @Test
  void aBoundedCharacteristicIsToldWhichMethodToAskFor() {
    ChartBench bench = runOut("25.3", values("d17_weibull_n22"));
    JsonNode study = bench.study(FROM, BEFORE, "");
    assertThat(study.has("ppk")).isFalse();
    assertThat(study.has("method")).isFalse();
    assertThat(reason(study, "ppk")).isEqualTo("BOUNDED_CHARACTERISTIC");
    assertThat(reason(study, "cpm")).isEqualTo("BOUNDED_CHARACTERISTIC");
    assertThat(words(study, "ppk")).contains("method=LOGNORMAL, WEIBULL, GAMMA, RAYLEIGH or RICE");
  }

  @Test
  void aBoundByNatureIsNoLimitWhateverWasWritten() {
    ChartBench bench = new ChartBench(tarebook, "mm", "BELOW_AT_0", "INDIVIDUALS", 1);
    bench.specification("0", "25.3", "mm");
    bench.postAll(values("d17_weibull_n22"), "mm", FROM, STEP);
    JsonNode study = bench.study(FROM, BEFORE, "&method=WEIBULL");
    assertThat(study.at("/ppk/value").asDouble()).isCloseTo(1.1055347977976606, FITTED);
    assertThat(study.has("ppl")).isFalse();
    assertThat(study.has("pp")).isFalse();
  }

  @Test
  void aRayleighFitHasItsMedianAndHighPercentile() {
    List<String> values = values("d17_weibull_n22");
    JsonNode study = runOut("25.3", values).study(FROM, BEFORE, "&method=RAYLEIGH");
    double squares =
        values.stream().mapToDouble(Double::parseDouble).map(value -> value * value).sum();
    double scale = Math.sqrt(squares / values.size() / 2);
    assertThat(study.at("/method/parameters/scale").asDouble()).isCloseTo(scale, FITTED);
    double median = scale * Math.sqrt(2 * Math.log(2));
    double high = scale * Math.sqrt(-2 * Math.log(0.00135));
    assertThat(study.at("/method/percentiles/median").asDouble()).isCloseTo(median, FITTED);
    assertThat(study.at("/method/percentiles/high").asDouble()).isCloseTo(high, FITTED);
    double index = (25.3 - median) / (high - median);
    assertThat(study.at("/ppk/value").asDouble()).isCloseTo(index, FITTED);
    // the index goes with 1 / scale, whose variance is scale² / 4n
    double slope = 25.3 / (high - median) / scale;
    double reach = 1.959963984540054 * slope * scale / Math.sqrt(4.0 * values.size());
    assertThat(study.at("/ppk/lower").asDouble()).isCloseTo(index - reach, within(1e-5));
  }

  @Test
  void readingsThatAFamilyCannotGiveAreTold() {
    JsonNode study =
        runOut("0.5", List.of("0.1", "0.0", "0.3", "0.2")).study(FROM, BEFORE, "&method=WEIBULL");
    assertThat(reason(study, "ppk")).isEqualTo("DOES_NOT_FIT");
    assertThat(reason(study, "estimated")).isEqualTo("DOES_NOT_FIT");
    assertThat(words(study, "ppk")).contains("all above 0", "EMPIRICAL");
    JsonNode same =
        runOut("0.5", List.of("0.1", "0.1", "0.1")).study(FROM, BEFORE, "&method=GAMMA");
    assertThat(reason(same, "ppk")).isEqualTo("ZERO_SPREAD");
    JsonNode none = runOut("0.5", List.of()).study(FROM, BEFORE, "&method=GAMMA");
    assertThat(reason(none, "ppk")).isEqualTo("TOO_FEW");
  }

  @Test
  void empiricalPercentilesAreThoseOfTheReadings() {
    List<String> values = exponential(800);
    ChartBench bench = runOut("9.5", values);
    JsonNode study = bench.study(FROM, BEFORE, "&method=EMPIRICAL");
    double[] sorted = values.stream().mapToDouble(Double::parseDouble).sorted().toArray();
    // places 0.5 (n + 1) = 400.5 and 0.99865 (n + 1) = 799.91865
    double median = (sorted[399] + sorted[400]) / 2;
    double high = sorted[798] + 0.91865 * (sorted[799] - sorted[798]);
    double index = (9.5 - median) / (high - median);
    assertThat(study.at("/ppk/value").asDouble()).isCloseTo(index, within(1e-9));
    assertThat(study.has("ppk")).isTrue();
    assertThat(study.at("/ppk").has("lower")).isFalse();
    assertThat(study.at("/ppk").has("upper")).isFalse();
    assertThat(reason(study, "ppk.lower")).isEqualTo("TOO_FEW");
    assertThat(words(study, "ppk.upper")).contains("takes 3274 readings");
    assertThat(reason(study, "pp.lower")).isEmpty();
    assertThat(reason(study, "estimated")).isEqualTo("NOT_BY_THIS_METHOD");
  }

  @Test
  void fewReadingsHaveNoEmpiricalTail() {
    JsonNode study = runOut("9.5", exponential(739)).study(FROM, BEFORE, "&method=EMPIRICAL");
    assertThat(reason(study, "ppk")).isEqualTo("TOO_FEW");
    assertThat(words(study, "ppk")).contains("739 readings", "takes 740");
  }

  @Test
  void tailsThatDisagreeAreToldWithTheFigures() {
    ChartBench bench = new ChartBench(tarebook, "mm", "NOT", "INDIVIDUALS", 1);
    bench.specification(null, "9.5", "mm");
    bench.postAll(exponential(600), "mm", FROM, STEP);
    JsonNode normal = bench.study(FROM, BEFORE, "");
    JsonNode tails = normal.at("/method/tails");
    assertThat(tails.at("/agree").asBoolean()).isFalse();
    assertThat(tails.at("/share").asDouble()).isCloseTo(5.0 / 600, within(1e-12));
    assertThat(normal.at("/flags").toString())
        .contains("\"TAILS_DISAGREE\"", "The NORMAL distribution does not meet the readings");
    JsonNode weibull = bench.study(FROM, BEFORE, "&method=WEIBULL");
    assertThat(weibull.at("/method/tails/agree").asBoolean()).isTrue();
    assertThat(weibull.at("/flags").toString()).doesNotContain("TAILS_DISAGREE");
    assertThat(weibull.at("/ppk/value").asDouble()).isLessThan(normal.at("/ppk/value").asDouble());
  }

  @Test
  void aMethodThatIsNotKnownIsRefused() {
    ChartBench bench = runOut("9.5", List.of("1.0"));
    assertThat(
            bench
                .engineer()
                .get("/api/v1/capability?chart=" + bench.chart() + "&method=BEST")
                .expect(400)
                .text())
        .contains("method", "EMPIRICAL");
  }

  private ChartBench runOut(String upper, List<String> values) {
    ChartBench bench = new ChartBench(tarebook, "mm", "BELOW_AT_0", "INDIVIDUALS", 1);
    bench.specification(null, upper, "mm");
    if (!values.isEmpty()) {
      bench.postAll(values, "mm", FROM, STEP);
    }
    return bench;
  }

  private static List<String> values(String data) {
    return ReferenceTable.read("statistics/normality/" + data + ".csv").stream()
        .map(row -> row.getOrDefault("x", ""))
        .toList();
  }

  private static List<String> exponential(int count) {
    Random random = new Random(21);
    List<String> values = new ArrayList<>();
    for (int i = 0; i < count; i++) {
      values.add(String.format(Locale.ROOT, "%.4f", 0.0001 - Math.log(1 - random.nextDouble())));
    }
    return values;
  }

  private static String reason(JsonNode study, String figure) {
    return of(study, figure).at("/reason").asString();
  }

  private static String words(JsonNode study, String figure) {
    return of(study, figure).at("/words").asString();
  }

  private static JsonNode of(JsonNode study, String figure) {
    return study
        .at("/notComputed")
        .valueStream()
        .filter(each -> each.at("/figure").asString().equals(figure))
        .findFirst()
        .orElse(study.at("/no-such-figure"));
  }
}
