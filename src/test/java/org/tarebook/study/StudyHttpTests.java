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

  /** A step of one and a half sigma in the second half: limits of the first half show it whole. */
  @Test
  void chartsWithMemoryAreDrawnAboutTheFrozenLimits() {
    post(120, 60, 0.015);
    String half = START.plusSeconds(60 * 60).toString();
    for (String what : List.of("ewma?", "cusum?")) {
      JsonNode own = study(what).expect(200).at("/about");
      assertThat(own.at("/centreFrom").asString()).isEqualTo("COMPUTED_FROM_WINDOW");
      assertThat(own.at("/words").asString()).contains("120 points of the window");
    }
    Answer frozen = bench.freeze("LS-" + bench.chart(), START, Instant.parse(half)).expect(201);
    double centre = frozen.at("/limits/centre").asDouble();
    double upper = frozen.at("/limits/upper").asDouble();
    for (String what : List.of("ewma?", "cusum?")) {
      JsonNode study = study(what).expect(200).json();
      JsonNode about = study.at("/about");
      assertThat(about.at("/centreFrom").asString()).isEqualTo("FROZEN");
      assertThat(about.at("/sigmaFrom").asString()).isEqualTo("FROZEN");
      assertThat(about.at("/limitSet").asString()).isEqualTo("LS-" + bench.chart());
      assertThat(about.at("/centre").asDouble()).isCloseTo(centre, within(1e-12));
      assertThat(about.at("/sigma").asDouble()).isCloseTo((upper - centre) / 3, within(1e-12));
      assertThat(about.at("/words").asString()).contains("come from 60 points");
      assertThat(study.at("/points/55/signal").asBoolean()).isFalse();
      assertThat(study.at("/points/75/signal").asBoolean()).isTrue();
      JsonNode stated = study(what + "target=4.5&sigma=0.2").expect(200).json();
      assertThat(stated.at("/about/centre").asDouble()).isEqualTo(4.5);
      assertThat(stated.at("/about/sigma").asDouble()).isEqualTo(0.2);
      assertThat(stated.at("/about/sigmaFrom").asString()).isEqualTo("STATED");
      assertThat(stated.at("/about").has("limitSet")).isFalse();
      assertThat(stated.at("/points/20/signal").asBoolean()).isTrue();
      assertThat(study(what + "sigma=0").problem()).isEqualTo("invalid-request");
    }
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
    assertThat(normal.at("/parameters/mean").asDouble()).isCloseTo(4, within(0.01));
    assertThat(normal.at("/parameters/sigma").asDouble()).isCloseTo(0.01, within(0.002));
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

  /** One double strip among sixty is named before shape, and stands in all figures. */
  @Test
  void anOutlierIsNamedFirst() {
    post(60, 60, 0);
    bench.post("8.0021", START.plusSeconds(60 * 60));
    JsonNode study = study("shape").expect(200).json();
    assertThat(study.get("outliers")).hasSize(1);
    assertThat(study.at("/outliers/0/value").asDouble()).isEqualTo(8.0021);
    assertThat(study.at("/outliers/0/at").asString()).isEqualTo("2026-03-02T07:00:00Z");
    assertThat(study.at("/normality/readings").asInt()).isEqualTo(61);
    assertThat(study.at("/normality/words").asString()).startsWith("Look at the outliers first");
    JsonNode flag = bench.study(START, START.plusSeconds(7200), "").at("/flags/0");
    assertThat(flag.at("/code").asString()).isEqualTo("OUTLIERS");
    assertThat(flag.at("/words").asString()).contains("1 of 61 readings lies", "8.0021 kg");
    assertThat(flag.at("/figures/value1").asDouble()).isEqualTo(8.0021);
  }

  /** A million kilograms more change no test of shape and no percentile but by that million. */
  @Test
  void shapesAreThoseOfTheNoiseHoweverFarFromZero() {
    List<JsonNode> studies = new ArrayList<>();
    for (int far : new int[] {1000, 1_000_000}) {
      bench = new ChartBench(tarebook, "INDIVIDUALS", 1);
      Random random = new Random(17);
      List<String> values = new ArrayList<>();
      for (int i = 0; i < 60; i++) {
        values.add(
            new BigDecimal(0.001 * random.nextGaussian())
                .setScale(6, RoundingMode.HALF_EVEN)
                .add(new BigDecimal(far))
                .toPlainString());
      }
      bench.postAll(values, "kg", START, Duration.ofSeconds(60));
      studies.add(study("shape").expect(200).json());
    }
    for (String each : List.of("andersonDarlingP", "shapiroWilkP", "skewness", "kurtosis")) {
      assertThat(studies.get(1).at("/normality/" + each).asDouble())
          .as(each)
          .isEqualTo(studies.get(0).at("/normality/" + each).asDouble());
    }
    assertThat(studies.get(1).get("fits")).hasSize(6);
    for (JsonNode fit : studies.get(1).get("fits")) {
      String family = fit.get("family").asString();
      JsonNode near =
          studies
              .get(0)
              .get("fits")
              .valueStream()
              .filter(other -> other.get("family").asString().equals(family))
              .findFirst()
              .orElseThrow();
      if (!family.equals("RAYLEIGH")) {
        assertThat(fit.get("percentile0135").asDouble() - 1_000_000)
            .as(family)
            .isCloseTo(near.get("percentile0135").asDouble() - 1000, within(2e-7));
      }
    }
  }

  /** By each method the indices and shares of the shape are those of the capability study. */
  @Test
  void shapeAndCapabilityAgreeToTheDigit() {
    bench.floor().specification(bench.characteristic(), "3.96", "4.05", "kg");
    post(200, 200, 0);
    JsonNode fits = study("shape").expect(200).json().get("fits");
    assertThat(fits).hasSize(6);
    for (JsonNode fit : fits) {
      String method = fit.get("family").asString();
      JsonNode capability = bench.study(START, START.plusSeconds(86_400), "&method=" + method);
      assertThat(fit.get("pp")).as(method).isEqualTo(capability.at("/pp/value"));
      assertThat(fit.get("ppk")).as(method).isEqualTo(capability.at("/ppk/value"));
      assertThat(fit.get("shareBelow")).as(method).isEqualTo(capability.at("/estimated/below"));
      assertThat(fit.get("shareAbove")).as(method).isEqualTo(capability.at("/estimated/above"));
      if (!method.equals("NORMAL")) {
        assertThat(fit.get("parameters")).isEqualTo(capability.at("/method/parameters"));
      }
    }
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
    assertThat(study.at("/strata/0/points").asInt()).isEqualTo(20);
    assertThat(study.at("/words").asString())
        .startsWith("The levels of the strata differ by every test.");
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
