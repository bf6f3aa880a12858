package org.tarebook.control;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.fixtures.ShopFloor.json;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.ChartBench;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;

/** A limit set that was frozen wrongly, and what follows its withdrawal. */
@OnBothDatabases
class WithdrawnLimitSetTests {

  private static final Instant FROM = Instant.parse("2024-05-06T00:00:00Z");
  private static final Instant MIDDLE = Instant.parse("2024-05-07T00:00:00Z");
  private static final Instant BEFORE = Instant.parse("2024-05-08T00:00:00Z");
  private static final Duration STEP = Duration.ofMinutes(20);
  private static final Duration LATER = Duration.ofMinutes(10);

  private final RunningTarebook tarebook;
  private final String right = Codes.fresh("L");
  private final String wrong = Codes.fresh("L");

  WithdrawnLimitSetTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
    tarebook.clock().set("2026-04-02T06:00:00Z");
  }

  /** Two days, the second higher by nine sigma; the second set makes it the usual state. */
  private ChartBench frozenTwice() {
    ChartBench bench = new ChartBench(tarebook, "INDIVIDUALS", 1);
    bench.specification("4.30", "4.50", "kg");
    bench.postAll(values("4.38"), "kg", FROM, STEP);
    bench.postAll(values("4.40"), "kg", MIDDLE, STEP);
    bench.freeze(right, FROM, MIDDLE).expect(201);
    tarebook.clock().forward(LATER);
    bench.freeze(wrong, MIDDLE, BEFORE).expect(201);
    assertThat(bench.signals("")).isEmpty();
    tarebook.clock().forward(LATER);
    return bench;
  }

  private static List<String> values(String most) {
    List<String> values = new ArrayList<>();
    for (int i = 0; i < 72; i++) {
      values.add(most + i * 7 % 5);
    }
    return values;
  }

  private static Set<String> setsOf(JsonNode points) {
    Set<String> sets = new TreeSet<>();
    for (JsonNode point : points) {
      sets.add(point.at("/limitSet").asString());
    }
    return sets;
  }

  private Answer points(ChartBench bench, String more) {
    return bench
        .engineer()
        .get(
            "/api/v1/charts/"
                + bench.chart()
                + "/points?measuredFrom="
                + MIDDLE
                + "&measuredBefore="
                + BEFORE
                + more)
        .expect(200);
  }

  @Test
  void theSetBeforeItJudgesItsPointsAndWhatStoodIsStillKnown() {
    ChartBench bench = frozenTwice();
    Instant moment = tarebook.clock().instant();
    Answer then = points(bench, "");
    JsonNode study = bench.study(MIDDLE, BEFORE, "");
    assertThat(study.at("/control/inControl").asBoolean()).isTrue();
    tarebook.clock().forward(LATER);

    Answer withdrawn = bench.withdraw(wrong).expect(201);
    assertThat(withdrawn.header("Location")).isEqualTo("/api/v1/limit-sets/" + wrong);
    assertThat(withdrawn.at("/withdrawal/person").asString()).isNotEmpty();
    assertThat(withdrawn.at("/withdrawal/reason").asString()).isEqualTo("Another baseline");
    assertThat(withdrawn.at("/withdrawal/recordedAt").asString())
        .isEqualTo(tarebook.clock().instant().toString());
    assertThat(setsOf(points(bench, "").at("/points"))).containsExactly(right);
    assertThat(ComparedSignals.stored(tarebook, bench, FROM, BEFORE))
        .isEqualTo(ComparedSignals.recomputed(tarebook, bench, FROM, BEFORE))
        .isNotEmpty();
    JsonNode now = bench.study(MIDDLE, BEFORE, "");
    assertThat(now.at("/control/inControl").asBoolean()).isFalse();
    assertThat(now.at("/control/limitSets").toString()).isEqualTo("[\"" + right + "\"]");
    assertThat(now.at("/control/openSignals").asLong()).isPositive();
    assertThat(now.has("cpk")).isFalse();
    assertThat(average(bench, "").at("/about/limitSet").asString()).isEqualTo(right);
    assertThat(claim(bench, "").has("supported")).isFalse();
    JsonNode chart = bench.engineer().get("/api/v1/charts/" + bench.chart()).expect(200).json();
    assertThat(chart.at("/inForce")).hasSize(1);
    assertThat(chart.at("/inForce/0/limitSet").asString()).isEqualTo(right);

    String asOf = "&asOf=" + moment;
    assertThat(points(bench, asOf).at("/points")).isEqualTo(then.at("/points"));
    JsonNode earlier = bench.study(MIDDLE, BEFORE, asOf);
    assertThat(earlier.at("/control")).isEqualTo(study.at("/control"));
    assertThat(earlier.at("/cpk")).isEqualTo(study.at("/cpk"));
    assertThat(average(bench, asOf).at("/about/limitSet").asString()).isEqualTo(wrong);
    assertThat(claim(bench, asOf).at("/supported").asBoolean()).isTrue();
  }

  private JsonNode average(ChartBench bench, String more) {
    return bench
        .engineer()
        .get(
            "/api/v1/charts/"
                + bench.chart()
                + "/ewma?measuredFrom="
                + MIDDLE
                + "&measuredBefore="
                + BEFORE
                + more)
        .expect(200)
        .json();
  }

  private JsonNode claim(ChartBench bench, String more) {
    return bench
        .engineer()
        .get(
            "/api/v1/claims?index=CPK&atLeast=1.33&chart="
                + bench.chart()
                + "&measuredFrom="
                + MIDDLE
                + "&measuredBefore="
                + BEFORE
                + more)
        .expect(200)
        .json();
  }

  @Test
  void theOnlySetLeavesNoSignalAndNothingInForce() {
    ChartBench bench = frozenTwice();
    bench.withdraw(wrong).expect(201);
    assertThat(bench.signals("")).isNotEmpty();
    bench.withdraw(right).expect(201);
    bench.post("4.900", BEFORE);
    assertThat(bench.signals("")).isEmpty();
    Answer chart = bench.engineer().get("/api/v1/charts/" + bench.chart()).expect(200);
    assertThat(chart.at("/inForce")).isEmpty();
    assertThat(chart.at("/row/notComputed/0/reason").asString()).isEqualTo("NO_LIMIT_SET");
    assertThat(bench.study(MIDDLE, BEFORE, "").at("/control/limitsFrom").asString())
        .isEqualTo("COMPUTED_FROM_WINDOW");
  }

  /** What was found and done on a signal stays with it when its limits are in force again. */
  @Test
  void aSignalThatReturnsKeepsItsResponse() {
    ChartBench bench = new ChartBench(tarebook, "INDIVIDUALS", 1);
    bench.postAll(values("4.38"), "kg", FROM, STEP);
    bench.freeze(right, FROM, MIDDLE).expect(201);
    bench.post("4.600", MIDDLE.plus(STEP));
    String signal = bench.signals("&open=true").at("/0/id").asString();
    bench
        .engineer()
        .post(
            "/api/v1/signals/" + signal + "/responses",
            json("key", Codes.fresh("R"), "cause", "Die worn", "action", "Die changed"))
        .expect(201);
    bench.freeze(wrong, FROM, BEFORE, "inForceFrom", MIDDLE.toString()).expect(201);
    assertThat(bench.signals("&open=true")).isNotEmpty();
    bench.withdraw(wrong).expect(201);
    assertThat(bench.signals("&open=true")).isEmpty();
    JsonNode returned = bench.signals("").get(0);
    assertThat(returned.at("/continues").asString()).isEqualTo(signal);
    assertThat(returned.at("/responses/0/action").asString()).isEqualTo("Die changed");
  }

  @Test
  void itStaysListedAndAnotherMayBeginAtItsMoment() {
    ChartBench bench = frozenTwice();
    String other = Codes.fresh("L");
    assertThat(bench.freeze(other, MIDDLE, BEFORE).expect(409).text())
        .contains(wrong, "withdraw that set first");
    JsonNode withdrawn = bench.withdraw(wrong).expect(201).json();
    bench.freeze(other, MIDDLE, BEFORE).expect(201);
    assertThat(bench.signals("")).isEmpty();
    assertThat(setsOf(points(bench, "").at("/points"))).containsExactly(other);
    JsonNode all =
        bench.engineer().get("/api/v1/limit-sets?chart=" + bench.chart()).expect(200).at("/items");
    assertThat(all).hasSize(3);
    assertThat(all.get(0).has("withdrawal")).isFalse();
    assertThat(all.get(1)).isEqualTo(withdrawn);
    assertThat(all.get(2).at("/code").asString()).isEqualTo(other);
    assertThat(bench.engineer().get("/api/v1/limit-sets/" + wrong).expect(200).json())
        .isEqualTo(withdrawn);
    assertThat(bench.freeze(wrong, MIDDLE, BEFORE).expect(200).json()).isEqualTo(withdrawn);
    JsonNode entries =
        bench
            .engineer()
            .get("/api/v1/audit?subject=limit%20set&code=" + wrong)
            .expect(200)
            .at("/items");
    assertThat(entries.get(0).at("/action").asString()).isEqualTo("withdrawn");
  }

  @Test
  void aRetryIsTheSameFactAndAnythingElseIsRefused() {
    ChartBench bench = frozenTwice();
    Answer first = bench.withdraw(wrong).expect(201);
    Answer again = bench.withdraw(wrong).expect(200);
    assertThat(again.header("Idempotent-Replayed")).isEqualTo("true");
    assertThat(again.json()).isEqualTo(first.json());
    String path = "/api/v1/limit-sets/" + wrong + "/withdrawals";
    Answer other =
        bench.engineer().post(path, json("key", "W-" + wrong, "reason", "other")).expect(422);
    assertThat(other.problem()).isEqualTo("key-reused");
    assertThat(
            bench
                .engineer()
                .post(
                    "/api/v1/limit-sets/" + right + "/withdrawals",
                    json("key", "W-" + wrong, "reason", "Another baseline"))
                .expect(422)
                .problem())
        .isEqualTo("key-reused");
    Answer twice =
        bench.engineer().post(path, json("key", Codes.fresh("W"), "reason", "again")).expect(409);
    assertThat(twice.problem()).isEqualTo("conflict");
    assertThat(twice.text()).contains(wrong, "Another baseline", "was withdrawn already by");
    assertThat(bench.withdraw("NO-SUCH").expect(404).problem()).isEqualTo("not-found");
    bench.engineer().post(path, json("key", Codes.fresh("W"))).expect(400);
    assertThat(tarebook.reader().post(path, json("key", "k", "reason", "r")).expect(403).problem())
        .isEqualTo("not-allowed");
    assertThat(
            tarebook
                .station(bench.floor().station())
                .post(path, json("key", "k", "reason", "r"))
                .expect(403)
                .problem())
        .isEqualTo("not-allowed");
  }

  @Test
  void aKeptStudyComesOutAsItWasAndNamesTheWithdrawal() {
    ChartBench bench = frozenTwice();
    String code = Codes.fresh("CAP");
    bench.keep(code, MIDDLE, BEFORE).expect(201);
    String path = "/api/v1/kept-studies/" + code + "/again";
    assertThat(bench.engineer().get(path).expect(200).at("/limitSetsWithdrawn")).isEmpty();
    tarebook.clock().forward(LATER);
    bench.withdraw(right).expect(201);
    assertThat(bench.engineer().get(path).expect(200).at("/limitSetsWithdrawn")).isEmpty();
    bench.withdraw(wrong).expect(201);
    Answer again = bench.engineer().get(path).expect(200);
    assertThat(again.at("/same").asBoolean()).isTrue();
    assertThat(again.at("/limitSetsWithdrawn").toString()).isEqualTo("[\"" + wrong + "\"]");
    assertThat(again.at("/words").asString())
        .contains("Limit set " + wrong, "was withdrawn by", "Another baseline");
  }
}
