package org.tarebook.capability;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.ChartBench;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;

/** What a window says of control must hold for all of the window, and for how far points lay. */
@OnBothDatabases
class InControlHttpTests {

  private static final Instant FROM = Instant.parse("2026-02-02T06:00:00Z");
  private static final Instant BEFORE = Instant.parse("2026-02-20T06:00:00Z");
  private static final Duration STEP = Duration.ofMinutes(6);

  private final RunningTarebook tarebook;
  private final Random random = new Random(3);
  private final List<String> values = new ArrayList<>();

  InControlHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  private ChartBench bench(String kind, int size) {
    ChartBench bench = new ChartBench(tarebook, kind, size);
    bench.specification("9", "11", "kg");
    return bench;
  }

  private Instant at(int reading) {
    return FROM.plus(STEP.multipliedBy(reading));
  }

  /** Adds subgroups of five about a mean, by turns that far above and below. */
  private void add(int subgroups, double apart) {
    for (int i = 0; i < subgroups; i++) {
      for (int j = 0; j < 5; j++) {
        double mean = i % 2 == 0 ? 10 + apart : 10 - apart;
        values.add(String.format(Locale.ROOT, "%.4f", mean + 0.2 * random.nextGaussian()));
      }
    }
  }

  private static JsonNode control(JsonNode study) {
    return study.at("/control");
  }

  private static List<String> against(JsonNode study) {
    return control(study).at("/against").valueStream().map(JsonNode::asString).toList();
  }

  @Test
  void limitsOfTheEndOfAWindowSayNothingOfAWildBeginning() {
    ChartBench bench = bench("XBAR_S", 5);
    add(60, 0.5);
    int calm = values.size();
    add(30, 0);
    int later = values.size();
    add(30, 0);
    bench.postAll(values, "kg", FROM, STEP);
    bench
        .freeze(Codes.fresh("LS"), at(calm), at(later), "inForceFrom", at(later).toString())
        .expect(201);

    JsonNode study = bench.study(FROM, BEFORE, "");
    assertThat(control(study).at("/limitsFrom").asString()).isEqualTo("FROZEN");
    assertThat(control(study).at("/inControl").asBoolean(true)).isFalse();
    assertThat(against(study)).contains("SCATTER");
    assertThat(control(study).at("/together/points").asLong()).isEqualTo(90);
    assertThat(control(study).at("/together/scatter").asDouble()).isGreaterThan(15);
    assertThat(study.has("cpk")).isFalse();

    JsonNode end = bench.study(at(calm), BEFORE, "");
    assertThat(against(end)).doesNotContain("SCATTER", "TOO_FAR", "TOO_MANY_SIGNALS");
    assertThat(control(end).at("/together/points").asLong()).isEqualTo(30);
    assertThat(control(end).at("/together/scatter").asDouble()).isCloseTo(1, within(0.6));
  }

  @Test
  void pointsBeforeTheLastThousandCount() {
    ChartBench bench = bench("INDIVIDUALS", 1);
    for (int i = 0; i < 2200; i++) {
      double mean = i >= 1200 ? 10 : i % 20 < 10 ? 10.5 : 9.5;
      values.add(String.format(Locale.ROOT, "%.4f", mean + 0.2 * random.nextGaussian()));
    }
    bench.postAll(values, "kg", FROM, STEP);
    JsonNode study = bench.study(FROM, BEFORE, "");
    assertThat(control(study).at("/limitsFrom").asString()).isEqualTo("COMPUTED_FROM_WINDOW");
    assertThat(against(study)).contains("SCATTER");
    assertThat(control(study).at("/together/points").asLong()).isEqualTo(2200);
    assertThat(study.has("cpk")).isFalse();
    assertThat(control(bench.study(at(1200), BEFORE, "")).at("/inControl").asBoolean()).isTrue();
    assertThat(control(bench.study(at(1200), BEFORE, "")).has("together")).isFalse();
  }

