package org.tarebook.control;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.fixtures.ShopFloor.json;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedClass;
import org.junit.jupiter.params.provider.EnumSource;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.ChartBench;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.TestDatabase;
import org.tarebook.storage.CatchUpByHand;
import org.tarebook.storage.Vendor;
import tools.jackson.databind.JsonNode;

/** A signal that one fact withdraws and a later one brings back is the same signal. */
@ParameterizedClass
@EnumSource(Vendor.class)
class ReturningSignalsTests {

  private static final Instant FROM = Instant.parse("2024-05-06T06:00:00Z");
  private static final Instant NEXT = Instant.parse("2024-05-08T07:00:00Z");
  private static final String OPEN = "&open=true";

  private final RunningTarebook tarebook;

  ReturningSignalsTests(Vendor vendor) {
    tarebook = RunningTarebook.start(TestDatabase.create(vendor), CatchUpByHand.SETTING);
    tarebook.clock().set("2024-05-09T00:00:00Z");
  }

  @AfterEach
  void close() {
    tarebook.close();
  }

  private ChartBench judged() {
    ChartBench bench =
        new ChartBench(
            tarebook,
            "kg",
            "NOT",
            "INDIVIDUALS",
            1,
            Map.of("permissibleError", 0.01, "permissibleErrorUnit", "kg"));
    List<String> values = new ArrayList<>();
    for (int i = 0; i < 30; i++) {
      values.add("4.38" + (i * 7 % 5));
    }
    bench.postAll(values, "kg", FROM, Duration.ofMinutes(10));
    bench.freeze(Codes.fresh("L"), FROM, FROM.plus(Duration.ofDays(1))).expect(201);
    bench.post("4.500", NEXT);
    return bench;
  }

  private Answer respond(ChartBench bench, String signal, String key, int status) {
    return bench
        .engineer()
        .post(
            "/api/v1/signals/" + signal + "/responses",
            json("key", key, "cause", "Die worn", "action", "Die changed"))
        .expect(status);
  }

  private void capacity(ChartBench bench, String key, double kilograms) {
    tarebook
        .quality()
        .post(
            "/api/v1/instruments/" + bench.floor().scale() + "/revisions",
            json(
                "key",
                key,
                "validFrom",
                "1970-01-01T00:00:00Z",
                "capacity",
                kilograms,
                "reason",
                "typed wrongly"))
        .expect(201);
  }

  private Answer check(ChartBench bench, String key, Instant at, double indication) {
    return tarebook
        .quality()
        .post("/api/v1/instrument-checks", bench.floor().check(key, at.toString(), indication))
        .expect(201);
  }

  private JsonNode only(ChartBench bench, String more) {
    JsonNode signals = bench.signals(more);
    assertThat(signals.size()).isEqualTo(1);
    return signals.get(0);
  }

  @Test
  void anAmendedOperatorAndAPostingMendedLeaveTheResponseWithTheSignal() {
    ChartBench bench = judged();
    String first = only(bench, OPEN).at("/id").asString();
    respond(bench, first, "r1", 201);
    bench
        .engineer()
        .post(
            "/api/v1/readings/" + completedBy(bench) + "/amendments",
            "{\"key\":\"a1\",\"kind\":\"REPLACE\",\"reason\":\"other shift\","
                + "\"replacement\":{\"operator\":\"op-7\"}}")
        .expect(201);
    assertThat(only(bench, "").at("/responses/0/action").asString()).isEqualTo("Die changed");
    assertThat(bench.signals(OPEN)).isEmpty();

    bench.voided(completedBy(bench)).expect(201);
    assertThat(bench.signals("")).isEmpty();
    bench.post("4.500", NEXT);
    assertThat(only(bench, "").at("/responses/0/action").asString()).isEqualTo("Die changed");
    assertThat(bench.signals(OPEN)).isEmpty();
  }

  private static String completedBy(ChartBench bench) {
    return bench
        .points(NEXT, NEXT.plus(Duration.ofHours(1)))
        .at("/points/0/lastReading")
        .asString();
  }

  @Test
  void aCapacityTypedWronglyAndMendedLeavesTheResponseWithTheSignal() {
    ChartBench bench = judged();
    String first = only(bench, OPEN).at("/id").asString();
    respond(bench, first, "r1", 201);
    capacity(bench, "c1", 4.4);
    assertThat(bench.signals("")).isEmpty();
    capacity(bench, "c2", 6);

    JsonNode returned = only(bench, "");
    assertThat(returned.at("/id").asString()).isNotEqualTo(first);
    assertThat(returned.at("/continues").asString()).isEqualTo(first);
    assertThat(returned.at("/open").asBoolean()).isFalse();
    assertThat(returned.at("/responses/0/action").asString()).isEqualTo("Die changed");
    assertThat(bench.signals(OPEN)).isEmpty();
    assertThat(only(bench, "&open=false").at("/id")).isEqualTo(returned.at("/id"));
    assertThat(
            bench
                .engineer()
                .get("/api/v1/charts/" + bench.chart())
                .expect(200)
                .at("/row/openSignals")
                .asLong())
        .isZero();
    JsonNode point = bench.points(NEXT, NEXT.plus(Duration.ofHours(1))).at("/points/0/signals/0");
    assertThat(point.at("/id")).isEqualTo(returned.at("/id"));
    assertThat(bench.study(NEXT, NEXT.plus(Duration.ofHours(1)), "").toString())
        .contains("\"openSignals\":0");

    // a retry of the response, and a further one, at the signal that stands
    respond(bench, returned.at("/id").asString(), "r1", 200);
    respond(bench, returned.at("/id").asString(), "r2", 201);
    for (JsonNode signal : bench.signals("&includeWithdrawn=true")) {
      assertThat(signal.at("/responses").size()).isEqualTo(2);
    }
  }

