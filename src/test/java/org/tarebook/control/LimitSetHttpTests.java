package org.tarebook.control;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
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
class LimitSetHttpTests {

  private static final Instant FROM = Instant.parse("2024-05-06T00:00:00Z");
  private static final Instant BEFORE = Instant.parse("2024-05-07T00:00:00Z");
  private static final Duration STEP = Duration.ofMinutes(5);
  private static final Offset<Double> CLOSE = within(1e-9);

  private final RunningTarebook tarebook;

  LimitSetHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  /**
   * Montgomery, Introduction to Statistical Quality Control, piston rings; limits recomputed with
   * exact factors by an independent program.
   */
  @Test
  void limitsOfThePistonRingsAreThoseOfTheReference() {
    JsonNode rings = Reference.json("statistics/xbar_s_piston_rings.json");
    ChartBench ranges = new ChartBench(tarebook, "mm", "NOT", "XBAR_R", 5);
    ranges.postAll(Reference.decimals(rings.at("/data")), "mm", FROM, STEP);
    requireLimits(ranges, rings.at("/recomputed/xbar_R"), "R");

    ChartBench deviations = new ChartBench(tarebook, "mm", "NOT", "XBAR_S", 5);
    deviations.postAll(Reference.decimals(rings.at("/data")), "mm", FROM, STEP);
    requireLimits(deviations, rings.at("/recomputed/xbar_s"), "s");
  }

  private static void requireLimits(ChartBench bench, JsonNode reference, String spread) {
    JsonNode set = bench.freeze(Codes.fresh("L"), FROM, BEFORE).expect(201).json();
    JsonNode limits = set.at("/limits");
    assertThat(set.at("/unit").asString()).isEqualTo("mm");
    assertThat(set.at("/baseline/points").asLong()).isEqualTo(25);
    assertThat(set.at("/baseline/readings").asLong()).isEqualTo(125);
    assertThat(limits.at("/centre").asDouble()).isCloseTo(74.001176, CLOSE);
    assertThat(limits.at("/upper").asDouble()).isCloseTo(reference.at("/ucl").asDouble(), CLOSE);
    assertThat(limits.at("/lower").asDouble()).isCloseTo(reference.at("/lcl").asDouble(), CLOSE);
    assertThat(limits.at("/spreadUpper").asDouble())
        .isCloseTo(reference.at("/ucl_" + spread).asDouble(), CLOSE);
    assertThat(limits.at("/spreadLower").asDouble())
        .isCloseTo(reference.at("/lcl_" + spread).asDouble(), CLOSE);
  }

  /** NIST/SEMATECH e-Handbook, 6.3.2.2, flow rate; with exact d2 instead of 1.128. */
  @Test
  void limitsOfTheFlowRateAreThoseOfTheHandbook() {
    JsonNode flow = Reference.json("statistics/imr_flowrate.json");
    ChartBench bench = new ChartBench(tarebook, "kg", "NOT", "INDIVIDUALS", 1);
    bench.postAll(Reference.decimals(flow.at("/data")), "kg", FROM, STEP);
    Answer frozen = bench.freeze(Codes.fresh("L"), FROM, BEFORE).expect(201);
    JsonNode exact = flow.at("/recomputed_exact_d2");
    assertThat(frozen.at("/limits/upper").asDouble())
        .isCloseTo(exact.at("/ucl_x").asDouble(), CLOSE);
    assertThat(frozen.at("/limits/lower").asDouble())
        .isCloseTo(exact.at("/lcl_x").asDouble(), CLOSE);
    assertThat(frozen.at("/limits/spreadUpper").asDouble())
        .isCloseTo(exact.at("/ucl_mr").asDouble(), CLOSE);
    assertThat(frozen.at("/limits/spreadCentre").asDouble())
        .isCloseTo(exact.at("/mr_bar").asDouble(), CLOSE);
    assertThat(frozen.at("/limits/sigma").asDouble())
        .isCloseTo(exact.at("/sigma_hat_mr").asDouble(), CLOSE);
    // printed: 55.8041 with d2 = 1.128
    assertThat(frozen.at("/limits/upper").asDouble()).isCloseTo(55.8041, within(0.002));
  }

  @Test
  void frozenLimitsAreTheSameAfterAnythingAndTellWhatChanged() {
    ChartBench bench = steady();
    String code = Codes.fresh("L");
    Answer frozen = bench.freeze(code, FROM, BEFORE).expect(201);
    assertThat(frozen.header("Location")).isEqualTo("/api/v1/limit-sets/" + code);
    assertThat(frozen.at("/baselineChanged").asLong()).isZero();
    bench.post("4.400", FROM.plus(Duration.ofHours(20)));
    JsonNode first = bench.points(FROM, BEFORE).at("/points/0");
    bench
        .engineer()
        .post(
            "/api/v1/readings/" + first.at("/firstReading").asLong() + "/amendments",
            "{\"key\":\"v1\",\"kind\":\"VOID\",\"reason\":\"scale was touched\"}")
        .expect(201);
    Answer later = bench.engineer().get("/api/v1/limit-sets/" + code).expect(200);
    assertThat(later.at("/limits")).isEqualTo(frozen.at("/limits"));
    assertThat(later.at("/baselineChanged").asLong()).isEqualTo(2);
    assertThat(
            bench
                .engineer()
                .get("/api/v1/limit-sets?chart=" + bench.chart())
                .at("/items/0/code")
                .asString())
        .isEqualTo(code);
  }

