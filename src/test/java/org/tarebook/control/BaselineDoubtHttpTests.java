package org.tarebook.control;

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
import org.tarebook.fixtures.Reference;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;

@OnBothDatabases
class BaselineDoubtHttpTests {

  private static final Instant FROM = Instant.parse("2024-05-06T00:00:00Z");
  private static final Instant BEFORE = Instant.parse("2024-05-08T00:00:00Z");
  private static final Duration STEP = Duration.ofMinutes(5);
  private static final Offset<Double> CLOSE = within(1e-9);

  private final RunningTarebook tarebook;

  BaselineDoubtHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  /** Seeded autoregressive series; correlations at lag 1 by an independent program. */
  @Test
  void readingsThatFollowEachOtherAreToldWithWhatItDoesToSigma() {
    for (JsonNode series : Reference.json("statistics/autocorrelated_series.json").at("/series")) {
      ChartBench bench = new ChartBench(tarebook, "INDIVIDUALS", 1);
      bench.postAll(Reference.decimals(series.at("/x")), "kg", FROM, STEP);
      JsonNode flag = flag(bench, "AUTOCORRELATED");
      double phi = series.at("/phi").asDouble();
      if (phi == 0) {
        assertThat(flag.isMissingNode()).isTrue();
        continue;
      }
      double r1 = series.at("/estimates/r1").asDouble();
      assertThat(flag.at("/figures/lag1").asDouble()).isCloseTo(r1, CLOSE);
      assertThat(flag.at("/figures/movingRangeBias").asDouble())
          .isCloseTo(Math.sqrt(1 - r1), CLOSE);
      // the normal point of 99.5 % over the root of n
      assertThat(flag.at("/figures/bound").asDouble())
          .isCloseTo(
              2.5758293035489 / Math.sqrt(series.at("/estimates/n").asDouble()), within(1e-9));
      assertThat(flag.at("/words").asString())
          .contains(phi > 0 ? "Thin the readings out" : "swing against each other");
      assertThat(flag.at("/criterion").asString()).contains("Bartlett");
    }
  }

  /** The t distribution and the quadrature over chi-square and normal, by scipy 1.17. */
  @Test
  void aShortBaselineTellsWhatItCosts() {
    ChartBench bench = new ChartBench(tarebook, "XBAR_R", 2);
    bench.postAll(normal(1, 24, 4.385, 0.006), "kg", FROM, STEP);
    JsonNode preview = preview(bench, "&estimator=POOLED");
    JsonNode chances = preview.at("/falseSignals");
    assertThat(chances.at("/known").asDouble()).isCloseTo(0.0026997960632602, within(1e-14));
    assertThat(chances.at("/onAverage").asDouble()).isCloseTo(0.01377148048182051, within(1e-12));
    assertThat(chances.at("/oneInTen").asDouble()).isCloseTo(0.0369980515914966, within(1e-6));
    assertThat(chances.at("/sigmaError").asDouble()).isCloseTo(1 / Math.sqrt(24), CLOSE);
    assertThat(chances.at("/words").asString())
        .contains("once in 73 on average", "once in 370", "gives once in 27");
    JsonNode rough = find(preview, "ROUGH_LIMITS");
    assertThat(rough.at("/figures/falseSignals").asDouble())
        .isCloseTo(0.01377148048182051, within(1e-12));
    assertThat(rough.at("/words").asString()).contains("20 %", "Take more subgroups");
    assertThat(find(preview, "TOO_FEW").at("/figures/points").asDouble()).isEqualTo(12);
  }

  @Test
  void aLongSoundBaselineRaisesNoDoubt() {
    ChartBench bench = new ChartBench(tarebook, "XBAR_R", 5);
    bench.specification("4.30", "4.47", "kg");
    bench.postAll(normal(2, 200, 4.385, 0.02), "kg", FROM, STEP);
    assertThat(preview(bench, "").at("/flags")).isEmpty();
  }

