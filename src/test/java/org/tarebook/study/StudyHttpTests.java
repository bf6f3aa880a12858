package org.tarebook.study;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;
import static org.tarebook.fixtures.ShopFloor.json;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.ChartBench;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;

/** Further studies of a chart on the wire. */
@OnBothDatabases
class StudyHttpTests {

  private static final Instant START = Instant.parse("2026-03-02T06:00:00Z");

  private final RunningTarebook tarebook;
  private ChartBench bench;

  StudyHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  @BeforeEach
  void startAnew() {
    tarebook.clock().set("2026-03-03T06:00:00Z");
    bench = new ChartBench(tarebook, "INDIVIDUALS", 1);
  }

  /** So many readings about 4 kg, the later ones shifted. */
  private void post(int count, int shiftedFrom, double shift) {
    Random random = new Random(7);
    List<String> values = new ArrayList<>();
    for (int i = 0; i < count; i++) {
      double value = 4 + 0.01 * random.nextGaussian() + (i >= shiftedFrom ? shift : 0);
      values.add(new BigDecimal(value).setScale(4, RoundingMode.HALF_EVEN).toPlainString());
    }
    bench.postAll(values, "kg", START, Duration.ofSeconds(60));
  }

  private Answer study(String what) {
    return bench.engineer().get("/api/v1/charts/" + bench.chart() + "/" + what);
  }

  @Test
  void averagesFindASmallShiftAndSayHowLongTheyRun() {
    post(120, 60, 0.015);
    JsonNode study = study("ewma?weight=0.1&reach=2.814").expect(200).json();
    assertThat(study.at("/basis/points").asInt()).isEqualTo(120);
    assertThat(study.at("/basis/estimator").asString()).isEqualTo("MOVING_RANGE");
    // Lucas and Saccucci, Technometrics 32 (1990): weight 0.10, reach 2.814 runs 500 points.
    assertThat(study.get("runLengthInControl").asDouble()).isCloseTo(500, within(3.0));
    assertThat(study.get("runLengthAtOneSigma").asDouble()).isCloseTo(10.3, within(0.1));
    assertThat(study.get("points")).hasSize(120);
    assertThat(study.at("/points/119/signal").asBoolean()).isTrue();
  }

  @Test
  void sumsFindASmallShiftAboutATarget() {
    post(120, 60, 0.012);
    JsonNode study = study("cusum?target=4&allowance=0.5&decision=5").expect(200).json();
    // Montgomery, Introduction to Statistical Quality Control: k 0.5, h 5 runs about 465 points.
    assertThat(study.get("runLengthInControl").asDouble()).isCloseTo(465, within(2.0));
    assertThat(study.get("runLengthAtOneSigma").asDouble()).isCloseTo(10.4, within(0.1));
    assertThat(study.at("/points/119/signal").asBoolean()).isTrue();
    assertThat(study.at("/points/40/signal").asBoolean()).isFalse();
    assertThat(study("cusum?headStart=5").problem()).isEqualTo("rule-broken");
  }

  @Test
  void shapesAreTestedAndFitted() {
    bench.floor().specification(bench.characteristic(), "3.95", "4.05", "kg");
    post(200, 200, 0);
    JsonNode study = study("shape").expect(200).json();
    assertThat(study.at("/normality/readings").asInt()).isEqualTo(200);
    assertThat(study.at("/normality/andersonDarlingP").asDouble()).isGreaterThan(0.01);
    assertThat(study.at("/normality/shapiroWilkP").asDouble()).isGreaterThan(0.01);
    assertThat(study.get("fits")).isNotEmpty();
    JsonNode normal = null;
    for (JsonNode fit : study.get("fits")) {
      normal = fit.get("family").asString().equals("NORMAL") ? fit : normal;
    }
    assertThat(normal).isNotNull();
    assertThat(normal.get("tailsAgree").asBoolean()).isTrue();
    assertThat(normal.get("pp").asDouble()).isCloseTo(1.67, within(0.2));
    assertThat(study.get("plot")).hasSize(200);
    assertThat(study.get("notComputed")).isEmpty();
  }

  @Test
  void absentFiguresOfAShapeAreTold() {
    post(30, 30, 0);
    JsonNode study = study("shape").expect(200).json();
    assertThat(study.at("/notComputed/0/figure").asString()).isEqualTo("pp");
    assertThat(study.at("/notComputed/0/reason").asString()).isEqualTo("NO_SPECIFICATION");
    assertThat(study.at("/notComputed/0/words").asString()).contains("No specification");
  }

  @Test
  void theMomentOfAStepIsFound() {
    post(120, 70, 0.03);
    JsonNode study = study("change-points").expect(200).json();
    Instant step = START.plusSeconds(70 * 60);
    assertThat(Instant.parse(study.at("/mean/firstPointAfter").asString()))
        .isBetween(step.minusSeconds(180), step.plusSeconds(180));
    assertThat(Instant.parse(study.at("/mean/earliest").asString())).isBeforeOrEqualTo(step);
    assertThat(Instant.parse(study.at("/mean/latest").asString())).isAfterOrEqualTo(step);
    assertThat(study.at("/trend/lowerPerHour").asDouble()).isPositive();
  }

