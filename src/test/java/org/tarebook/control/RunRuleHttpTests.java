package org.tarebook.control;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.ChartBench;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;

/** Rules beyond the four usual ones, kinds of charts, and trying another way. */
@OnBothDatabases
class RunRuleHttpTests {

  private static final Instant FROM = Instant.parse("2024-05-06T00:00:00Z");
  private static final Instant BEFORE = Instant.parse("2024-05-07T00:00:00Z");
  private static final Instant NEXT = Instant.parse("2024-05-08T06:00:00Z");
  private static final Duration STEP = Duration.ofMinutes(5);

  private final RunningTarebook tarebook;

  RunRuleHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  /** Single readings about 4.400 kg, one up, one down by turns: sigma 0.0177 kg. */
  private ChartBench judged(List<String> rules) {
    ChartBench bench =
        new ChartBench(tarebook, "kg", "NOT", "INDIVIDUALS", 1, Map.of("rules", rules));
    List<String> values = new ArrayList<>();
    for (int i = 0; i < 40; i++) {
      values.add(i % 2 == 0 ? "4.410" : "4.390");
    }
    bench.postAll(values, "kg", FROM, STEP);
    bench.freeze(Codes.fresh("L"), FROM, BEFORE, "inForceFrom", BEFORE.toString()).expect(201);
    return bench;
  }

  @Test
  void aTrendIsASignalThatTellsWhereItGoes() {
    ChartBench bench = judged(List.of("ISO_1", "ISO_3"));
    bench.postAll(List.of("4.409", "4.406", "4.403", "4.400", "4.397", "4.394"), "kg", NEXT, STEP);
    assertThat(bench.signals("")).isEmpty();
    Answer seventh = bench.post("4.391", NEXT.plus(STEP.multipliedBy(6)));
    JsonNode signal = bench.signals("").get(0);
    assertThat(signal.at("/rule").asString()).isEqualTo("ISO_3");
    assertThat(signal.at("/side").asString()).isEqualTo("BELOW");
    assertThat(signal.at("/beganAt").asString()).isEqualTo(NEXT.toString());
    assertThat(seventh.at("/notices").toString())
        .contains("7 points in a row fall, the last at 4.391 kg");
  }

  @Test
  void pointsThatGoUpAndDownInTurnHaveNoSide() {
    ChartBench bench = judged(List.of("NELSON_4"));
    List<String> values = new ArrayList<>();
    for (int i = 0; i < 14; i++) {
      values.add(i % 2 == 0 ? "4.402" : "4.398");
    }
    bench.postAll(values, "kg", NEXT, STEP);
    JsonNode signal = bench.signals("").get(0);
    assertThat(signal.at("/rule").asString()).isEqualTo("NELSON_4");
    assertThat(signal.at("/side").isMissingNode()).isTrue();
    assertThat(signal.at("/words").asString())
        .contains("14 points in a row go up and down in turn");
  }

  @Test
  void sumsFindASmallShiftThatStaysWithinTheLimits() {
    ChartBench bench = judged(List.of("BEYOND_LIMITS", "CUSUM"));
    // Almost one and a half sigma up: each point adds almost one to the sum, and the sixth passes
    // five.
    for (int i = 0; i < 5; i++) {
      bench.post("4.426", NEXT.plus(STEP.multipliedBy(i)));
    }
    assertThat(bench.signals("")).isEmpty();
    bench.post("4.426", NEXT.plus(STEP.multipliedBy(5)));
    JsonNode signal = bench.signals("").get(0);
    assertThat(signal.at("/rule").asString()).isEqualTo("CUSUM");
    assertThat(signal.at("/side").asString()).isEqualTo("ABOVE");
    assertThat(signal.at("/beganAt").asString()).isEqualTo(NEXT.toString());
    assertThat(signal.at("/words").asString()).contains("deviations has drifted up");
  }

