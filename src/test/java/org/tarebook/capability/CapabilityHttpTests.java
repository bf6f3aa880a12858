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
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.ChartBench;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.Reference;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;

@OnBothDatabases
class CapabilityHttpTests {

  private static final Instant FROM = Instant.parse("2024-05-06T00:00:00Z");
  private static final Instant BEFORE = Instant.parse("2024-05-07T00:00:00Z");
  private static final Duration STEP = Duration.ofMinutes(5);
  private static final Offset<Double> CLOSE = within(1e-9);

  private final RunningTarebook tarebook;

  CapabilityHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  /**
   * Montgomery, Introduction to Statistical Quality Control, piston rings, 73.95 to 74.05 mm;
   * indices and intervals recomputed with exact factors by an independent program.
   */
  @Test
  void indicesOfThePistonRingsAreThoseOfTheReference() {
    JsonNode rings = Reference.json("statistics/xbar_s_piston_rings.json");
    JsonNode reference = Reference.json("statistics/dataset_indices.json").at("/piston_rings");
    ChartBench ranges = bench("XBAR_R", 5, rings, "73.95", "74.05");
    requireIndices(ranges.study(FROM, BEFORE, ""), reference, "within_Rbar_over_d2");
    requireIndices(ranges.study(FROM, BEFORE, "&estimator=POOLED"), reference, "within_pooled");
    ChartBench deviations = bench("XBAR_S", 5, rings, "73.95", "74.05");
    JsonNode study = deviations.study(FROM, BEFORE, "");
    requireIndices(study, reference, "within_sbar_over_c4");
    assertThat(study.at("/control/inControl").asBoolean()).isTrue();
    assertThat(study.at("/control/limitsFrom").asString()).isEqualTo("COMPUTED_FROM_WINDOW");
    assertThat(study.at("/notComputed").size()).isEqualTo(2);
    assertThat(reason(study, "cpm")).isEqualTo("NO_TARGET");
    assertThat(reason(study, "control.openSignals")).isEqualTo("NO_LIMIT_SET");
    assertThat(study.at("/counts/readings").asLong()).isEqualTo(125);
    assertThat(study.at("/counts/points").asLong()).isEqualTo(25);
    assertThat(study.at("/counted/total/readings").asLong()).isZero();
    double ppm = study.at("/estimated/below").asDouble() + study.at("/estimated/above").asDouble();
    assertThat(ppm * 1e6).isCloseTo(reference.at("/ppm_overall_normal").asDouble(), within(1e-8));
  }

  /** NIST/SEMATECH e-Handbook, data set GEAR.DAT, with limits 0.985 and 1.010. */
  @Test
  void indicesOfTheGearsAreThoseOfTheReference() {
    JsonNode gears = Reference.json("statistics/xbar_gear.json");
    JsonNode reference = Reference.json("statistics/dataset_indices.json").at("/gear");
    ChartBench bench = bench("XBAR_S", 10, gears, "0.985", "1.010");
    JsonNode study = bench.study(FROM, BEFORE, "&evenIfNotInControl=true");
    requireIndices(study, reference, "within_sbar_over_c4");
    assertThat(study.at("/counted/total/readings").asLong())
        .isEqualTo(reference.at("/observed_outside").asLong());
  }

  private ChartBench bench(String kind, int n, JsonNode data, String lower, String upper) {
    ChartBench bench = new ChartBench(tarebook, "mm", "NOT", kind, n);
    bench.specification(lower, upper, "mm");
    bench.postAll(Reference.decimals(data.at("/data")), "mm", FROM, STEP);
    return bench;
  }

