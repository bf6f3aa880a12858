package org.tarebook.control;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;
import static org.tarebook.fixtures.ShopFloor.json;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.tarebook.chart.Plans;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.ChartBench;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;

/** Samples that have names: one sample is one point, also where a reading is missing or late. */
@OnBothDatabases
class NamedSampleHttpTests {

  private static final Instant FROM = Instant.parse("2024-05-06T00:00:00Z");
  private static final Instant BEFORE = Instant.parse("2024-05-07T00:00:00Z");
  private static final Instant NEXT = Instant.parse("2024-05-08T06:00:00Z");
  private static final Duration STEP = Duration.ofSeconds(20);

  private final RunningTarebook tarebook;

  NamedSampleHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  /** Twenty samples of three about 4.390 kg, ranges 0.02 kg, half an hour apart. */
  private ChartBench bench(String kind) {
    ChartBench bench = new ChartBench(tarebook, "kg", "NOT", kind, 3);
    List<String> lines = new ArrayList<>();
    for (int i = 0; i < 20; i++) {
      int middle = 390 + (i * 3 % 5 - 2) * 2;
      int[] values = {middle - 10, middle, middle + 10};
      for (int j = 0; j < 3; j++) {
        lines.add(
            bench.posting(
                "4." + values[j],
                "kg",
                FROM.plus(Duration.ofMinutes(30L * i)).plus(STEP.multipliedBy(j)),
                "sample",
                "S-" + i));
      }
    }
    tarebook
        .station(bench.floor().station())
        .send(
            "POST",
            "/api/v1/readings/bulk",
            "application/x-ndjson",
            String.join("\n", lines) + "\n")
        .expect(200);
    return bench;
  }

  private static JsonNode points(ChartBench bench, Instant from) {
    return bench.points(from, from.plus(Duration.ofDays(1))).at("/points");
  }

  @Test
  void aSampleWithOneMissingIsAPointWithLimitsOfItsOwnNumber() {
    ChartBench bench = bench("XBAR_R");
    bench.freeze(Codes.fresh("L"), FROM, BEFORE).expect(201);
    bench.post("4.381", NEXT, "sample", "A");
    bench.post("4.399", NEXT.plus(STEP), "sample", "A");
    bench.post("4.390", NEXT.plusSeconds(1800), "sample", "B");
    bench.post("4.380", NEXT.plusSeconds(1820), "sample", "B");
    bench.post("4.400", NEXT.plusSeconds(1840), "sample", "B");
    bench.post("4.385", NEXT.plusSeconds(3600), "sample", "C");
    JsonNode points = points(bench, NEXT);
    assertThat(points).hasSize(3);
    JsonNode two = points.get(0);
    JsonNode three = points.get(1);
    JsonNode one = points.get(2);
    assertThat(two.at("/sample").asString()).isEqualTo("A");
    assertThat(two.at("/readings").asLong()).isEqualTo(2);
    assertThat(three.at("/readings").asLong()).isEqualTo(3);
    assertThat(one.at("/readings").asLong()).isEqualTo(1);
    assertThat(one.has("spread")).isFalse();
    assertThat(one.has("spreadUpper")).isFalse();
    double sigma = 0.02 / 1.69256875; // mean range over d2(3), published tables: 1.693
    for (JsonNode point : points) {
      double reach = 3 * sigma / Math.sqrt(point.at("/readings").asDouble());
      assertThat(point.at("/upper").asDouble() - point.at("/centre").asDouble())
          .isCloseTo(reach, within(1e-8));
    }
    // d2 and D4 of two: 1.128 and 3.267, published tables
    assertThat(two.at("/spreadUpper").asDouble()).isCloseTo(3.267 * 1.128 * sigma, within(1e-5));
    assertThat(bench.signals("")).isEmpty();
  }

  /** The shift of these is a day. */
  @Test
  void aPointSaysThatItsSampleStaysIncomplete() {
    tarebook.clock().set(NEXT.plusSeconds(3700).toString());
    ChartBench bench = bench("XBAR_R");
    bench.post("4.381", NEXT, "sample", "A");
    bench.post("4.399", NEXT.plus(STEP), "sample", "A");
    for (int i = 0; i < 3; i++) {
      bench.post("4.39" + i, NEXT.plusSeconds(1800 + i), "sample", "B");
    }
    bench.post("4.385", NEXT.plusSeconds(3600), "sample", "C");
    JsonNode points = points(bench, NEXT);
    assertThat(points.at("/0/readingsPlanned").asInt()).isEqualTo(3);
    assertThat(points.at("/0/incomplete").asString())
        .isEqualTo("Sample A holds 2 of 3 readings that count, and the next has begun.");
    assertThat(points.get(1).has("incomplete")).isFalse();
    assertThat(points.get(2).has("incomplete")).isFalse(); // it may grow
    assertThat(bench.points(NEXT, NEXT.plusSeconds(60)).at("/points/0/incomplete").asString())
        .isEqualTo(points.at("/0/incomplete").asString());
    tarebook.clock().set(NEXT.plus(Duration.ofDays(1)).toString());
    assertThat(points(bench, NEXT).at("/2/incomplete").asString())
        .startsWith("Sample C holds 1 of 3 readings that count, and its shift ended at 2024-05-");
    tarebook.clock().run();
  }