  @Test
  void streamsMixedInsideSubgroupsAreNamed() {
    ChartBench bench = new ChartBench(tarebook, "XBAR_R", 2);
    List<String> values = normal(3, 60, 4.385, 0.006);
    for (int i = 0; i < values.size(); i++) {
      // each subgroup holds one strip of either die, now one first, now the other
      boolean second = i % 4 == 1 || i % 4 == 2;
      double value = Double.parseDouble(values.get(i)) + (second ? 0.03 : 0);
      bench.post(
          String.format(Locale.ROOT, "%.3f", value),
          FROM.plus(STEP.multipliedBy(i)),
          "die",
          second ? "D2" : "D1");
    }
    JsonNode preview = preview(bench, "");
    JsonNode mixed = find(preview, "MIXED_STREAMS");
    assertThat(mixed.at("/words").asString()).contains("differ by DIE", "keeps DIE apart");
    assertThat(mixed.at("/figures/p").asDouble()).isLessThan(1e-9);
    JsonNode alike = find(preview, "TOO_ALIKE");
    assertThat(alike.at("/figures/sigmaWithin").asDouble())
        .isGreaterThan(alike.at("/figures/sigmaTotal").asDouble());
    assertThat(alike.at("/words").asString()).contains("cut subgroups from one stream");
  }

  @Test
  void streamsAreFoundByTheirPlaceWhereNothingNamesThem() {
    ChartBench bench = new ChartBench(tarebook, "XBAR_S", 3);
    List<String> values = normal(4, 90, 4.385, 0.006);
    for (int i = 0; i < values.size(); i++) {
      values.set(i, shifted(values.get(i), 0.01 * (i % 3)));
    }
    bench.postAll(values, "kg", FROM, STEP);
    assertThat(flag(bench, "MIXED_STREAMS").at("/words").asString())
        .contains("differ by their place in it", "Find which stream");
  }

  @Test
  void preferredDigitsAreTold() {
    ChartBench bench = new ChartBench(tarebook, "INDIVIDUALS", 1);
    List<String> values = normal(5, 200, 4.385, 0.02);
    for (int i = 0; i < values.size(); i += 3) {
      // every third is read to the nearest 0.005 kg
      values.set(
          i,
          String.format(
              Locale.ROOT, "%.3f", Math.round(Double.parseDouble(values.get(i)) * 200) / 200.0));
    }
    bench.postAll(values, "kg", FROM, STEP);
    JsonNode flag = flag(bench, "PREFERRED_DIGITS");
    int zeros = 0;
    int fives = 0;
    double chiSquared = 0;
    for (int digit = 0; digit < 10; digit++) {
      int of = digit;
      int count = (int) values.stream().filter(value -> value.endsWith("" + of)).count();
      chiSquared += (count - 20.0) * (count - 20.0) / 20;
      zeros = digit == 0 ? count : zeros;
      fives = digit == 5 ? count : fives;
    }
    assertThat(flag.at("/figures/chiSquared").asDouble()).isCloseTo(chiSquared, CLOSE);
    assertThat(flag.at("/figures/ofThem").asInt()).isEqualTo(Math.max(zeros, fives));
    assertThat(flag.at("/words").asString()).contains("where about 20 are expected");
  }

  @Test
  void fewStepsInSigmaSayNothingOfDigits() {
    ChartBench bench = new ChartBench(tarebook, "INDIVIDUALS", 1);
    bench.postAll(normal(6, 200, 4.385, 0.002), "kg", FROM, STEP);
    assertThat(flag(bench, "PREFERRED_DIGITS").isMissingNode()).isTrue();
  }