  @Test
  void onePointFarOutIsNotInControlHoweverFewSignalAndWhoeverResponded() {
    ChartBench bench = bench("XBAR_S", 5);
    add(30, 0);
    int later = values.size();
    add(40, 0);
    for (int i = 0; i < 5; i++) {
      values.set(
          later + 50 + i, String.format(Locale.ROOT, "%.4f", 10.8 + 0.2 * random.nextGaussian()));
    }
    bench.postAll(values, "kg", FROM, STEP);
    assertThat(against(bench.study(at(later), BEFORE, ""))).containsExactly("TOO_FAR");

    bench
        .freeze(Codes.fresh("LS"), FROM, at(later), "inForceFrom", at(later).toString())
        .expect(201);
    assertThat(against(bench.study(at(later), BEFORE, ""))).contains("OPEN_SIGNALS", "TOO_FAR");
    for (JsonNode signal : bench.signals("&limit=100")) {
      bench
          .engineer()
          .post(
              "/api/v1/signals/" + signal.at("/id").asString() + "/responses",
              "{\"key\": \"%s\", \"cause\": \"unknown\", \"action\": \"none\"}"
                  .formatted(Codes.fresh("R")))
          .expect(201);
    }
    JsonNode study = bench.study(at(later), BEFORE, "");
    assertThat(against(study)).containsExactly("TOO_FAR");
    assertThat(control(study).at("/farthest").asDouble())
        .isGreaterThan(6)
        .isGreaterThan(control(study).at("/farthestByChance").asDouble());
    // the window in parts that are no whole shifts is judged point by point, and the same
    JsonNode inParts = bench.study(at(later).plusSeconds(1), BEFORE.minusSeconds(1), "");
    assertThat(control(inParts).at("/farthest")).isEqualTo(control(study).at("/farthest"));
  }

  @Test
  void aSpreadFarTooLargeIsNotInControl() {
    ChartBench bench = bench("XBAR_R", 5);
    add(40, 0);
    values.set(100, "9.0");
    values.set(101, "11.0");
    bench.postAll(values, "kg", FROM, STEP);
    assertThat(against(bench.study(FROM, BEFORE, ""))).contains("SPREAD_TOO_LARGE");
  }

  /** Means that move by more than the spread inside: intervals of Pp and Ppk allow for it. */
  @Test
  void subgroupsThatMoveTellLessOfPpThanAsManyIndependentReadings() {
    ChartBench moving = bench("XBAR_S", 5);
    for (int i = 0; i < 20; i++) {
      add(1, 0.25 * random.nextGaussian());
    }
    moving.postAll(values, "kg", FROM, STEP);
    JsonNode wide = moving.study(FROM, BEFORE, "");
    values.clear();
    ChartBench still = bench("XBAR_S", 5);
    add(20, 0);
    still.postAll(values, "kg", FROM, STEP);
    JsonNode narrow = still.study(FROM, BEFORE, "");
    assertThat(relativeWidth(narrow, "/pp")).isLessThan(0.31);
    assertThat(relativeWidth(wide, "/pp")).isGreaterThan(0.4);
    assertThat(relativeWidth(wide, "/ppk")).isGreaterThan(0.4);
  }

  private static double relativeWidth(JsonNode study, String index) {
    return (study.at(index + "/upper").asDouble() - study.at(index + "/lower").asDouble())
        / study.at(index + "/value").asDouble();
  }

  @Test
  void readingsThatAreNotNormalAreFlaggedAlsoWhereTailsCannotBeSeen() {
    ChartBench skewed = new ChartBench(tarebook, "INDIVIDUALS", 1);
    skewed.specification(null, "17", "kg");
    for (int i = 0; i < 60; i++) {
      values.add(String.format(Locale.ROOT, "%.2f", 10 - Math.log(1 - (i + 0.5) / 60)));
    }
    java.util.Collections.shuffle(values, random);
    skewed.postAll(values, "kg", FROM, STEP);
    assertThat(flags(skewed.study(FROM, BEFORE, ""))).contains("NOT_NORMAL");

    values.clear();
    ChartBench rounded = bench("INDIVIDUALS", 1);
    for (int i = 0; i < 500; i++) {
      values.add(String.format(Locale.ROOT, "%.1f", 10 + 0.2 * random.nextGaussian()));
    }
    rounded.postAll(values, "kg", FROM, STEP);
    assertThat(flags(rounded.study(FROM, BEFORE, ""))).doesNotContain("NOT_NORMAL");
  }

  private static List<String> flags(JsonNode study) {
    return study.at("/flags").valueStream().map(each -> each.at("/code").asString()).toList();
  }

  @Test
  void aFittedDistributionOfFewReadingsHasNoInterval() {
    ChartBench bench = bench("INDIVIDUALS", 1);
    for (int i = 0; i < 20; i++) {
      values.add(String.format(Locale.ROOT, "%.3f", 10 + 0.2 * random.nextGaussian()));
    }
    bench.postAll(values.subList(0, 19), "kg", FROM, STEP);
    JsonNode few = bench.study(FROM, BEFORE, "&method=LOGNORMAL");
    assertThat(few.at("/pp").has("value")).isTrue();
    assertThat(few.at("/pp").has("lower")).isFalse();
    assertThat(few.at("/notComputed").toString()).contains("pp.lower");
    bench.postAll(values.subList(19, 20), "kg", at(19), STEP);
    JsonNode enough = bench.study(FROM, BEFORE, "&method=LOGNORMAL");
    assertThat(enough.at("/pp/lower").asDouble()).isPositive();
  }
}
