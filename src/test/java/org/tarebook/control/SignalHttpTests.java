package org.tarebook.control;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.ChartBench;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.ShopFloor;
import tools.jackson.databind.JsonNode;

@OnBothDatabases
class SignalHttpTests {

  private static final Instant FROM = Instant.parse("2024-05-06T00:00:00Z");
  private static final Instant BEFORE = Instant.parse("2024-05-07T00:00:00Z");
  private static final Instant NEXT = Instant.parse("2024-05-08T06:00:00Z");
  private static final Duration STEP = Duration.ofMinutes(5);

  private final RunningTarebook tarebook;

  SignalHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  /** Means of two about 4.39 kg, ranges 0.02 kg: limits of the mean about 4.352 and 4.428 kg. */
  private ChartBench judged(String... strata) {
    ChartBench bench = new ChartBench(tarebook, "kg", "NOT", "XBAR_R", 2, strata);
    List<String> values = new ArrayList<>();
    for (int i = 0; i < 20; i++) {
      int middle = 390 + (i * 3 % 5 - 2) * 2;
      values.add("4." + (middle - 10));
      values.add("4." + (middle + 10));
    }
    bench.postAll(values, "kg", FROM, STEP);
    bench.freeze(Codes.fresh("L"), FROM, BEFORE).expect(201);
    assertThat(bench.signals("")).isEmpty();
    return bench;
  }

  @Test
  void theAnswerToTheReadingThatCompletesASignalTellsIt() {
    ChartBench bench = judged();
    Answer first = bench.post("4.455", NEXT);
    assertThat(first.at("/notices").toString()).doesNotContain("SIGNAL");
    Answer second = bench.post("4.465", NEXT.plus(STEP));
    JsonNode signal = bench.signals("&open=true").get(0);
    assertThat(second.at("/notices").toString())
        .contains("\"SIGNAL\"")
        .contains("Point 4.460 kg is above the upper control limit 4.428 kg")
        .contains("Follow the control plan: Stop the line and weigh five strips.");
    assertThat(signal.at("/rule").asString()).isEqualTo("BEYOND_LIMITS");
    assertThat(signal.at("/side").asString()).isEqualTo("ABOVE");
    assertThat(signal.at("/completedBy").asLong()).isEqualTo(second.at("/id").asLong());
    assertThat(signal.at("/unit").asString()).isEqualTo("kg");
    assertThat(signal.at("/point").asDouble()).isEqualTo(4.46);
    JsonNode point = bench.points(NEXT, NEXT.plus(Duration.ofDays(1))).at("/points/0");
    assertThat(point.at("/signals/0/id").asLong()).isEqualTo(signal.at("/id").asLong());
    Answer chart = bench.engineer().get("/api/v1/charts/" + bench.chart()).expect(200);
    assertThat(chart.at("/row/openSignals").asLong()).isEqualTo(1);
    assertThat(chart.at("/row/openSince").asString())
        .isEqualTo(signal.at("/completedAt").asString());
    assertThat(chart.at("/inForce/0/limits/unit").asString()).isEqualTo("kg");
    assertThat(point.at("/unit").asString()).isEqualTo("kg");
  }

  /** "0 open signals" of a chart that judges nothing would read as "all is well". */
  @Test
  void aChartWithoutLimitsInForceHasNoNumberOfOpenSignals() {
    ChartBench bench = new ChartBench(tarebook, "XBAR_R", 2);
    JsonNode row = row(bench);
    assertThat(row.has("openSignals")).isFalse();
    assertThat(row.at("/notComputed/0/figure").asString()).isEqualTo("openSignals");
    assertThat(row.at("/notComputed/0/reason").asString()).isEqualTo("NO_LIMIT_SET");
    JsonNode judged = row(judged());
    assertThat(judged.at("/openSignals").asLong(-1)).isZero();
    assertThat(judged.has("openSince")).isFalse();
    assertThat(judged.at("/notComputed")).isEmpty();
    String empty = new ShopFloor(tarebook, "kg").line();
    assertThat(tarebook.reader().get("/api/v1/charts?line=" + empty).expect(200).at("/items"))
        .isEmpty();
  }

  private static JsonNode row(ChartBench bench) {
    return bench
        .engineer()
        .get("/api/v1/charts?line=" + bench.floor().line())
        .expect(200)
        .at("/items/0");
  }

  @Test
  void aWideSpreadIsASignalToo() {
    ChartBench bench = judged();
    bench.post("4.34", NEXT);
    Answer second = bench.post("4.44", NEXT.plus(STEP));
    assertThat(bench.signals("").get(0).at("/rule").asString()).isEqualTo("SPREAD_BEYOND_LIMITS");
    assertThat(second.at("/notices").toString())
        .contains("Range 0.100 kg is above its control limit 0.065 kg");
  }