  @Test
  void aRetryIsTheSameFactAndOtherContentIsRefused() {
    ChartBench bench = steady();
    String code = Codes.fresh("L");
    Answer first = bench.freeze(code, FROM, BEFORE).expect(201);
    Answer again = bench.freeze(code, FROM, BEFORE).expect(200);
    assertThat(again.header("Idempotent-Replayed")).isEqualTo("true");
    assertThat(again.json()).isEqualTo(first.json());
    Answer other =
        bench.freeze(code, FROM, BEFORE, "reason", "another", "estimator", "POOLED").expect(422);
    assertThat(other.problem()).isEqualTo("key-reused");
    assertThat(other.text()).contains("estimator, reason");
  }

  @Test
  void limitsThatCannotHoldAreRefused() {
    ChartBench bench = steady();
    String code = Codes.fresh("L");
    bench.freeze(code, FROM, BEFORE).expect(201);
    assertRefused(bench.freeze(code, FROM, BEFORE, "key", "k2"), 409, "already-exists", "/code");
    assertRefused(
        bench.freeze(Codes.fresh("L"), FROM, BEFORE, "key", "k3"), 409, "conflict", "another");
    assertRefused(
        bench.freeze("L-9", FROM, FROM.plusSeconds(350), "inForceFrom", BEFORE.toString()),
        422,
        "rule-broken",
        "1 moving range(s)");
    assertRefused(
        bench.freeze("L-9", FROM, FROM, "inForceFrom", BEFORE.toString()),
        422,
        "rule-broken",
        "behind measuredFrom");
    assertRefused(
        bench.freeze(
            "L-9", FROM, FROM.plus(Duration.ofDays(500)), "inForceFrom", BEFORE.toString()),
        422,
        "rule-broken",
        "400 days");
    assertRefused(
        bench.freeze("L-9", FROM, BEFORE, "inForceFrom", FROM.minusSeconds(1).toString()),
        422,
        "rule-broken",
        "before the baseline");
    assertRefused(
        bench.freeze("L-9", FROM, BEFORE, "estimator", "R_BAR", "inForceFrom", BEFORE.toString()),
        422,
        "rule-broken",
        "use MOVING_RANGE");
    assertRefused(
        bench.freeze("L-9", FROM, BEFORE, "chart", "NO-SUCH"), 422, "unknown-code", "/chart");
    assertRefused(bench.freeze("preview", FROM, BEFORE), 422, "rule-broken", "names the preview");
    assertRefused(
        bench.freeze("L-9", FROM, BEFORE, "reason", " "), 400, "invalid-request", "reason");
    assertThat(bench.engineer().get("/api/v1/limit-sets/NO-SUCH").status()).isEqualTo(404);
    assertThat(tarebook.reader().post("/api/v1/limit-sets", "{}").expect(403).problem())
        .isEqualTo("not-allowed");
  }

  @Test
  void noVariationGivesNoLimits() {
    ChartBench bench = new ChartBench(tarebook, "XBAR_R", 2);
    bench.postAll(List.of("4.4", "4.4", "4.4", "4.4", "4.4", "4.4"), "kg", FROM, STEP);
    assertRefused(
        bench.freeze("L-9", FROM, BEFORE),
        422,
        "rule-broken",
        "Nothing varies within the baseline");
    JsonNode preview = preview(bench, "");
    assertThat(preview.has("limits")).isFalse();
    assertThat(preview.at("/notComputed/0/reason").asString()).isEqualTo("ZERO_SPREAD");
  }

  @Test
  void aPreviewTellsPointsBeyondAndDoubts() {
    ChartBench bench = new ChartBench(tarebook, "kg", "NOT", "XBAR_R", 2, "DIE");
    for (int i = 0; i < 24; i++) {
      String die = i < 12 ? "D1" : "D2";
      int step = i % 12 == 5 ? 9 : 0;
      String value = "4." + (i < 12 ? 30 + step + i % 3 : 50 + i % 3);
      bench.post(value, FROM.plus(STEP.multipliedBy(i)), "die", die);
    }
    JsonNode preview = preview(bench, "");
    assertThat(preview.at("/flags").toString())
        .contains("\"TOO_FEW\"", "\"MIXED_STRATA\"")
        .contains("There are 12 points; common practice asks for at least 20 subgroups.");
    assertThat(preview.at("/baseline/points").asLong()).isEqualTo(12);
    assertThat(preview.at("/beyond").size()).isPositive();
    assertThat(preview.at("/beyond/0/lastReading").asLong()).isPositive();
    JsonNode one = preview(bench, "&stratum=" + ChartBench.encoded("DIE=D1"));
    assertThat(one.at("/flags").toString()).doesNotContain("MIXED_STRATA");
    assertThat(one.at("/baseline/points").asLong()).isEqualTo(6);
    assertThat(one.at("/baseline/readings").asLong()).isEqualTo(12);
  }

