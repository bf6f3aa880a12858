package org.tarebook.cure;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.fixtures.ScheduleFloor.quantity;
import static org.tarebook.fixtures.ShopFloor.json;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.stream.StreamSupport;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.ScheduleFloor;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ObjectNode;

/** Verdicts on the wire: the closing, and the successors when a revision is withdrawn. */
@OnBothDatabases
class VerdictHttpTests {

  private static final String END = "2026-03-02T06:30:00Z";

  private final RunningTarebook tarebook;
  private CureFloor floor;

  VerdictHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  @BeforeEach
  void startAnew() {
    floor = new CureFloor(tarebook);
    floor
        .planned()
        .revision("r1", "2026-01-01T00:00:00Z", floor.planned().definition())
        .expect(201);
  }

  @Test
  void answersTheRetryOfAClosingWithTheSameVerdict() {
    String id = run();
    Answer first = floor.close(id, END).expect(201);
    assertThat(first.header("Location")).isEqualTo("/api/v1/cures/" + id + "/verdicts/1");
    assertThat(first.at("/because").asString()).isEqualTo("CLOSED");
    assertThat(first.at("/changed")).isEmpty();
    assertThat(first.at("/reachedBy").asString()).isEqualTo(floor.station());
    tarebook.clock().set("2026-03-02T13:00:00Z");
    Answer retry = floor.close(id, END).expect(200);
    assertThat(retry.header("Idempotent-Replayed")).isEqualTo("true");
    assertThat(retry.json()).isEqualTo(first.json());
    assertThat(floor.quality().get("/api/v1/cures/" + id + "/verdicts/1").json())
        .isEqualTo(first.json());
    floor.controller().post(closing(id), json("key", "close")).expect(200);
    assertThat(floor.quality().get("/api/v1/cures/" + id + "/verdicts/2").problem())
        .isEqualTo("not-found");
  }

  @Test
  void refusesAnotherClosing() {
    String id = run();
    assertThat(floor.close(id, "2026-03-02T05:59:59Z").expect(422).at("/errors/0/pointer"))
        .hasToString("\"/closedAt\"");
    Answer ahead = floor.close(id, "2026-03-02T12:02:01Z").expect(422);
    assertThat(ahead.at("/errors/0/detail").asString()).contains("ahead of the server's clock");
    floor.close(id, END).expect(201);
    Answer other = floor.controller().post(closing(id), json("key", "other", "closedAt", END));
    assertThat(other.status()).isEqualTo(409);
    assertThat(other.at("/detail").asString()).contains("under the key close", floor.station());
    floor.quality().post(closing(id), json("key", "close", "closedAt", END)).expect(409);
    Answer later = floor.close(id, "2026-03-02T06:31:00Z").expect(422);
    assertThat(later.problem()).isEqualTo("key-reused");
    assertThat(later.at("/errors/0/detail").asString()).contains(END);
    floor.controller().post(closing("1"), json("key", "close")).expect(404);
    floor.controller().post(closing(id), json("key", "a b")).expect(400);
  }

  @Test
  void judgesByTheServersClockWhereNobodySaysWhenItEnded() {
    String id = run();
    tarebook.clock().set(END);
    floor.controller().post(closing(id), json("key", "close")).expect(201);
    assertThat(floor.quality().get("/api/v1/cures/" + id).at("/closedAt").asString())
        .isEqualTo(END);
  }

  @Test
  void judgesAgainByTheEarlierRevisionWhenOneIsWithdrawn() {
    strictRevision();
    String id = run();
    JsonNode first = floor.close(id, END).expect(201).json();
    assertThat(first.get("revision").asInt()).isEqualTo(2);
    assertThat(first.at("/cavities/2/verdict").asString()).isEqualTo("NOT_GOOD");
    String open = run();

    assertThat(preview(2)).isEqualTo(1);
    assertThat(preview(1)).isZero();
    assertThat(withdraw(2).expect(200).at("/cures").asInt()).isEqualTo(1);
    assertThat(withdraw(2).problem()).isEqualTo("conflict");
    tarebook.bean(JudgingAgain.class).run();
    assertThat(preview(2)).isZero();

    JsonNode verdicts = floor.quality().get("/api/v1/cures/" + id + "/verdicts").at("/items");
    assertThat(verdicts).hasSize(2);
    assertThat(verdicts.get(0).get("cavities")).isEqualTo(first.get("cavities"));
    assertThat(verdicts.get(0).get("succeeded").asBoolean()).isTrue();
    JsonNode second = verdicts.get(1);
    assertThat(second.get("revision").asInt()).isEqualTo(1);
    assertThat(second.get("because").asString()).isEqualTo("REVISION_CHANGED");
    assertThat(second.get("reachedBy").asString()).isEqualTo("tarebook");
    assertThat(second.at("/cavities/2/verdict").asString()).isEqualTo("GOOD");
    assertThat(second.get("changed").toString())
        .contains(
            "judged by revision 1 instead of revision 2",
            "cavity 3 is GOOD instead of NOT_GOOD",
            "cavity 3 no longer has [WATER_MARGIN]");
    assertThat(floor.close(open, END).expect(201).at("/revision").asInt()).isEqualTo(1);
  }

