package org.tarebook.chart;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.fixtures.ShopFloor.json;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.ShopFloor;

@OnBothDatabases
class ControlPlanHttpTests {

  private static final String PATH = "/api/v1/control-plan";

  private final ShopFloor floor;
  private final Client quality;

  ControlPlanHttpTests(RunningTarebook tarebook) {
    this.floor = new ShopFloor(tarebook, "kg");
    this.quality = tarebook.quality();
  }

  @Test
  void aRowIsAChartAndAReadingFindsIt() {
    String chart = floor.chart(floor.mass(), "XBAR_R", 5);
    Answer row = quality.get(PATH + "/" + chart).expect(200);
    assertThat(row.at("/rules")).hasSize(4);
    assertThat(row.at("/unit").asString()).isEqualTo("kg");
    Answer reading = floor.post(floor.posting(5.5, "kg", "2026-03-02T06:00:00Z")).expect(201);
    assertThat(reading.at("/chart").asString()).isEqualTo(chart);
  }

  @Test
  void oneCharacteristicOnOneLineHasOneRowInUse() {
    String first = floor.chart(floor.mass(), "XBAR_R", 5);
    Answer second = quality.post(PATH, row("XBAR_S", 4));
    assertThat(second.expect(409).at("/errors/0/detail").asString()).contains(first);
    String change =
        json(
            "name",
            "n",
            "method",
            "m",
            "sampleSize",
            1,
            "frequency",
            "f",
            "response",
            "r",
            "retired",
            true);
    quality.put(PATH + "/" + first, change, "If-Match", "\"0\"").expect(200);
    quality.post(PATH, row("XBAR_S", 4)).expect(201);
    assertThat(
            quality
                .put(PATH + "/" + first, change.replace("true", "false"), "If-Match", "\"1\"")
                .expect(409)
                .problem())
        .isEqualTo("conflict");
  }

  @Test
  void rowsThatCannotHoldAreRefused() {
    assertThat(refused(row("INDIVIDUALS", 5))).isEqualTo("/subgroupSize");
    assertThat(refused(row("XBAR_R", 1))).isEqualTo("/subgroupSize");
    assertThat(refused(row("XBAR_R", 5, "rules", List.of("SEVEN_IN_A_ROW")))).isEqualTo("/rules");
    assertThat(refused(row("XBAR_R", 5, "permissibleError", 0.1)))
        .isEqualTo("/permissibleErrorUnit");
    assertThat(refused(row("XBAR_R", 5, "permissibleError", 1, "permissibleErrorUnit", "mm")))
        .isEqualTo("/permissibleErrorUnit");
    quality.post(PATH, row("XBAR_R", 26)).expect(400);
    quality.post(PATH, row("XBAR_R", 5, "line", "NO-SUCH")).expect(422);
  }

  @Test
  void aRowMixesRulesOfAnySetWithItsOwn() {
    Answer made =
        quality
            .post(
                PATH,
                row(
                    "XBAR_S",
                    4,
                    "rules",
                    List.of("NELSON_1", "ISO_3", "TWO_OF_THREE"),
                    "ownRules",
                    List.of(ownRule("THREE_HIGH", 3, 4, 1.5, "ABOVE")),
                    "ewmaWeight",
                    0.1,
                    "ewmaReach",
                    2.7,
                    "cusumAllowance",
                    0.5,
                    "cusumDecision",
                    4,
                    "estimator",
                    "POOLED",
                    "confidence",
                    0.9))
            .expect(201);
    String code = made.at("/code").asString();
    Answer row = quality.get(PATH + "/" + code).expect(200);
    assertThat(row.at("/rules").toString()).isEqualTo("[\"NELSON_1\",\"ISO_3\",\"TWO_OF_THREE\"]");
    assertThat(row.at("/ownRules/0/code").asString()).isEqualTo("THREE_HIGH");
    assertThat(row.at("/ownRules/0/side").asString()).isEqualTo("ABOVE");
    assertThat(row.at("/ewmaWeight").asDouble()).isEqualTo(0.1);
    assertThat(row.at("/cusumDecision").asDouble()).isEqualTo(4);
    assertThat(row.at("/estimator").asString()).isEqualTo("POOLED");
    assertThat(row.at("/confidence").asDouble()).isEqualTo(0.9);
    Answer chart = quality.get("/api/v1/charts/" + code).expect(200);
    assertThat(chart.at("/row/rules").toString())
        .isEqualTo(
            "[\"NELSON_1\",\"ISO_3\",\"TWO_OF_THREE\",\"THREE_HIGH_ABOVE\",\"EWMA\",\"CUSUM\"]");
    assertThat(chart.at("/cost/exact").asBoolean()).isFalse();
    assertThat(chart.at("/cost/inControl").asDouble()).isBetween(50.0, 110.0);
    assertThat(chart.at("/cost/words").asString()).contains("signals falsely about once in");
  }