  private static void requireIndices(JsonNode study, JsonNode reference, String within) {
    JsonNode own = reference.at("/indices/" + within);
    JsonNode overall = reference.at("/indices/overall");
    assertThat(study.at("/mean").asDouble()).isCloseTo(reference.at("/mean").asDouble(), CLOSE);
    assertThat(study.at("/sigmaWithin/sigma").asDouble())
        .isCloseTo(reference.at("/sigma/" + within).asDouble(), CLOSE);
    assertThat(study.at("/sigmaTotal/sigma").asDouble())
        .isCloseTo(reference.at("/sigma/overall").asDouble(), CLOSE);
    assertThat(study.at("/cp/value").asDouble()).isCloseTo(own.at("/Cp").asDouble(), CLOSE);
    assertThat(study.at("/cpk/value").asDouble()).isCloseTo(own.at("/Cpk").asDouble(), CLOSE);
    assertThat(study.at("/cpu/value").asDouble()).isCloseTo(own.at("/CpU").asDouble(), CLOSE);
    assertThat(study.at("/cpl/value").asDouble()).isCloseTo(own.at("/CpL").asDouble(), CLOSE);
    assertThat(study.at("/pp/value").asDouble()).isCloseTo(overall.at("/Cp").asDouble(), CLOSE);
    assertThat(study.at("/ppk/value").asDouble()).isCloseTo(overall.at("/Cpk").asDouble(), CLOSE);
    assertThat(study.at("/ppu/value").asDouble()).isCloseTo(overall.at("/CpU").asDouble(), CLOSE);
    assertThat(study.at("/ppl/value").asDouble()).isCloseTo(overall.at("/CpL").asDouble(), CLOSE);
    JsonNode limits = reference.at("/overall_limits_95");
    assertThat(study.at("/pp/lower").asDouble()).isCloseTo(limits.at("/Pp/0").asDouble(), CLOSE);
    assertThat(study.at("/pp/upper").asDouble()).isCloseTo(limits.at("/Pp/1").asDouble(), CLOSE);
    assertThat(study.at("/ppk/lower").asDouble())
        .isCloseTo(limits.at("/Ppk_bissell/0").asDouble(), CLOSE);
    assertThat(study.at("/ppk/upper").asDouble())
        .isCloseTo(limits.at("/Ppk_bissell/1").asDouble(), CLOSE);
  }

  /** NIST/SEMATECH e-Handbook, 6.3.2.2, flow rate. */
  @Test
  void theFlowRateHasTheHandbooksSigmaAndOneSideOnly() {
    JsonNode flow = Reference.json("statistics/imr_flowrate.json");
    ChartBench bench = new ChartBench(tarebook, "kg", "NOT", "INDIVIDUALS", 1);
    bench.specification(null, "60", "kg");
    bench.postAll(Reference.decimals(flow.at("/data")), "kg", FROM, STEP);
    // ten points cannot show a process to be in control
    JsonNode untold = bench.study(FROM, BEFORE, "");
    assertThat(untold.at("/control").has("inControl")).isFalse();
    assertThat(untold.at("/control/judgedPoints").asLong()).isEqualTo(10);
    assertThat(reason(untold, "control.inControl")).isEqualTo("TOO_FEW");
    assertThat(untold.has("cpk")).isFalse();
    assertThat(reason(untold, "cpk")).isEqualTo("CONTROL_UNKNOWN");
    JsonNode study = bench.study(FROM, BEFORE, "&evenIfNotInControl=true");
    assertThat(study.at("/shownAlthoughNotInControl").asBoolean()).isTrue();
    // no limits were in force, so "no open signal" would say nothing
    assertThat(study.at("/control").has("openSignals")).isFalse();
    assertThat(reason(study, "control.openSignals")).isEqualTo("NO_LIMIT_SET");
    assertThat(study.at("/control/limits/unit").asString()).isEqualTo("kg");
    double sigma = flow.at("/recomputed_exact_d2/sigma_hat_mr").asDouble();
    assertThat(study.at("/sigmaWithin/sigma").asDouble()).isCloseTo(sigma, CLOSE);
    assertThat(study.at("/cpk/value").asDouble()).isCloseTo((60 - 50.81) / (3 * sigma), CLOSE);
    assertThat(study.at("/cpu")).isEqualTo(study.at("/cpk"));
    assertThat(study.has("cp")).isFalse();
    assertThat(study.has("cpl")).isFalse();
    assertThat(reason(study, "cp")).isEqualTo("ONE_SIDED");
    assertThat(reason(study, "cpl")).isEqualTo("ONE_SIDED");
    assertThat(reason(study, "ppl")).isEqualTo("ONE_SIDED");
    assertThat(study.at("/flags").toString()).contains("\"TOO_FEW\"");
  }