  @Test
  void aLateReadingWithdrawsWhatAnAverageNoLongerSays() {
    ChartBench bench = judged(List.of("EWMA"));
    Answer last = null;
    for (int i = 0; i < 6; i++) {
      last = bench.post("4.425", NEXT.plus(Duration.ofHours(1)).plus(STEP.multipliedBy(i)));
    }
    assertThat(bench.signals("").size()).isPositive();
    assertThat(last.at("/notices").toString()).contains("weighted average of the points");
    for (int i = 0; i < 3; i++) {
      bench.post("4.360", NEXT.plus(Duration.ofMinutes(58)).plusSeconds(i));
    }
    assertThat(bench.signals("")).allMatch(signal -> signal.at("/side").asString().equals("BELOW"));
  }

  @Test
  void meansOfCavitiesAreJudgedByHowTheMeansMove() {
    ChartBench bench = new ChartBench(tarebook, "BETWEEN_WITHIN", 3);
    List<String> values = new ArrayList<>();
    // Loads differ by 0.04 kg in turn, cavities of a load by 0.002 kg.
    for (int load = 0; load < 20; load++) {
      int middle = load % 2 == 0 ? 420 : 380;
      values.add("4." + (middle - 2));
      values.add("4." + middle);
      values.add("4." + (middle + 2));
    }
    bench.postAll(values, "kg", FROM, STEP);
    JsonNode limits = bench.freeze(Codes.fresh("L"), FROM, BEFORE).expect(201).at("/limits");
    // 3 x 0.04 / 1.128379 about 4.4; within: 0.002 kg, of both 0.0355 kg.
    assertThat(limits.at("/upper").asDouble()).isCloseTo(4.506347, within(1e-6));
    assertThat(limits.at("/spreadCentre").asDouble()).isCloseTo(0.002 * 0.886227, within(1e-8));
    assertThat(limits.at("/estimator").asString()).isEqualTo("BETWEEN_WITHIN");
    double between = Math.pow(0.04 / 1.1283791671, 2) - 0.002 * 0.002 / 3;
    assertThat(limits.at("/sigma").asDouble())
        .isCloseTo(Math.sqrt(between + 0.002 * 0.002), within(1e-9));
    assertThat(bench.signals("")).isEmpty();
    bench.postAll(List.of("4.40", "4.42", "4.41"), "kg", NEXT, STEP);
    assertThat(bench.signals("").get(0).at("/words").asString())
        .contains("Standard deviation 0.010 kg is above its control limit");
    assertThat(bench.signals("")).hasSize(1);
  }

  @Test
  void anotherWayOfChartingIsTriedWithoutStoringAnything() {
    ChartBench bench = judged(List.of("BEYOND_LIMITS"));
    String path = "/api/v1/charts/" + bench.chart() + "/preview?measuredFrom=" + FROM;
    String window = path + "&measuredBefore=" + BEFORE;
    Answer same = bench.engineer().get(window).expect(200);
    assertThat(same.at("/used/kind").asString()).isEqualTo("INDIVIDUALS");
    assertThat(same.at("/used/asked")).isEmpty();
    assertThat(same.at("/cost/inControl").asDouble()).isCloseTo(370.398, within(0.001));
    Answer other =
        bench
            .engineer()
            .get(window + "&kind=XBAR_S&subgroupSize=4&rules=NELSON_1,NELSON_7&estimator=POOLED")
            .expect(200);
    assertThat(other.at("/used/rules").toString()).isEqualTo("[\"NELSON_1\",\"NELSON_7\"]");
    assertThat(other.at("/used/estimator").asString()).isEqualTo("POOLED");
    assertThat(other.at("/used/asked")).hasSize(4);
    assertThat(other.at("/points")).hasSize(10);
    // Two up, two down: a standard deviation of 0.02 / sqrt(3) in every subgroup.
    assertThat(other.at("/limits/sigma").asDouble()).isCloseTo(0.0115470054, within(1e-9));
    assertThat(other.at("/flags").toString()).contains("TOO_FEW");
    assertThat(bench.signals("")).isEmpty();
    Answer alternating = bench.engineer().get(window + "&rules=NELSON_4").expect(200);
    assertThat(alternating.at("/signalled").asLong()).isEqualTo(27);
    assertThat(alternating.at("/points/13/signals/0/rule").asString()).isEqualTo("NELSON_4");
  }