  @Test
  void readingsPiledJustInsideALimitAreTold() {
    ChartBench bench = new ChartBench(tarebook, "INDIVIDUALS", 1);
    bench.specification("4.350", "4.405", "kg");
    List<String> values = normal(7, 300, 4.385, 0.02);
    int moved = 0;
    for (int i = 0; i < values.size(); i++) {
      double value = Double.parseDouble(values.get(i));
      if (value > 4.405 && value < 4.416) {
        values.set(i, "4.40" + (3 + moved++ % 3));
      }
    }
    bench.postAll(values, "kg", FROM, STEP);
    JsonNode flag = flag(bench, "PILED_INSIDE_LIMIT");
    assertThat(flag.at("/words").asString()).contains("inside the upper limit");
    double width = flag.at("/figures/width").asDouble();
    long inside =
        values.stream()
            .mapToDouble(Double::parseDouble)
            .filter(value -> value < 4.4055 && value > 4.4055 - width)
            .count();
    assertThat(flag.at("/figures/inside").asLong()).isEqualTo(inside);
    assertThat(flag.at("/figures/p").asDouble()).isLessThan(0.001);
    // the lower limit is honest
    assertThat(preview(bench, "").at("/flags").toString()).doesNotContain("the lower limit");
  }

  @Test
  void weighingAgainUntilItPassesIsTold() {
    ChartBench bench = new ChartBench(tarebook, "INDIVIDUALS", 1);
    bench.specification("4.350", "4.400", "kg");
    Instant at = FROM;
    for (int i = 0; i < 30; i++) {
      boolean fails = i % 5 == 0;
      String value = fails ? "4.410" : "4.38" + i % 10;
      String key = bench.floor().station() + ":first" + i;
      bench.post(value, at, "key", key);
      if (fails) {
        bench.post("4.399", at.plusSeconds(60), "remeasures", key);
      }
      at = at.plus(STEP);
    }
    JsonNode flag = flag(bench, "MEASURED_AGAIN_UNTIL_PASSED");
    assertThat(flag.at("/figures/failed").asInt()).isEqualTo(6);
    assertThat(flag.at("/figures/failedAgain").asInt()).isEqualTo(6);
    assertThat(flag.at("/figures/passed").asInt()).isEqualTo(24);
    assertThat(flag.at("/figures/passedAgain").asInt()).isZero();
    assertThat(flag.at("/figures/endedPassing").asInt()).isEqualTo(6);
    // all six that were measured again are the six that failed: one way of 30 over 6
    assertThat(flag.at("/figures/p").asDouble()).isCloseTo(1 / 593_775.0, within(1e-12));
    assertThat(flag.at("/criterion").asString()).contains("common practice", "Fisher");
  }

  @Test
  void doubtsAreToldWithCapabilityToo() {
    ChartBench bench = new ChartBench(tarebook, "INDIVIDUALS", 1);
    bench.specification("4.35", "4.43", "kg");
    bench.postAll(normal(8, 5, 4.385, 0.006), "kg", FROM, STEP);
    JsonNode study = bench.study(FROM, BEFORE, "");
    assertThat(study.at("/flags").toString()).contains("\"TOO_FEW\"", "\"ROUGH_LIMITS\"");
    assertThat(study.at("/flags").valueStream())
        .allSatisfy(flag -> assertThat(flag.at("/criterion").asString()).startsWith("Told "));
  }

  private static String shifted(String value, double by) {
    return String.format(Locale.ROOT, "%.3f", Double.parseDouble(value) + by);
  }

  private static List<String> normal(long seed, int count, double mean, double sigma) {
    Random random = new Random(seed);
    List<String> values = new ArrayList<>();
    for (int i = 0; i < count; i++) {
      values.add(String.format(Locale.ROOT, "%.3f", mean + sigma * random.nextGaussian()));
    }
    return values;
  }

  private JsonNode flag(ChartBench bench, String code) {
    return find(preview(bench, ""), code);
  }

  private static JsonNode find(JsonNode preview, String code) {
    return preview
        .at("/flags")
        .valueStream()
        .filter(each -> each.at("/code").asString().equals(code))
        .findFirst()
        .orElse(preview.at("/no-such-flag"));
  }

  private JsonNode preview(ChartBench bench, String more) {
    return tarebook
        .reader()
        .get(
            "/api/v1/limit-sets/preview?chart="
                + bench.chart()
                + "&measuredFrom="
                + FROM
                + "&measuredBefore="
                + BEFORE
                + more)
        .expect(200)
        .json();
  }
}