  @Test
  void aProcessNotInControlHasNoCpkUnlessAskedForAndThenMarked() {
    ChartBench bench = steady(7);
    bench.freeze(Codes.fresh("L"), FROM, BEFORE).expect(201);
    Instant next = BEFORE.plus(Duration.ofHours(6));
    for (int i = 0; i < 4; i++) {
      bench.post("4.450", next.plus(STEP.multipliedBy(i)));
    }
    Instant end = BEFORE.plus(Duration.ofDays(1));
    JsonNode study = bench.study(FROM, end, "");
    assertThat(study.at("/control/inControl").asBoolean()).isFalse();
    assertThat(study.at("/control/limitsFrom").asString()).isEqualTo("FROZEN");
    assertThat(study.at("/control/openSignals").asLong()).isPositive();
    // of whole shifts, and of a window that ends within one, where points are looked at singly
    for (Instant before : List.of(end, next.plus(STEP.multipliedBy(3)).plusSeconds(1))) {
      assertThat(bench.study(FROM, before, "").at("/control/openSince").asString())
          .isEqualTo(next.toString());
    }
    for (String figure : List.of("cp", "cpk", "cpu", "cpl")) {
      assertThat(study.has(figure)).as(figure).isFalse();
      assertThat(reason(study, figure)).isEqualTo("NOT_IN_CONTROL");
    }
    assertThat(study.at("/ppk/value").asDouble()).isPositive();
    assertThat(study.has("shownAlthoughNotInControl")).isFalse();
    JsonNode asked = bench.study(FROM, end, "&evenIfNotInControl=true");
    assertThat(asked.at("/cpk/value").asDouble()).isPositive();
    assertThat(asked.at("/shownAlthoughNotInControl").asBoolean()).isTrue();
    // the days before were in control
    assertThat(bench.study(FROM, BEFORE, "").at("/cpk/value").asDouble()).isPositive();
  }

  @Test
  void everySignalRespondedToIsStillCountedAgainstChance() {
    ChartBench bench = steady(8);
    JsonNode limits = bench.freeze(Codes.fresh("L"), FROM, BEFORE).expect(201).at("/limits");
    Instant next = BEFORE.plus(Duration.ofHours(6));
    // beyond the limits, but not farther than chance explains
    double sigma = (limits.at("/upper").asDouble() - limits.at("/centre").asDouble()) / 3;
    bench.post(
        String.format(Locale.ROOT, "%.4f", limits.at("/upper").asDouble() + 0.3 * sigma), next);
    Instant end = BEFORE.plus(Duration.ofDays(1));
    assertThat(bench.study(FROM, end, "").at("/control/inControl").asBoolean()).isFalse();
    int key = 0;
    for (JsonNode signal : bench.signals("&open=true")) {
      bench
          .engineer()
          .post(
              "/api/v1/signals/" + signal.at("/id").asLong() + "/responses",
              "{\"key\":\"r" + key++ + "\",\"cause\":\"strip folded\",\"action\":\"weighed anew\"}")
          .expect(201);
    }
    JsonNode control = bench.study(FROM, end, "").at("/control");
    assertThat(control.at("/openSignals").asLong(-1)).isZero();
    assertThat(control.has("openSince")).isFalse();
    assertThat(control.at("/signalledPoints").asLong())
        .isLessThanOrEqualTo(control.at("/mostByChance").asLong());
    assertThat(control.at("/inControl").asBoolean()).isTrue();
  }

  @Test
  void voidedReadingsAreOutOfEveryFigureAtOnceAndCounted() {
    ChartBench bench = steady(9);
    JsonNode before = bench.study(FROM, BEFORE, "");
    long late = bench.post("9.999", BEFORE.minus(STEP)).at("/id").asLong();
    assertThat(bench.study(FROM, BEFORE, "").at("/mean")).isNotEqualTo(before.at("/mean"));
    bench
        .engineer()
        .post(
            "/api/v1/readings/" + late + "/amendments",
            "{\"key\":\"v1\",\"kind\":\"VOID\",\"reason\":\"wrong item\"}")
        .expect(201);
    JsonNode after = bench.study(FROM, BEFORE, "");
    assertThat(after.at("/counts/excluded/0/cause").asString()).isEqualTo("VOIDED");
    for (String figure : List.of("mean", "sigmaWithin", "sigmaTotal", "cpk", "ppk", "counted")) {
      assertThat(after.at("/" + figure)).as(figure).isEqualTo(before.at("/" + figure));
    }
  }

  @Test
  void theOrderInWhichReadingsCameChangesNoDigit() {
    List<String> values = values(10, 120);
    ChartBench forth = new ChartBench(tarebook, "XBAR_R", 3);
    ChartBench back = new ChartBench(tarebook, "XBAR_R", 3);
    for (ChartBench bench : List.of(forth, back)) {
      bench.specification("4.35", "4.43", "kg");
    }
    for (int i = 0; i < 120; i += 30) {
      forth.postAll(values.subList(i, i + 30), "kg", FROM.plus(STEP.multipliedBy(i)), STEP);
    }
    for (int i = 90; i >= 0; i -= 30) {
      back.postAll(values.subList(i, i + 30), "kg", FROM.plus(STEP.multipliedBy(i)), STEP);
    }
    JsonNode first = forth.study(FROM, BEFORE, "");
    JsonNode second = back.study(FROM, BEFORE, "");
    for (String figure : List.of("mean", "sigmaWithin", "sigmaTotal", "cp", "cpk", "pp", "ppk")) {
      assertThat(second.at("/" + figure)).as(figure).isEqualTo(first.at("/" + figure));
    }
  }