  @Test
  void aCoarseInstrumentIsTold() {
    ChartBench bench = new ChartBench(tarebook, "INDIVIDUALS", 1);
    bench.postAll(
        List.of("4.4", "4.4", "4.4", "4.5", "4.4", "4.4", "4.4", "4.4"), "kg", FROM, STEP);
    JsonNode flags = preview(bench, "").at("/flags");
    assertThat(flags.toString()).contains("\"TOO_COARSE\"", "\"step\":0.1");
  }

  /** One strip in pounds, and one of ten readings whose client sends 4.4 for 4.40. */
  @Test
  void oneCoarseNumberMakesNoCoarseLine() {
    ChartBench bench = new ChartBench(tarebook, "INDIVIDUALS", 1);
    List<String> values = new ArrayList<>();
    for (int i = 0; i < 40; i++) {
      String value = "4.4" + (i * 7) % 10;
      values.add(value.equals("4.40") ? "4.4" : value);
    }
    bench.postAll(values, "kg", FROM, STEP);
    bench.postAll(List.of("9.8"), "[lb_av]", FROM.plus(STEP.multipliedBy(41)), STEP);
    JsonNode preview = preview(bench, "");
    assertThat(preview.at("/baseline/readings").asLong()).isEqualTo(41);
    assertThat(preview.at("/flags").toString()).doesNotContain("TOO_COARSE");
    // sixty more, by a scale that shows tenths
    values.clear();
    for (int i = 0; i < 60; i++) {
      values.add(i % 2 == 0 ? "4.4" : "4.5");
    }
    bench.postAll(values, "kg", FROM.plus(STEP.multipliedBy(50)), STEP);
    assertThat(preview(bench, "").at("/flags").toString())
        .contains(
            "\"TOO_COARSE\"", "At least a fifth of the readings are recorded in steps of 0.1");
  }

  @Test
  void aStratumsOwnLimitsGoBeforeThoseOfTheChart() {
    ChartBench bench = new ChartBench(tarebook, "kg", "NOT", "INDIVIDUALS", 1, "DIE");
    for (int i = 0; i < 12; i++) {
      bench.post("4." + (30 + i % 3), FROM.plus(STEP.multipliedBy(i)), "die", "D1");
      bench.post("4." + (50 + i % 3), FROM.plus(STEP.multipliedBy(i)), "die", "D2");
    }
    String all = Codes.fresh("L");
    String own = Codes.fresh("L");
    bench.freeze(all, FROM, BEFORE).expect(201);
    bench.freeze(own, FROM, BEFORE, "stratum", "DIE=D2").expect(201);
    for (JsonNode point : bench.points(FROM, BEFORE).at("/points")) {
      boolean second = point.at("/stratum").asString().equals("DIE=D2");
      assertThat(point.at("/limitSet").asString()).isEqualTo(second ? own : all);
    }
    Answer chart = bench.engineer().get("/api/v1/charts/" + bench.chart()).expect(200);
    assertThat(chart.at("/inForce").size()).isEqualTo(2);
    assertThat(chart.at("/row/unit").asString()).isEqualTo("kg");
    assertThat(chart.at("/lastPointAt").asString())
        .isEqualTo(FROM.plus(STEP.multipliedBy(11)).toString());
  }

  @Test
  void aChartWithoutLimitsSaysSo() {
    ChartBench bench = steady();
    Answer points = bench.points(FROM, BEFORE);
    assertThat(points.at("/points").size()).isEqualTo(24);
    assertThat(points.at("/points/0").has("upper")).isFalse();
    assertThat(points.at("/points/0").has("spread")).isFalse();
    assertThat(points.at("/notComputed/0/reason").asString()).isEqualTo("NO_LIMIT_SET");
    Answer list = bench.engineer().get("/api/v1/charts?line=" + bench.floor().line()).expect(200);
    assertThat(list.at("/items/0/code").asString()).isEqualTo(bench.chart());
    assertThat(bench.engineer().get("/api/v1/charts?line=NO-SUCH").status()).isEqualTo(422);
    assertThat(bench.engineer().get("/api/v1/charts/NO-SUCH").status()).isEqualTo(404);
  }

  private ChartBench steady() {
    ChartBench bench = new ChartBench(tarebook, "INDIVIDUALS", 1);
    List<String> values = new ArrayList<>();
    for (int i = 0; i < 24; i++) {
      values.add("4.38" + (i * 7 % 5));
    }
    bench.postAll(values, "kg", FROM, STEP);
    return bench;
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

  private static void assertRefused(Answer answer, int status, String problem, String words) {
    assertThat(answer.expect(status).problem()).isEqualTo(problem);
    assertThat(answer.text()).contains(words);
  }
}