  @Test
  void isNotJudgedWhereNoRevisionIsLeft() {
    String id = run();
    floor.close(id, END).expect(201);
    withdraw(1).expect(200);
    tarebook.bean(JudgingAgain.class).run();
    tarebook.bean(JudgingAgain.class).run();
    JsonNode verdicts = floor.quality().get("/api/v1/cures/" + id + "/verdicts").at("/items");
    assertThat(verdicts).hasSize(2);
    JsonNode last = verdicts.get(1);
    assertThat(last.has("revision")).isFalse();
    for (JsonNode cavity : last.get("cavities")) {
      assertThat(cavity.get("verdict").asString()).isEqualTo("NOT_JUDGED");
      assertThat(cavity.at("/reasons/0/code").asString()).isEqualTo("NO_SCHEDULE");
      assertThat(cavity.at("/figures/notComputed").toString()).contains("no schedule");
    }
    assertThat(last.get("changed").toString()).contains("no revision instead of revision 1");
    assertThat(floor.quality().get("/api/v1/cures/" + id).at("/revision").isMissingNode()).isTrue();
  }

  @Test
  void judgesAgainByARevisionThatCorrectsAWithdrawnOne() {
    strictRevision();
    String id = run();
    floor.close(id, END).expect(201);
    assertThat(
            floor
                .planned()
                .revision("r3", "2026-02-01T00:00:00Z", floor.planned().definition())
                .problem())
        .isEqualTo("rule-broken");
    withdraw(2).expect(200);
    floor
        .planned()
        .revision("r3", "2026-02-01T00:00:00Z", floor.planned().definition())
        .expect(201);
    tarebook.bean(JudgingAgain.class).run();
    JsonNode verdicts = floor.quality().get("/api/v1/cures/" + id + "/verdicts").at("/items");
    JsonNode last = verdicts.get(verdicts.size() - 1);
    assertThat(last.get("revision").asInt()).isEqualTo(3);
    assertThat(last.get("because").asString()).isEqualTo("REVISION_CHANGED");
    assertThat(last.at("/cavities/2/verdict").asString()).isEqualTo("GOOD");
  }

  @Test
  void judgesTheOthersAgainWhereOneCannotBeRead() {
    strictRevision();
    String damaged = run();
    String whole = run();
    floor.close(damaged, END).expect(201);
    floor.close(whole, END).expect(201);
    byte[] body =
        tarebook
            .sql()
            .sql("select body from cure_piece where cure_id = ?")
            .param(Long.valueOf(damaged))
            .query(byte[].class)
            .single();
    store(damaged, new byte[] {1, 2, 3});
    withdraw(2).expect(200);
    tarebook.bean(JudgingAgain.class).run();
    assertThat(verdicts(damaged)).isEqualTo(1);
    assertThat(verdicts(whole)).isEqualTo(2);
    store(damaged, body);
    tarebook.bean(JudgingAgain.class).run();
    assertThat(verdicts(damaged)).isEqualTo(2);
  }

  @Test
  void aMinimumThatGuardsAgainstAnUnknownUncertaintyIsNotJudged() {
    String compound = floor.planned().compound();
    ObjectNode kinetics =
        (ObjectNode) new JsonMapper().readTree(ScheduleFloor.kinetics("unbounded"));
    kinetics.remove("uncertainty");
    floor
        .quality()
        .post("/api/v1/compounds/" + compound + "/kinetics", kinetics.toString())
        .expect(201);
    Map<String, Object> guarding = floor.planned().definition();
    guarding.remove("minimumHolds");
    Answer refused = floor.planned().revision("r2", "2026-02-01T00:00:00Z", guarding).expect(422);
    assertThat(refused.at("/errors/0/pointer").asString())
        .matches("/definition/section/layers/[0-9]/revision");
    assertThat(refused.at("/errors/0/detail").asString()).contains("2 revisions");
    nameRevision(guarding, 2);
    Answer doubted = floor.planned().revision("r2", "2026-02-01T00:00:00Z", guarding).expect(422);
    assertThat(doubted.text()).contains("the activation energy of " + compound, "doubtReason");
    floor.planned().doubtful("r2", "2026-02-01T00:00:00Z", guarding).expect(201);
    JsonNode cavity = floor.close(run(), END).expect(201).at("/cavities/0");
    assertThat(cavity.at("/verdict").asString()).isEqualTo("NOT_JUDGED");
    JsonNode reason =
        StreamSupport.stream(cavity.at("/reasons").spliterator(), false)
            .filter(one -> one.at("/code").asString().equals("UNCERTAINTY_UNKNOWN"))
            .findFirst()
            .orElseThrow();
    assertThat(reason.at("/words").asString()).contains(compound, "minimumHolds");
    assertThat(cavity.at("/figures/equivalents/0/lower").isMissingNode()).isTrue();
  }