  @Test
  void limitsInPoundsAreConvertedAndReadingsCountedExactly() {
    ChartBench bench = new ChartBench(tarebook, "INDIVIDUALS", 1);
    bench.specification("9.60", "9.75", "[lb_av]");
    // 9.75 lb is 4.4225256075 kg: 4.422 lies inside, 4.423 outside; 9.60 lb is 4.354486752 kg
    bench.postAll(List.of("4.422", "4.423", "4.400", "4.354", "4.355"), "kg", FROM, STEP);
    JsonNode study = bench.study(FROM, BEFORE, "&evenIfNotInControl=true");
    assertThat(study.at("/specification/upper").asDouble()).isEqualTo(4.4225256075);
    assertThat(study.at("/specification/lower").asDouble()).isEqualTo(4.354486752);
    assertThat(study.at("/specification/unitWritten").asString()).isEqualTo("[lb_av]");
    assertThat(study.at("/counted/above/readings").asLong()).isEqualTo(1);
    assertThat(study.at("/counted/below/readings").asLong()).isEqualTo(1);
    assertThat(study.at("/counted/total/share").asDouble()).isEqualTo(0.4);
    assertThat(study.at("/revisions/0/revision").asInt()).isEqualTo(1);
  }

  @Test
  void figuresThatDoNotExistAreAbsentAndSayWhy() {
    ChartBench bench = new ChartBench(tarebook, "XBAR_R", 5);
    JsonNode nothing = bench.study(FROM, BEFORE, "");
    assertThat(reason(nothing, "mean")).isEqualTo("NO_READINGS");
    assertThat(reason(nothing, "cpk")).isEqualTo("NO_SPECIFICATION");
    assertThat(reason(nothing, "counted")).isEqualTo("NO_SPECIFICATION");
    assertThat(nothing.toString()).doesNotContain("NaN");
    bench.specification("4.35", "4.43", "kg");
    bench.post("4.4", FROM);
    JsonNode one = bench.study(FROM, BEFORE, "");
    assertThat(one.at("/mean").asDouble()).isEqualTo(4.4);
    assertThat(reason(one, "cpk")).isEqualTo("TOO_FEW");
    assertThat(reason(one, "ppk")).isEqualTo("TOO_FEW");
    assertThat(reason(one, "control")).isEqualTo("TOO_FEW");
    assertThat(one.at("/counts/incomplete").asLong()).isEqualTo(1);
    bench.postAll(List.of("4.4", "4.4", "4.4", "4.4"), "kg", FROM.plus(STEP), STEP);
    JsonNode equal = bench.study(FROM, BEFORE, "");
    assertThat(reason(equal, "cpk")).isEqualTo("ZERO_SPREAD");
    assertThat(reason(equal, "ppk")).isEqualTo("ZERO_SPREAD");
    assertThat(reason(equal, "estimated")).isEqualTo("ZERO_SPREAD");
    assertThat(equal.at("/sigmaWithin/sigma").asDouble()).isZero();
  }

  @Test
  void aBoundedCharacteristicHasNoNormalIndices() {
    ChartBench bench = new ChartBench(tarebook, "mm", "BELOW_AT_0", "INDIVIDUALS", 1);
    bench.specification(null, "0.5", "mm");
    bench.postAll(List.of("0.1", "0.0", "0.3", "0.6", "0.2"), "mm", FROM, STEP);
    JsonNode study = bench.study(FROM, BEFORE, "");
    for (String figure : List.of("cpk", "cpu", "ppk", "ppu", "estimated")) {
      assertThat(study.has(figure)).isFalse();
      assertThat(reason(study, figure)).isEqualTo("BOUNDED_CHARACTERISTIC");
    }
    assertThat(study.at("/counted/above/readings").asLong()).isEqualTo(1);
  }

  @Test
  void equalLimitsLeaveNothingToCompareWith() {
    ChartBench bench = steady(11, "4.385", "4.385");
    JsonNode study = bench.study(FROM, BEFORE, "");
    assertThat(reason(study, "cpk")).isEqualTo("LIMITS_EQUAL");
    assertThat(study.at("/counted/total/readings").asLong()).isPositive();
  }