  @Test
  void sigmaAndIndicesWeighASampleByWhatItTellsAndAFlagSaysSo() {
    ChartBench bench = bench("XBAR_R");
    bench.post("4.381", NEXT, "sample", "A");
    bench.post("4.399", NEXT.plus(STEP), "sample", "A");
    JsonNode study =
        bench
            .engineer()
            .get(
                "/api/v1/capability?evenIfNotInControl=true&chart="
                    + bench.chart()
                    + "&measuredFrom="
                    + FROM
                    + "&measuredBefore="
                    + NEXT.plus(Duration.ofDays(1)))
            .expect(200)
            .at("/studies/0");
    assertThat(study.at("/counts/points").asLong()).isEqualTo(21);
    assertThat(study.at("/counts/incomplete").asLong()).isZero();
    // weights (d2 / d3)^2 of three and two: 1.693, 0.8884 and 1.128, 0.8525, published tables
    double ofThree = 20 * Math.pow(1.69256875 / 0.88836800, 2);
    double ofTwo = Math.pow(1.12837917 / 0.85250246, 2);
    assertThat(study.at("/sigmaWithin/sigma").asDouble())
        .isCloseTo(
            (ofThree * 0.02 / 1.69256875 + ofTwo * 0.018 / 1.12837917) / (ofThree + ofTwo),
            within(1e-9));
    assertThat(study.at("/flags").toString())
        .contains("SAMPLES_DIFFER_IN_SIZE")
        .contains("Of 21 points 1 hold fewer readings than the 3 planned");
  }

  /** Samples of one reading tell no spread, and however many there are, no control. */
  @Test
  void samplesOfOneReadingShowNoProcessToBeInControl() {
    ChartBench bench = new ChartBench(tarebook, "kg", "NOT", "XBAR_R", 3);
    for (int i = 0; i < 25; i++) {
      Instant at = FROM.plus(Duration.ofMinutes(30L * i));
      bench.post("4.39" + i % 10, at, "sample", "S-" + i);
      if (i < 3) {
        bench.post("4.38" + i, at.plus(STEP), "sample", "S-" + i);
      }
    }
    JsonNode study =
        bench
            .engineer()
            .get(
                "/api/v1/capability?chart="
                    + bench.chart()
                    + "&measuredFrom="
                    + FROM
                    + "&measuredBefore="
                    + BEFORE)
            .expect(200)
            .at("/studies/0");
    assertThat(study.at("/counts/points").asLong()).isEqualTo(25);
    assertThat(study.at("/control").has("inControl")).isFalse();
    assertThat(study.at("/notComputed").toString())
        .contains("control.inControl")
        .contains("of samples only those with two readings and more tell a spread");
  }

  /** Posted strip by strip it signals once; it is withdrawn where later strips say otherwise. */
  @Test
  void aSampleThatGrowsAfterItsShiftSignalsOnce() {
    ChartBench bench = bench("XBAR_R");
    bench.freeze(Codes.fresh("L"), FROM, BEFORE).expect(201);
    Answer first = bench.post("4.450", NEXT, "sample", "A");
    assertThat(first.at("/notices").toString())
        .contains("Point 4.450 kg of 1 reading is above the upper control limit 4.425 kg");
    JsonNode raised = bench.signals("").get(0);
    bench
        .engineer()
        .post(
            "/api/v1/signals/" + raised.at("/id").asLong() + "/responses",
            json("key", Codes.fresh("R"), "cause", "Die", "action", "Cleaned"))
        .expect(201);
    Answer second = bench.post("4.452", NEXT.plus(STEP), "sample", "A");
    assertThat(second.at("/notices").toString()).doesNotContain("SIGNAL");
    bench.post("4.448", NEXT.plus(STEP.multipliedBy(2)), "sample", "A");
    JsonNode all = bench.signals("&includeWithdrawn=true");
    assertThat(all).hasSize(1);
    assertThat(all.get(0).at("/id")).isEqualTo(raised.at("/id"));
    assertThat(all.get(0).at("/readings").asInt()).isEqualTo(1);
    JsonNode point = points(bench, NEXT.minusSeconds(10)).get(0);
    assertThat(point.at("/readings").asLong()).isEqualTo(3);
    assertThat(point.at("/signals/0/id")).isEqualTo(raised.at("/id"));
    JsonNode cut = points(bench, NEXT.plus(STEP)).get(0); // from within the sample
    assertThat(cut.at("/signals/0/id")).isEqualTo(raised.at("/id"));
    Answer fourth = bench.post("4.340", NEXT.plus(STEP.multipliedBy(3)), "sample", "A");
    bench.post("4.335", NEXT.plus(STEP.multipliedBy(4)), "sample", "A");
    assertThat(bench.signals("").toString()).doesNotContain("\"rule\":\"BEYOND_LIMITS\"");
    assertThat(fourth.at("/notices").toString()).contains("Range 0.112 kg of 4 readings is above");
    JsonNode spread = bench.signals("").get(0); // five strips of 0.117 kg between them
    assertThat(spread.at("/rule").asString()).isEqualTo("SPREAD_BEYOND_LIMITS");
    assertThat(spread.at("/words").asString()).contains("of 4 readings is above its control limit");
  }