  @Test
  void aLateReadingWithdrawsASignalAndRaisesAnother() {
    ChartBench bench = judged();
    bench.post("4.455", NEXT);
    bench.post("4.465", NEXT.plus(STEP));
    long first = bench.signals("").get(0).at("/id").asLong();
    // cut anew: 4.455 goes with the late one, 4.465 waits for a partner
    Answer late = bench.post("4.475", NEXT.minus(STEP));
    JsonNode now = bench.signals("");
    assertThat(now.size()).isEqualTo(1);
    assertThat(now.get(0).at("/id").asLong()).isNotEqualTo(first);
    assertThat(now.get(0).at("/point").asDouble()).isEqualTo(4.465);
    assertThat(late.at("/notices").toString()).doesNotContain("SIGNAL");
    Answer withdrawn = bench.engineer().get("/api/v1/signals/" + first).expect(200);
    assertThat(withdrawn.at("/withdrawnAt").isMissingNode()).isFalse();
    assertThat(withdrawn.at("/open").asBoolean()).isFalse();
    assertThat(bench.signals("&includeWithdrawn=true").size()).isEqualTo(2);
  }

  @Test
  void aVoidedReadingWithdrawsASignal() {
    ChartBench bench = judged();
    bench.post("4.455", NEXT);
    long wrong = bench.post("4.465", NEXT.plus(STEP)).at("/id").asLong();
    assertThat(bench.signals("").size()).isEqualTo(1);
    bench
        .engineer()
        .post(
            "/api/v1/readings/" + wrong + "/amendments",
            "{\"key\":\"v1\",\"kind\":\"VOID\",\"reason\":\"foot on the scale\"}")
        .expect(201);
    assertThat(bench.signals("")).isEmpty();
    assertThat(bench.signals("&includeWithdrawn=true&open=true")).isEmpty();
  }

  @Test
  void aRunGoesOnAcrossShiftsHoweverFarApart() {
    ChartBench bench = judged();
    for (int i = 0; i < 8; i++) {
      // a point a week: 4.396, above the centre line and within one sigma of it
      Instant at = NEXT.plus(Duration.ofDays(7L * i));
      bench.post("4.390", at);
      Answer last = bench.post("4.402", at.plus(STEP));
      assertThat(last.at("/notices").toString().contains("8 points in a row lie above"))
          .isEqualTo(i == 7);
    }
    JsonNode signal = bench.signals("").get(0);
    assertThat(signal.at("/rule").asString()).isEqualTo("EIGHT_ON_ONE_SIDE");
    assertThat(signal.at("/beganAt").asString()).isEqualTo(NEXT.plus(STEP).toString());
  }

  @Test
  void aLateReadingInTheMiddleOfARunChangesSignalsOfLaterShifts() {
    ChartBench bench = judged();
    for (int i = 0; i < 9; i++) {
      if (i != 4) {
        bench.post("4.390", NEXT.plus(Duration.ofDays(i)));
        bench.post("4.402", NEXT.plus(Duration.ofDays(i)).plus(STEP));
      }
    }
    assertThat(bench.signals("").size()).isEqualTo(1);
    Instant gap = NEXT.plus(Duration.ofDays(4));
    bench.post("4.380", gap);
    bench.post("4.392", gap.plus(STEP));
    assertThat(bench.signals("")).isEmpty();
  }

  @Test
  void twoSimultaneousPostsThatCompleteARunRaiseOneSignal() throws Exception {
    for (int round = 0; round < 5; round++) {
      ChartBench bench = judged();
      for (int i = 0; i < 7; i++) {
        bench.post("4.390", NEXT.plus(STEP.multipliedBy(2L * i)));
        bench.post("4.402", NEXT.plus(STEP.multipliedBy(2L * i + 1)));
      }
      ExecutorService threads = Executors.newFixedThreadPool(2);
      try {
        String one = bench.posting("4.390", "kg", NEXT.plus(Duration.ofHours(3)));
        String two = bench.posting("4.402", "kg", NEXT.plus(Duration.ofHours(4)));
        Future<Answer> first = threads.submit(() -> bench.floor().post(one));
        Future<Answer> second = threads.submit(() -> bench.floor().post(two));
        first.get().expect(201);
        second.get().expect(201);
      } finally {
        threads.shutdownNow();
      }
      assertThat(bench.signals("&includeWithdrawn=true").size()).isEqualTo(1);
    }
  }