  @Test
  void aFailedCheckAndALaterGoodOneLeaveTheResponseWithTheSignal() {
    ChartBench bench = judged();
    check(bench, "good", FROM.minusSeconds(1), 5);
    String first = only(bench, OPEN).at("/id").asString();
    respond(bench, first, "r1", 201);
    check(bench, "bad", NEXT.plus(Duration.ofHours(2)), 6);
    assertThat(bench.signals("")).isEmpty();
    check(bench, "late", NEXT.plus(Duration.ofHours(1)), 5);
    JsonNode returned = only(bench, "");
    assertThat(returned.at("/continues").asString()).isEqualTo(first);
    assertThat(returned.at("/open").asBoolean()).isFalse();
  }

  @Test
  void aSignalThatNobodyAnsweredReturnsOpen() {
    ChartBench bench = judged();
    String first = only(bench, OPEN).at("/id").asString();
    capacity(bench, "c1", 4.4);
    capacity(bench, "c2", 6);
    JsonNode returned = only(bench, OPEN);
    assertThat(returned.at("/continues").asString()).isEqualTo(first);
    respond(bench, first, "r1", 201);
    assertThat(bench.signals(OPEN)).isEmpty();
  }

  /** Its figure is another one, so that the answer was about something else. */
  @Test
  void aSignalThatReturnsWithAnotherFigureIsOpenAgain() {
    ChartBench bench = new ChartBench(tarebook, "kg", "NOT", "XBAR_R", 2);
    List<String> values = new ArrayList<>();
    for (int i = 0; i < 40; i++) {
      values.add("4.38" + (i * 7 % 5));
    }
    bench.postAll(values, "kg", FROM, Duration.ofMinutes(10));
    bench.freeze(Codes.fresh("L"), FROM, FROM.plus(Duration.ofDays(1))).expect(201);
    bench.post("4.400", NEXT);
    String completing = bench.post("4.400", NEXT.plusSeconds(60)).at("/id").asString();
    String first = beyondLimits(bench, completing).at("/id").asString();
    respond(bench, first, "r1", 201);
    bench.post("4.390", NEXT.plusSeconds(30)); // leaves the last one without a partner
    assertThat(bench.engineer().get("/api/v1/signals/" + first).at("/withdrawnAt").asString())
        .isNotEmpty();
    bench.post("4.385", NEXT.minusSeconds(30)); // gives it another one
    JsonNode now = beyondLimits(bench, completing);
    assertThat(now.at("/point").asDouble()).isEqualTo(4.395);
    assertThat(now.at("/open").asBoolean()).isTrue();
    assertThat(now.at("/continues").isMissingNode()).isTrue();
  }

  private static JsonNode beyondLimits(ChartBench bench, String completing) {
    for (JsonNode signal : bench.signals(OPEN + "&completedFrom=" + NEXT.minusSeconds(60))) {
      if (signal.at("/completedBy").asString().equals(completing)
          && signal.at("/rule").asString().equals("BEYOND_LIMITS")) {
        return signal;
      }
    }
    throw new AssertionError("no open signal of " + completing);
  }

  @Test
  void aCalendarTakenBackBringsBackTheSignalsWithTheirResponses() {
    MovedShifts.calendar(tarebook, "C1", "2024-01-01", "A 06:00", "B 14:00", "C 22:00").expect(201);
    ChartBench bench = MovedShifts.bench(tarebook);
    tarebook.clock().set("2024-05-21T00:00:00Z");
    bench
        .freeze(Codes.fresh("L"), MovedShifts.FROM, MovedShifts.FROM.plus(Duration.ofDays(7)))
        .expect(201);
    JsonNode before = bench.signals("&limit=1000");
    for (JsonNode signal : before) {
      respond(bench, signal.at("/id").asString(), Codes.fresh("r"), 201);
    }
    String moved = MovedShifts.body("C2", "2024-05-13", "Moved", "A 07:00", "B 15:00", "C 23:00");
    tarebook.quality().post(MovedShifts.CALENDARS, moved).expect(201);
    CatchUpByHand.run(tarebook);
    int open = bench.signals(OPEN + "&limit=1000").size();
    assertThat(open).isPositive();
    tarebook
        .quality()
        .put(
            MovedShifts.CALENDARS + "/C2",
            json("name", "Shifts", "retired", true, "reason", "Not agreed"),
            "If-Match",
            tarebook.quality().get(MovedShifts.CALENDARS + "/C2").expect(200).header("ETag"))
        .expect(200);
    CatchUpByHand.run(tarebook);
    JsonNode after = bench.signals("&limit=1000");
    assertThat(after.size()).isEqualTo(before.size());
    assertThat(bench.signals(OPEN + "&limit=1000")).isEmpty();
  }
}