  @Test
  void strataAreCompared() {
    bench = new ChartBench(tarebook, "INDIVIDUALS", 1, "DIE");
    Random random = new Random(3);
    for (int i = 0; i < 40; i++) {
      double value = 4 + 0.01 * random.nextGaussian() + (i % 2 == 0 ? 0 : 0.02);
      bench.post(
          new BigDecimal(value).setScale(4, RoundingMode.HALF_EVEN).toPlainString(),
          START.plusSeconds(60L * i),
          "die",
          i % 2 == 0 ? "D1" : "D2");
    }
    JsonNode study = study("comparison").expect(200).json();
    assertThat(study.get("strata")).hasSize(2);
    for (String test : List.of("analysisOfVariance", "welch", "kruskalWallis")) {
      assertThat(study.at("/" + test + "/p").asDouble()).as(test).isLessThan(0.001);
    }
    assertThat(study.at("/levene/p").asDouble()).isGreaterThan(0.001);
  }

  @Test
  void tooLittleIsRefusedWithWhatWouldDo() {
    post(5, 5, 0);
    for (String what : List.of("ewma", "cusum", "shape", "change-points", "comparison")) {
      assertThat(study(what).expect(422).text()).contains("at least 10");
    }
    assertThat(study("ewma?weight=2").problem()).isEqualTo("invalid-request");
    post(20, 20, 0);
  }

  @Test
  void runLengthsAreToldOfAnyRules() {
    JsonNode sets = bench.engineer().get("/api/v1/rule-sets").expect(200).at("/items");
    assertThat(sets).hasSize(4);
    assertThat(sets.at("/0/rules/2/zone").toString())
        .isEqualTo("{\"count\":4,\"distance\":1.0,\"onLineCounts\":true}");
    assertThat(sets.at("/1/rules/7/band/bothSides").asBoolean()).isTrue();
    assertThat(sets.at("/2/rules/2/kind").asString()).isEqualTo("TREND");
    assertThat(sets.at("/3/rules/0/average/weight").asDouble()).isEqualTo(0.2);
    assertThat(sets.at("/3/rules/1/sums/decision").asDouble()).isEqualTo(5);
    JsonNode one =
        bench.engineer().get("/api/v1/run-lengths?rules=BEYOND_LIMITS").expect(200).json();
    assertThat(one.at("/inControl/mean").asDouble()).isCloseTo(370.4, within(0.1));
    assertThat(one.at("/shifted/mean").asDouble()).isCloseTo(43.9, within(0.1));
    JsonNode all =
        bench
            .engineer()
            .get(
                "/api/v1/run-lengths?rules=BEYOND_LIMITS,TWO_OF_THREE,FOUR_OF_FIVE,EIGHT_ON_ONE_SIDE")
            .expect(200)
            .json();
    // Champ and Woodall, Technometrics 29 (1987): the four rules together run 91.75 points.
    assertThat(all.at("/inControl/mean").asDouble()).isCloseTo(91.75, within(0.2));
    JsonNode trend = bench.engineer().get("/api/v1/run-lengths?rules=NELSON_3").expect(200).json();
    assertThat(trend.at("/inControl/how").asString()).contains("simulated");
    assertThat(trend.at("/inControl/standardError").asDouble()).isPositive();
    assertThat(bench.engineer().get("/api/v1/run-lengths?rules=NONE").problem())
        .isEqualTo("unknown-code");
  }

  @Test
  void measuringSystemsAndDecisionRisksAreComputed() {
    JsonNode study =
        bench
            .engineer()
            .post(
                "/api/v1/measuring-studies",
                "{\"unit\": \"mm\", \"toleranceWidth\": 0.6, \"parts\": [[[1.00, 1.01], [1.02, 1.01]],"
                    + " [[1.20, 1.21], [1.22, 1.20]], [[0.80, 0.82], [0.81, 0.82]]]}")
            .expect(200)
            .json();
    assertThat(study.get("parts").asInt()).isEqualTo(3);
    assertThat(study.at("/withInteraction/shareOfStudy").asDouble()).isLessThan(0.1);
    assertThat(study.at("/partsOverRepeatability/p").asDouble()).isLessThan(0.001);
    assertThat(
            bench
                .engineer()
                .post(
                    "/api/v1/measuring-studies",
                    "{\"unit\": \"mm\", \"parts\": [[[1.00, 1.01]], [[1.20, 1.21, 1.22]]]}")
                .problem())
        .isEqualTo("rule-broken");
    String risk =
        json(
            "unit",
            "mm",
            "lower",
            new BigDecimal("-3"),
            "upper",
            new BigDecimal("3"),
            "mean",
            BigDecimal.ZERO,
            "sd",
            BigDecimal.ONE,
            "uncertainty",
            new BigDecimal("0.3"),
            "guardFactor",
            BigDecimal.ONE);
    JsonNode risks = bench.engineer().post("/api/v1/decision-risks", risk).expect(200).json();
    assertThat(risks.get("guardBand").asDouble()).isCloseTo(0.6, within(1e-12));
    assertThat(risks.at("/guardedAcceptance/consumer").asDouble())
        .isLessThan(risks.at("/simpleAcceptance/consumer").asDouble());
    assertThat(risks.at("/guardedAcceptance/producer").asDouble())
        .isGreaterThan(risks.at("/simpleAcceptance/producer").asDouble());
    assertThat(
            bench
                .engineer()
                .post(
                    "/api/v1/decision-risks",
                    risk.replace("\"guardFactor\":1", "\"guardFactor\":9"))
                .problem())
        .isEqualTo("invalid-request");
  }
}