  /** In water of 168 °C and steam of 150 °C the middle ends between; in air it cools. */
  @Test
  void equivalentsSayHowHotTheirPlaceWas() {
    String id = floor.start(floor.cure());
    floor.samples(id, "key=all", "text/csv", HealthyLog.whole().csv()).expect(201);
    JsonNode cavity = floor.close(id, END).expect(201).at("/cavities/0");
    Map<String, Double> temperatures = new HashMap<>();
    for (JsonNode one : cavity.at("/figures/equivalents")) {
      temperatures.put(
          one.at("/place").asString() + " " + one.at("/until").asString(),
          one.at("/temperature").asDouble());
    }
    assertThat(temperatures.get("SLOWEST RELEASE")).isBetween(130.0, 168.0);
    assertThat(temperatures.get("FASTEST OPENING")).isBetween(130.0, 168.0);
    assertThat(temperatures.get("SLOWEST END"))
        .isBetween(22.0, temperatures.get("SLOWEST OPENING"));
  }

  @Test
  void aRecorderMayNameTheStepOnEachRow() {
    String id = floor.start(floor.cure());
    StringBuilder named = new StringBuilder();
    String step = "";
    for (String row : HealthyLog.whole().csv().lines().toList()) {
      String[] parts = row.split(",", 3);
      step = parts[1].isEmpty() ? step : parts[1];
      named.append(parts[0] + "," + step + "," + parts[2] + "\n");
    }
    floor
        .samples(id, "key=1", "text/csv", named.toString().replaceFirst("at,SHAPE", "at,step"))
        .expect(201);
    assertThat(floor.close(id, END).expect(201).at("/cavities/0/verdict").asString())
        .isEqualTo("GOOD");
  }

  @Test
  void anUnknownEnergyLeavesTheBlowPointOpen() {
    ObjectNode kinetics =
        (ObjectNode) new JsonMapper().readTree(ScheduleFloor.kinetics("no-uncertainty"));
    kinetics.remove("uncertainty");
    String compound = floor.planned().compound();
    floor
        .quality()
        .post("/api/v1/compounds/" + compound + "/kinetics", kinetics.toString())
        .expect(201);
    Map<String, Object> guarding = floor.planned().definition();
    guarding.remove("minimumHolds");
    guarding.remove("wanted");
    nameRevision(guarding, 2);
    floor.planned().doubtful("r2", "2026-02-01T00:00:00Z", guarding).expect(201);
    JsonNode cavity = floor.close(run(), END).expect(201).at("/cavities/0");
    assertThat(cavity.at("/verdict").asString()).isEqualTo("NOT_JUDGED");
    assertThat(cavity.at("/reasons").toString()).contains("UNCERTAINTY_UNKNOWN", "/blowPoint");
  }

  @SuppressWarnings("unchecked")
  private static void nameRevision(Map<String, Object> definition, int revision) {
    Map<String, Object> section = (Map<String, Object>) definition.get("section");
    for (Map<String, Object> layer : (List<Map<String, Object>>) section.get("layers")) {
      if (layer.containsKey("compound")) {
        layer.put("revision", revision);
      }
    }
  }

  private void store(String id, byte[] body) {
    tarebook
        .sql()
        .sql("update cure_piece set body = ? where cure_id = ?")
        .param(body)
        .param(Long.valueOf(id))
        .update();
  }

  private int verdicts(String id) {
    return floor.quality().get("/api/v1/cures/" + id + "/verdicts").at("/items").size();
  }

  private void strictRevision() {
    Map<String, Object> strict = floor.planned().definition();
    strict.put("leastWaterMargin", quantity("60", "K{difference}"));
    floor.planned().doubtful("r2", "2026-02-01T00:00:00Z", strict).expect(201);
  }

  private String run() {
    String id = floor.start(floor.cure());
    floor.samples(id, "key=1", "text/csv", HealthyLog.whole().csv()).expect(201);
    return id;
  }

  private static String closing(String id) {
    return "/api/v1/cures/" + id + "/closing";
  }

  private String withdrawal(int revision) {
    return "/api/v1/cure-schedules/"
        + floor.planned().schedule()
        + "/revisions/"
        + revision
        + "/withdrawal";
  }

  private int preview(int revision) {
    return floor.quality().get(withdrawal(revision)).expect(200).at("/cures").asInt();
  }

  private Answer withdraw(int revision) {
    return floor.quality().post(withdrawal(revision), json("reason", "margin misread"));
  }
}
