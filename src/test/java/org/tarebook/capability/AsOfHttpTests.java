package org.tarebook.capability;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.fixtures.ShopFloor.json;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.ChartBench;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.stats.MethodRevision;
import org.tarebook.storage.Sha256;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ObjectNode;

/** Figures as they stood, and studies that are kept. */
@OnBothDatabases
class AsOfHttpTests {

  private static final Instant FROM = Instant.parse("2024-05-06T00:00:00Z");
  private static final Instant BEFORE = Instant.parse("2024-05-07T00:00:00Z");
  private static final Duration STEP = Duration.ofMinutes(5);
  private static final Duration LATER = Duration.ofMinutes(10);
  private static final JsonMapper JSON = new JsonMapper();

  private final RunningTarebook tarebook;

  AsOfHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  private ChartBench filled() {
    ChartBench bench = new ChartBench(tarebook, "XBAR_R", 2);
    bench.specification("4.35", "4.45", "kg");
    List<String> values = new ArrayList<>();
    for (int i = 0; i < 60; i++) {
      values.add("4.3" + (80 + i * 7 % 20));
    }
    bench.postAll(values, "kg", FROM, STEP);
    return bench;
  }

  private static String window(ChartBench bench) {
    return "?chart=" + bench.chart() + "&measuredFrom=" + FROM + "&measuredBefore=" + BEFORE;
  }

  /** Late readings, a voided one, limits with a signal, and another specification. */
  private void changeEverything(ChartBench bench) {
    long wrong = bench.points(FROM, BEFORE).at("/points/3/firstReading").asLong();
    bench.post("4.500", FROM.plusSeconds(30));
    bench.post("4.380", FROM.plusSeconds(31));
    tarebook
        .quality()
        .post(
            "/api/v1/readings/" + wrong + "/amendments",
            json("key", Codes.fresh("a"), "kind", "VOID", "reason", "A hand lay on the scale"))
        .expect(201);
    bench.freeze(Codes.fresh("L"), FROM, BEFORE).expect(201);
    bench
        .engineer()
        .post(
            "/api/v1/characteristics/" + bench.characteristic() + "/specifications/1/withdrawal",
            json("reason", "Wrong drawing"))
        .expect(200);
    tarebook.caughtUp();
  }

  /** A study without what is known as of now only. */
  private static JsonNode comparable(JsonNode study) {
    ObjectNode copy = (ObjectNode) JSON.readTree(study.toString());
    copy.remove("state");
    copy.remove("notComputed");
    ((ObjectNode) copy.get("counts")).remove("unverified");
    return copy;
  }

  @Test
  void aStudyAsOfAnEarlierMomentGivesTheDigitsItGaveThen() {
    tarebook.clock().set("2026-03-02T06:00:00Z");
    ChartBench bench = filled();
    tarebook.clock().forward(LATER);
    JsonNode then = bench.study(FROM, BEFORE, "");
    Instant moment = tarebook.clock().instant();
    assertThat(then.at("/state/asOf").isMissingNode()).isTrue();
    tarebook.clock().forward(LATER);
    changeEverything(bench);
    JsonNode now = bench.study(FROM, BEFORE, "");
    assertThat(comparable(now)).isNotEqualTo(comparable(then));
    assertThat(now.at("/control/limitsFrom").asString()).isEqualTo("FROZEN");
    JsonNode again = bench.study(FROM, BEFORE, "&asOf=" + moment);
    assertThat(comparable(again)).isEqualTo(comparable(then));
    assertThat(again.at("/control/limitsFrom").asString()).isEqualTo("COMPUTED_FROM_WINDOW");
    assertThat(again.at("/specification/revision").asInt()).isEqualTo(1);
    assertThat(again.at("/state/changedSince").asLong()).isEqualTo(3);
    assertThat(again.at("/counts/unverified").isMissingNode()).isTrue();
    assertThat(again.at("/notComputed").toString()).contains("counts.unverified", "KNOWN_NOW_ONLY");
    tarebook.clock().forward(LATER);
    assertThat(
            bench.study(FROM, BEFORE, "&asOf=" + tarebook.clock().instant()).at("/counts/readings"))
        .isEqualTo(now.at("/counts/readings"));
  }