  @Test
  void theNameIsPartOfWhatARetryRepeatsAndAnAmendmentMendsIt() {
    ChartBench bench = bench("XBAR_S");
    String key = Codes.fresh("K");
    String body = bench.posting("4.390", "kg", NEXT, "key", key, "sample", "A");
    String id = bench.floor().post(body).expect(201).at("/id").asString();
    bench.floor().post(body).expect(200);
    Answer other = bench.floor().post(body.replace("\"A\"", "\"B\"")).expect(422);
    assertThat(other.text()).contains("differs in sample");
    bench.post("4.395", NEXT.plus(STEP), "sample", "B");
    assertThat(points(bench, NEXT)).hasSize(2);
    bench
        .engineer()
        .post(
            "/api/v1/readings/" + id + "/amendments",
            "{\"key\":\""
                + Codes.fresh("V")
                + "\",\"kind\":\"REPLACE\",\"reason\":\"sample misread\","
                + "\"replacement\":{\"sample\":\"B\"}}")
        .expect(201);
    JsonNode points = points(bench, NEXT);
    assertThat(points).hasSize(1);
    assertThat(points.get(0).at("/sample").asString()).isEqualTo("B");
    assertThat(points.get(0).at("/readings").asLong()).isEqualTo(2);
    String second = points.get(0).at("/lastReading").asString();
    bench
        .engineer()
        .post(
            "/api/v1/readings/" + second + "/amendments",
            "{\"key\":\""
                + Codes.fresh("V")
                + "\",\"kind\":\"REPLACE\",\"reason\":\"of no sample\","
                + "\"replacement\":{\"sample\":\"\"}}")
        .expect(201);
    assertThat(points(bench, NEXT).get(0).at("/readings").asLong()).isEqualTo(1);
    assertThat(bench.engineer().get("/api/v1/readings/" + id).expect(200).at("/sample").asString())
        .isEqualTo("A");
  }

  @Test
  void aSampleAcrossTheEndOfAShiftIsTwoPointsAndANoticeSaysSo() {
    ChartBench bench = bench("XBAR_R");
    Instant end = tarebook.bean(Plans.class).current().shifts().at(NEXT).before();
    Answer before = bench.post("4.390", end.minusSeconds(10), "sample", "S-1");
    assertThat(before.at("/notices").toString()).doesNotContain("SAMPLE_ACROSS_SHIFTS");
    Answer after = bench.post("4.392", end.plusSeconds(10), "sample", "S-1");
    assertThat(after.at("/notices").toString())
        .contains("SAMPLE_ACROSS_SHIFTS")
        .contains("before and after the end of a shift, " + end);
    Answer other = bench.post("4.391", end.plusSeconds(20), "sample", "S-2");
    assertThat(other.at("/notices").toString()).doesNotContain("SAMPLE_ACROSS_SHIFTS");
    Answer late = bench.post("4.391", end.minusSeconds(5), "sample", "S-2");
    assertThat(late.at("/notices").toString()).contains("SAMPLE_ACROSS_SHIFTS");
    assertThat(points(bench, end.minusSeconds(60))).hasSize(4);
  }

  @Test
  void aNameIsOneToFortyCharacters() {
    ChartBench bench = new ChartBench(tarebook, "XBAR_R", 2);
    bench.floor().post(bench.posting("4.3", "kg", NEXT, "sample", "")).expect(400);
    bench.floor().post(bench.posting("4.3", "kg", NEXT, "sample", "x".repeat(41))).expect(400);
    bench.floor().post(bench.posting("4.3", "kg", NEXT, "sample", "x".repeat(40))).expect(201);
    for (String blank : List.of(" ", "\u00a0", " S-1", "S-1 ")) {
      assertThat(bench.floor().post(bench.posting("4.3", "kg", NEXT, "sample", blank)).text())
          .contains("must not begin or end with a blank");
    }
    bench.floor().post(bench.posting("4.3", "kg", NEXT, "sample", "S 1")).expect(201);
  }
}