  @Test
  void aRespondedSignalIsNoLongerOpen() {
    ChartBench bench = judged();
    bench.post("4.455", NEXT);
    bench.post("4.465", NEXT.plus(STEP));
    String path = "/api/v1/signals/" + bench.signals("").get(0).at("/id").asLong();
    String response = "{\"key\":\"r1\",\"cause\":\"Die worn\",\"action\":\"Die changed\"}";
    Answer made = bench.engineer().post(path + "/responses", response).expect(201);
    assertThat(made.at("/cause").asString()).isEqualTo("Die worn");
    assertThat(bench.signals("&open=true")).isEmpty();
    assertThat(bench.signals("&open=false").size()).isEqualTo(1);
    Answer signal = bench.engineer().get(path).expect(200);
    assertThat(signal.at("/open").asBoolean()).isFalse();
    assertThat(signal.at("/responses/0/action").asString()).isEqualTo("Die changed");

    Answer again = bench.engineer().post(path + "/responses", response).expect(200);
    assertThat(again.header("Idempotent-Replayed")).isEqualTo("true");
    Answer other =
        bench
            .engineer()
            .post(path + "/responses", response.replace("Die worn", "Die loose"))
            .expect(422);
    assertThat(other.problem()).isEqualTo("key-reused");
    assertThat(other.text()).contains("differs in cause");
    assertThat(bench.engineer().post("/api/v1/signals/1/responses", response).expect(404).problem())
        .isEqualTo("not-found");
    assertThat(
            bench
                .engineer()
                .post(path + "/responses", response.replace("Die worn", " "))
                .expect(400)
                .problem())
        .isEqualTo("invalid-request");
    assertThat(tarebook.reader().post(path + "/responses", response).status()).isEqualTo(403);
  }

  @Test
  void signalsAreFoundByLineAndTimeAndComeInPages() {
    ChartBench bench = judged();
    for (int i = 0; i < 3; i++) {
      bench.post("4.34", NEXT.plus(Duration.ofDays(i)));
      bench.post("4.44", NEXT.plus(Duration.ofDays(i)).plus(STEP));
    }
    String path = "/api/v1/signals?line=" + bench.floor().line() + "&limit=2";
    Answer first = bench.engineer().get(path).expect(200);
    assertThat(first.at("/items").size()).isEqualTo(2);
    Answer second = bench.engineer().get(first.at("/next").asString()).expect(200);
    assertThat(second.at("/items").size()).isEqualTo(1);
    assertThat(second.at("/next").isMissingNode()).isTrue();
    assertThat(
            bench
                .signals(
                    "&completedFrom="
                        + NEXT.plus(Duration.ofDays(1))
                        + "&completedBefore="
                        + NEXT.plus(Duration.ofDays(2)))
                .size())
        .isEqualTo(1);
    assertThat(bench.engineer().get("/api/v1/signals?chart=NO-SUCH").status()).isEqualTo(422);
    assertThat(bench.engineer().get("/api/v1/signals?cursor=x").expect(400).problem())
        .isEqualTo("cursor-does-not-fit");
    assertThat(bench.engineer().get("/api/v1/signals/1").status()).isEqualTo(404);
    Answer tooMany = bench.engineer().get("/api/v1/signals?limit=1001").expect(400);
    assertThat(tooMany.at("/errors/0/pointer").asString()).isEqualTo("limit");
    assertThat(tooMany.at("/errors/0/detail").asString()).contains("1000");
  }

  @Test
  void limitsFrozenForThePastJudgeThePointsSinceThen() {
    ChartBench bench = new ChartBench(tarebook, "INDIVIDUALS", 1);
    List<String> values = new ArrayList<>();
    for (int i = 0; i < 30; i++) {
      values.add("4.38" + (i * 7 % 5));
    }
    bench.postAll(values, "kg", FROM, STEP);
    bench.post("4.500", NEXT);
    assertThat(bench.signals("")).isEmpty();
    bench.freeze(Codes.fresh("L"), FROM, BEFORE).expect(201);
    JsonNode raised = bench.signals("");
    assertThat(raised.toString()).contains("BEYOND_LIMITS");
    int before = raised.size();
    // a later set in force between takes over: its signals replace those of the first
    String second = Codes.fresh("L");
    bench.freeze(second, FROM, BEFORE, "inForceFrom", NEXT.minusSeconds(1).toString()).expect(201);
    JsonNode now = bench.signals("");
    assertThat(now.size()).isEqualTo(before);
    assertThat(now.get(0).at("/limitSet").asString()).isEqualTo(second);
  }
}