  @Test
  void signalsAndResponsesAreThoseOfThen() {
    tarebook.clock().set("2026-03-03T06:00:00Z");
    ChartBench bench = filled();
    bench.freeze(Codes.fresh("L"), FROM, BEFORE).expect(201);
    bench.post("4.500", FROM.plus(Duration.ofHours(20)));
    Answer completing = bench.post("4.510", FROM.plus(Duration.ofHours(20)).plus(STEP));
    tarebook.clock().forward(LATER);
    JsonNode then = bench.study(FROM, BEFORE, "");
    assertThat(then.at("/control/openSignals").asLong()).isPositive();
    assertThat(then.at("/control/openSince").asString())
        .isEqualTo(FROM.plus(Duration.ofHours(20)).plus(STEP).toString());
    Instant moment = tarebook.clock().instant();
    tarebook.clock().forward(LATER);
    for (JsonNode signal : bench.signals("&open=true")) {
      bench
          .engineer()
          .post(
              "/api/v1/signals/" + signal.at("/id").asLong() + "/responses",
              json("key", Codes.fresh("r"), "cause", "Wrong die", "action", "Changed"))
          .expect(201);
    }
    assertThat(comparable(bench.study(FROM, BEFORE, "&asOf=" + moment)))
        .isEqualTo(comparable(then));
    bench
        .engineer()
        .post(
            "/api/v1/readings/" + completing.at("/id").asLong() + "/amendments",
            json("key", Codes.fresh("a"), "kind", "VOID", "reason", "A hand lay on the scale"))
        .expect(201);
    assertThat(bench.study(FROM, BEFORE, "").at("/control/openSignals").asLong()).isZero();
    assertThat(comparable(bench.study(FROM, BEFORE, "&asOf=" + moment)))
        .isEqualTo(comparable(then));
  }

  @Test
  void pointsAndStudiesAreThoseOfThen() {
    tarebook.clock().set("2026-03-07T06:00:00Z");
    ChartBench bench = filled();
    tarebook.clock().forward(LATER);
    List<String> paths = List.of("points", "ewma", "cusum", "shape", "change-points", "preview");
    String window = "?measuredFrom=" + FROM + "&measuredBefore=" + BEFORE;
    List<JsonNode> then = new ArrayList<>();
    for (String path : paths) {
      then.add(withoutVersion(bench, path + window));
    }
    String asOf = "&asOf=" + tarebook.clock().instant();
    tarebook.clock().forward(LATER);
    changeEverything(bench);
    for (int i = 0; i < paths.size(); i++) {
      String path = paths.get(i) + window;
      assertThat(withoutVersion(bench, path + asOf)).as(path).isEqualTo(then.get(i));
      assertThat(withoutVersion(bench, path)).as(path).isNotEqualTo(then.get(i));
      bench
          .engineer()
          .get("/api/v1/charts/" + bench.chart() + "/" + path + "&asOf=2001-01-01T00:00:00Z")
          .expect(422);
    }
  }

  private static JsonNode withoutVersion(ChartBench bench, String path) {
    String answer =
        bench.engineer().get("/api/v1/charts/" + bench.chart() + "/" + path).expect(200).text();
    JsonNode json = JSON.readTree(answer);
    for (JsonNode holder : List.of(json, json.path("basis"))) {
      if (holder instanceof ObjectNode object) {
        object.remove(List.of("version", "asOf"));
      }
    }
    return json;
  }

  @Test
  void noFactRecordedAfterTheMomentIsInAnAnswerAsOfIt() {
    tarebook.clock().set("2026-03-09T06:00:00Z");
    ChartBench bench = filled();
    tarebook.clock().set("2026-03-09T06:30:10Z");
    bench.post("4.500", FROM.plus(Duration.ofHours(20)));
    Instant between = Instant.parse("2026-03-09T06:30:20Z");
    tarebook.clock().set("2026-03-09T06:30:40Z");
    bench.post("4.510", FROM.plus(Duration.ofHours(20)).plus(STEP));
    tarebook.clock().set("2026-03-09T07:00:00Z");
    JsonNode now = bench.study(FROM, BEFORE, "");
    JsonNode then = bench.study(FROM, BEFORE, "&asOf=" + between);
    assertThat(then.at("/state/asOf").asString()).isEqualTo("2026-03-09T06:30:00Z");
    assertThat(then.at("/counts/readings").asLong())
        .isEqualTo(now.at("/counts/readings").asLong() - 2);
    JsonNode minuteLater = bench.study(FROM, BEFORE, "&asOf=2026-03-09T06:31:00Z");
    assertThat(minuteLater.at("/counts/readings")).isEqualTo(now.at("/counts/readings"));
  }