  @Test
  void rulesThatCannotHoldAreRefused() {
    assertThat(refused(row("XBAR_R", 5, "rules", List.of()))).isEqualTo("/rules");
    assertThat(refused(row("XBAR_R", 5, "rules", List.of("ISO_1", "ISO_1")))).isEqualTo("/rules");
    assertThat(refused(row("XBAR_R", 5, "ewmaWeight", 0.2))).isEqualTo("/ewmaReach");
    assertThat(refused(row("XBAR_R", 5, "cusumAllowance", 0.5))).isEqualTo("/cusumDecision");
    assertThat(
            refused(
                row("XBAR_R", 5, "rules", List.of("EWMA"), "ewmaWeight", 0.1, "ewmaReach", 2.7)))
        .isEqualTo("/rules");
    assertThat(refused(row("XBAR_R", 5, "ownRules", List.of(ownRule("NELSON_1", 1, 1, 2, null)))))
        .isEqualTo("/ownRules/0/code");
    assertThat(refused(row("XBAR_R", 5, "ownRules", List.of(ownRule("A", 3, 2, 2, null)))))
        .isEqualTo("/ownRules/0/count");
    assertThat(refused(row("XBAR_R", 5, "estimator", "S_BAR"))).isEqualTo("/estimator");
    assertThat(refused(row("BETWEEN_WITHIN", 1))).isEqualTo("/subgroupSize");
    quality
        .post(PATH, row("XBAR_R", 5, "ownRules", List.of(ownRule("lower", 1, 1, 2, null))))
        .expect(400);
    quality.post(PATH, row("XBAR_R", 5, "confidence", 1)).expect(400);
    quality.post(PATH, row("XBAR_R", 5, "ewmaWeight", 0, "ewmaReach", 3)).expect(400);
  }

  private static Map<String, Object> ownRule(
      String code, int count, int window, double zone, @Nullable String side) {
    Map<String, Object> rule = new LinkedHashMap<>();
    rule.put("code", code);
    rule.put("count", count);
    rule.put("window", window);
    rule.put("zone", zone);
    rule.put("onLineCounts", false);
    if (side != null) {
      rule.put("side", side);
    }
    return rule;
  }

  private String refused(String row) {
    return quality.post(PATH, row).expect(422).at("/errors/0/pointer").asString();
  }

  private String row(String kind, int subgroupSize, Object... more) {
    Object[] always = {
      "code",
      Codes.fresh("CHART"),
      "name",
      "n",
      "characteristic",
      floor.mass(),
      "line",
      floor.line(),
      "method",
      "m",
      "sampleSize",
      1,
      "frequency",
      "f",
      "kind",
      kind,
      "subgroupSize",
      subgroupSize,
      "response",
      "r"
    };
    Object[] pairs = new Object[always.length + more.length];
    System.arraycopy(always, 0, pairs, 0, always.length);
    System.arraycopy(more, 0, pairs, always.length, more.length);
    return json(pairs);
  }
}