  @Test
  void studiesUseWhatTheRowSaysUnlessAskedOtherwise() {
    ChartBench bench =
        new ChartBench(
            tarebook,
            "kg",
            "NOT",
            "XBAR_R",
            2,
            Map.of(
                "estimator",
                "POOLED",
                "confidence",
                0.9,
                "ewmaWeight",
                0.1,
                "ewmaReach",
                2.7,
                "cusumAllowance",
                0.25,
                "cusumDecision",
                8));
    List<String> values = new ArrayList<>();
    for (int i = 0; i < 40; i++) {
      values.add("4.4" + i % 7);
    }
    bench.postAll(values, "kg", FROM, STEP);
    JsonNode study = bench.study(FROM, BEFORE, "");
    assertThat(study.at("/confidence").asDouble()).isEqualTo(0.9);
    assertThat(study.at("/sigmaWithin/estimator").asString()).isEqualTo("POOLED");
    JsonNode asked = bench.study(FROM, BEFORE, "&confidence=0.99&estimator=R_BAR");
    assertThat(asked.at("/confidence").asDouble()).isEqualTo(0.99);
    assertThat(asked.at("/sigmaWithin/estimator").asString()).isEqualTo("R_BAR");
    String window = "?measuredFrom=" + FROM + "&measuredBefore=" + BEFORE;
    String path = "/api/v1/charts/" + bench.chart();
    Answer ewma = bench.engineer().get(path + "/ewma" + window).expect(200);
    assertThat(ewma.at("/weight").asDouble()).isEqualTo(0.1);
    assertThat(ewma.at("/reach").asDouble()).isEqualTo(2.7);
    assertThat(ewma.at("/basis/estimator").asString()).isEqualTo("POOLED");
    Answer other = bench.engineer().get(path + "/ewma" + window + "&weight=0.3").expect(200);
    assertThat(other.at("/weight").asDouble()).isEqualTo(0.3);
    Answer cusum = bench.engineer().get(path + "/cusum" + window).expect(200);
    assertThat(cusum.at("/allowance").asDouble()).isEqualTo(0.25);
    assertThat(cusum.at("/decision").asDouble()).isEqualTo(8);
    assertThat(cusum.at("/decisionInUnit").asDouble())
        .isEqualTo(8 * cusum.at("/about/sigma").asDouble(), within(1e-12));
    bench.engineer().get(path + "/cusum" + window + "&headStart=8").expect(422);
  }

  @Test
  void waysThatCannotBeAreRefused() {
    ChartBench bench = judged(List.of("BEYOND_LIMITS"));
    String path = "/api/v1/charts/" + bench.chart() + "/preview?";
    assertThat(refused(bench, path + "kind=XBAR_S")).contains("a subgroup of one has no spread");
    assertThat(refused(bench, path + "subgroupSize=5")).contains("must be 1 for INDIVIDUALS");
    assertThat(refused(bench, path + "rules=NELSON_9")).contains("'NELSON_9' is no rule");
    assertThat(refused(bench, path + "estimator=R_BAR")).contains("use MOVING_RANGE");
    bench.engineer().get(path + "kind=XBAR_S&subgroupSize=26").expect(400);
    Answer empty =
        bench
            .engineer()
            .get(path + "measuredFrom=2001-01-01T00:00:00Z&measuredBefore=2001-01-02T00:00:00Z")
            .expect(200);
    assertThat(empty.at("/notComputed/0/figure").asString()).isEqualTo("limits");
    assertThat(empty.at("/limits").isMissingNode()).isTrue();
  }

  private static String refused(ChartBench bench, String path) {
    return bench.engineer().get(path).expect(422).at("/errors/0/detail").asString();
  }
}