  @Test
  void aLineIsStudiedChartByChart() {
    ChartBench bench = steady(12);
    String address =
        "/api/v1/capability?line="
            + bench.floor().line()
            + "&measuredFrom="
            + FROM
            + "&measuredBefore="
            + BEFORE;
    Answer line = bench.engineer().get(address).expect(200);
    assertThat(line.at("/studies").size()).isEqualTo(1);
    assertThat(line.at("/studies/0")).isEqualTo(bench.study(FROM, BEFORE, ""));
    assertThat(line.at("/definitions").toString()).contains("AIAG");
  }

  @Test
  void theWindowIsTheLastThirtyDaysWhenLeftOut() {
    ChartBench bench = steady(13);
    tarebook.clock().set("2024-05-20T12:00:00Z");
    Answer answer = bench.engineer().get("/api/v1/capability?chart=" + bench.chart()).expect(200);
    assertThat(answer.at("/measuredBefore").asString()).isEqualTo("2024-05-20T12:00:00Z");
    assertThat(answer.at("/measuredFrom").asString()).isEqualTo("2024-04-20T12:00:00Z");
    assertThat(answer.at("/studies/0/counts/readings").asLong()).isEqualTo(120);
  }

  @Test
  void readingsOfAnInstrumentWhoseCheckIsOverdueAreCountedAsUnverified() {
    ChartBench bench = steady(15);
    assertThat(bench.study(FROM, BEFORE, "").at("/counts/unverified").asLong()).isZero();
    bench
        .engineer()
        .put(
            "/api/v1/control-plan/" + bench.chart(),
            "{\"name\":\"Chart\",\"method\":\"scale\",\"sampleSize\":1,\"frequency\":\"each\","
                + "\"response\":\"Stop\",\"checkEveryMinutes\":480,\"retired\":false}",
            "If-Match",
            bench.engineer().get("/api/v1/control-plan/" + bench.chart()).header("ETag"))
        .expect(200);
    // the scale was never checked
    assertThat(bench.study(FROM, BEFORE, "").at("/counts/unverified").asLong()).isEqualTo(120);
  }

  @Test
  void questionsThatCannotBeAnsweredAreRefused() {
    ChartBench bench = steady(14);
    assertRefused(bench, "", 400, "give either chart or line");
    assertRefused(bench, "?chart=A&line=B", 400, "give either chart or line");
    assertRefused(bench, "?chart=NO-SUCH", 422, "There is no chart");
    assertRefused(bench, "?line=NO-SUCH", 422, "There is no line");
    assertRefused(bench, "?chart=" + bench.chart() + "&estimator=S_BAR", 422, "use MOVING_RANGE");
    assertRefused(bench, "?chart=" + bench.chart() + "&estimator=BEST", 400, "estimator");
    assertRefused(bench, "?chart=" + bench.chart() + "&confidence=1", 400, "confidence");
    assertRefused(
        bench,
        "?chart=" + bench.chart() + "&measuredFrom=" + BEFORE + "&measuredBefore=" + FROM,
        422,
        "must lie behind measuredFrom");
    assertRefused(
        bench,
        "?chart=" + bench.chart() + "&measuredFrom=2020-01-01T00:00:00Z&measuredBefore=" + FROM,
        422,
        "400 days");
  }

  private static void assertRefused(ChartBench bench, String query, int status, String words) {
    assertThat(bench.engineer().get("/api/v1/capability" + query).expect(status).text())
        .contains(words);
  }

  private ChartBench steady(long seed) {
    return steady(seed, "4.35", "4.43");
  }

  private ChartBench steady(long seed, String lower, String upper) {
    ChartBench bench = new ChartBench(tarebook, "INDIVIDUALS", 1);
    bench.specification(lower, upper, "kg");
    bench.postAll(values(seed, 120), "kg", FROM, STEP);
    return bench;
  }

  /** About normal, 4.385 kg, sigma 0.006 kg, seeded. */
  private static List<String> values(long seed, int count) {
    Random random = new Random(seed);
    List<String> values = new ArrayList<>();
    for (int i = 0; i < count; i++) {
      double value = 4.385 + 0.006 * Math.max(-2, Math.min(2, random.nextGaussian()));
      values.add(String.format(Locale.ROOT, "%.3f", value));
    }
    return values;
  }

  private static String reason(JsonNode study, String figure) {
    for (JsonNode each : study.at("/notComputed")) {
      if (each.at("/figure").asString().equals(figure)) {
        return each.at("/reason").asString();
      }
    }
    return "";
  }
}