  @Test
  void aMomentBeforeTheChartIsRefused() {
    tarebook.clock().set("2026-03-04T06:00:00Z");
    ChartBench bench = filled();
    assertThat(
            bench
                .engineer()
                .get("/api/v1/capability" + window(bench) + "&asOf=2026-03-04T05:59:00Z")
                .expect(422)
                .at("/errors/0/detail")
                .asString())
        .contains("before anything is known of how " + bench.chart() + " stood");
  }

  @Test
  void aKeptStudyComesOutAgainDigitForDigit() {
    tarebook.clock().set("2026-03-05T06:00:00Z");
    ChartBench bench = filled();
    tarebook.clock().forward(LATER);
    String code = Codes.fresh("CAP");
    String request = request(bench, code, "Monthly report");
    Answer kept = bench.engineer().post("/api/v1/kept-studies", request).expect(201);
    assertThat(kept.at("/digest").asString()).hasSize(64);
    assertThat(kept.at("/study/counts/readings").asLong()).isEqualTo(60);
    Answer repeated = bench.engineer().post("/api/v1/kept-studies", request).expect(200);
    assertThat(repeated.at("/digest")).isEqualTo(kept.at("/digest"));
    tarebook.clock().forward(LATER);
    Answer quiet = bench.engineer().get("/api/v1/kept-studies/" + code + "/again").expect(200);
    assertThat(quiet.at("/same").asBoolean()).isTrue();
    assertThat(quiet.at("/words").asString()).contains("Nothing was written to its window since");
    changeEverything(bench);
    Answer again = bench.engineer().get("/api/v1/kept-studies/" + code + "/again").expect(200);
    assertThat(again.at("/differences")).isEmpty();
    assertThat(again.at("/same").asBoolean()).isTrue();
    assertThat(again.at("/changedSince").asLong()).isEqualTo(3);
    Answer shown = tarebook.reader().get("/api/v1/kept-studies/" + code).expect(200);
    assertThat(shown.at("/study")).isEqualTo(kept.at("/study"));
    assertThat(shown.at("/person")).isEqualTo(kept.at("/person"));
    assertThat(
            tarebook
                .reader()
                .get("/api/v1/kept-studies?chart=" + bench.chart())
                .expect(200)
                .at("/items/0/code")
                .asString())
        .isEqualTo(code);
  }

  @Test
  void whoTouchesTheRecordBehindTheServiceIsFound() {
    tarebook.clock().set("2026-03-06T06:00:00Z");
    ChartBench bench = filled();
    String code = Codes.fresh("CAP");
    bench.engineer().post("/api/v1/kept-studies", request(bench, code, "r")).expect(201);
    long reading = bench.points(FROM, BEFORE).at("/points/3/firstReading").asLong();
    tarebook.sql().sql("update reading set net_value = 4.444 where id = ?").param(reading).update();
    Answer again = bench.engineer().get("/api/v1/kept-studies/" + code + "/again").expect(200);
    assertThat(again.at("/same").asBoolean()).isFalse();
    assertThat(again.at("/differences").toString())
        .contains("\"/mean\"", "\"because\":\"RECORD\"")
        .doesNotContain("METHOD");
    assertThat(again.at("/digestHolds").asBoolean()).isTrue();
    assertThat(again.at("/words").asString()).contains("The record no longer gives what was kept");
    tarebook
        .sql()
        .sql("update kept_study set answer = replace(answer, '4.3', '4.2') where code = ?")
        .param(code)
        .update();
    Answer altered = bench.engineer().get("/api/v1/kept-studies/" + code + "/again").expect(200);
    assertThat(altered.at("/digestHolds").asBoolean()).isFalse();
    assertThat(altered.at("/words").asString()).contains("no longer has its digest");
  }

  @Test
  void aChangeOfTheMethodIsNotTakenForOneOfTheRecord() {
    tarebook.clock().set("2026-03-07T06:00:00Z");
    ChartBench bench = filled();
    String code = Codes.fresh("CAP");
    String path = "/api/v1/kept-studies/" + code;
    bench.engineer().post("/api/v1/kept-studies", request(bench, code, "r")).expect(201);
    assertThat(bench.engineer().get(path).expect(200).at("/methodRevision").asInt())
        .isEqualTo(MethodRevision.NOW);
    assertThat(earlier(bench)).doesNotContain(code);
    keptByRevisionOne(
        code, "\"confidence\":0.95", "\"confidence\":0.95, \"gone\": {\"bias\": 0.1}");
    assertThat(earlier(bench)).contains(code);
    Answer method = bench.engineer().get(path + "/again").expect(200);
    assertThat(method.at("/digestHolds").asBoolean()).isTrue();
    assertThat(method.at("/same").asBoolean()).isFalse();
    assertThat(method.at("/differences/0/at").asString()).isEqualTo("/gone");
    assertThat(method.at("/differences/0/because").asString()).isEqualTo("METHOD");
    assertThat(method.at("/kept/methodRevision").asInt()).isEqualTo(1);
    assertThat(method.at("/methodRevision").asInt()).isEqualTo(MethodRevision.NOW);
    assertThat(method.at("/words").asString())
        .contains("revision 1 of the methods", "The record gives the same");
    keptByRevisionOne(code, "\"readings\":60", "\"readings\":61");
    Answer both = bench.engineer().get(path + "/again").expect(200);
    assertThat(both.at("/differences").toString())
        .contains("\"/counts/readings\"", "\"RECORD\"", "\"RECORD_OR_METHOD\"");
    assertThat(both.at("/words").asString()).contains("The record no longer gives what was kept");
  }

  private void keptByRevisionOne(String code, String text, String other) {
    String answer =
        tarebook
            .sql()
            .sql("select answer from kept_study where code = ?")
            .param(code)
            .query(String.class)
            .single()
            .replace(text, other);
    assertThat(answer).contains(other);
    tarebook
        .sql()
        .sql("update kept_study set answer = ?, digest = ?, method_revision = 1 where code = ?")
        .params(answer, Sha256.of(answer), code)
        .update();
  }

  private String earlier(ChartBench bench) {
    return tarebook
        .reader()
        .get("/api/v1/kept-studies?byEarlierMethod=true&limit=1000&chart=" + bench.chart())
        .expect(200)
        .text();
  }

  @Test
  void whatCannotBeKeptIsRefused() {
    ChartBench bench = filled();
    String code = Codes.fresh("CAP");
    String request = request(bench, code, "r");
    bench.engineer().post("/api/v1/kept-studies", request).expect(201);
    assertThat(
            bench
                .engineer()
                .post("/api/v1/kept-studies", request.replace("\"r\"", "\"other\""))
                .expect(422)
                .problem())
        .isEqualTo("key-reused");
    String other = request.replace("\"k-" + code, "\"k2-" + code);
    assertThat(bench.engineer().post("/api/v1/kept-studies", other).expect(409).problem())
        .isEqualTo("already-exists");
    String fresh = request(bench, Codes.fresh("CAP"), "r");
    bench
        .engineer()
        .post("/api/v1/kept-studies", fresh.replace(BEFORE.toString(), FROM.toString()))
        .expect(422);
    bench
        .engineer()
        .post("/api/v1/kept-studies", fresh.replace(bench.chart(), "NO-SUCH-CHART"))
        .expect(422);
    bench
        .engineer()
        .post(
            "/api/v1/kept-studies",
            fresh.replace("\"reason\"", "\"estimator\":\"S_BAR\",\"reason\""))
        .expect(422);
    tarebook.reader().post("/api/v1/kept-studies", fresh).expect(403);
    tarebook.reader().get("/api/v1/kept-studies/NO-SUCH").expect(404);
  }

  private static String request(ChartBench bench, String code, String reason) {
    return json(
        "key",
        "k-" + code,
        "code",
        code,
        "reason",
        reason,
        "chart",
        bench.chart(),
        "measuredFrom",
        FROM.toString(),
        "measuredBefore",
        BEFORE.toString());
  }
}
