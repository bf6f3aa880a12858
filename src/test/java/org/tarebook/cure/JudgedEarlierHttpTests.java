package org.tarebook.cure;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.fixtures.ScheduleFloor.quantity;
import static org.tarebook.fixtures.ShopFloor.json;

import java.util.Map;
import java.util.stream.StreamSupport;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;

/** An upgrade rewrites no verdict: a person sees what differs, and has cures judged again. */
@OnBothDatabases
class JudgedEarlierHttpTests {

  private static final String END = "2026-03-02T06:30:00Z";
  private static final String EARLIER = "/api/v1/cures/judged-earlier?limit=100";

  private final RunningTarebook tarebook;
  private CureFloor floor;

  JudgedEarlierHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  @BeforeEach
  void startAnew() {
    floor = new CureFloor(tarebook);
    Map<String, Object> strict = floor.planned().definition();
    strict.put("leastWaterMargin", quantity("60", "K{difference}"));
    floor.planned().doubtful("r1", "2026-01-01T00:00:00Z", strict).expect(201);
  }

  @Test
  void listsWhatTheEarlierMethodJudgedAndWhatThePresentOneSays() {
    String same = run();
    String other = run();
    asEarlier(same);
    asGoodEarlier(other);

    JsonNode alike = listed(EARLIER, same);
    assertThat(alike.at("/differs").asBoolean()).isFalse();
    assertThat(alike.at("/method").asInt()).isEqualTo(1);
    assertThat(alike.at("/presentMethod").asInt()).isEqualTo(Verdict.METHOD);
    JsonNode differing = listed(EARLIER + "&differing=true", other);
    assertThat(differing.at("/cavities/0/standing").asString()).isEqualTo("GOOD");
    assertThat(differing.at("/cavities/0/present").asString()).isEqualTo("NOT_GOOD");
    assertThat(differing.at("/cavities/0/added/0/code").asString()).isEqualTo("WATER_MARGIN");
    assertThat(listed(EARLIER + "&differing=true", same).isMissingNode()).isTrue();
    assertThat(verdict(other, 1).at("/cavities/0/verdict").asString()).isEqualTo("GOOD");
    assertThat(verdicts(other)).isEqualTo(1);
  }

  @Test
  void aPersonHasACureJudgedAgainOnce() {
    String id = run();
    asGoodEarlier(id);
    Answer judged = ask(id, "again-" + id, "the method has changed").expect(201);
    assertThat(judged.at("/number").asInt()).isEqualTo(2);
    assertThat(judged.at("/because").asString()).isEqualTo("ASKED");
    assertThat(judged.at("/askedBecause").asString()).isEqualTo("the method has changed");
    assertThat(judged.at("/cavities/0/verdict").asString()).isEqualTo("NOT_GOOD");
    assertThat(judged.at("/changed/0").asString())
        .isEqualTo("by method " + Verdict.METHOD + " instead of 1");
    assertThat(verdict(id, 1).at("/cavities/0/verdict").asString()).isEqualTo("GOOD");
    assertThat(verdict(id, 1).at("/succeeded").asBoolean()).isTrue();
    assertThat(listed(EARLIER, id).isMissingNode()).isTrue();

    Answer retry = ask(id, "again-" + id, "the method has changed").expect(200);
    assertThat(retry.json()).isEqualTo(judged.json());
    assertThat(ask(id, "again-" + id, "another reason").problem()).isEqualTo("key-reused");
    assertThat(ask(id, "once more", "no reason").problem()).isEqualTo("invalid-request");
    assertThat(ask(id, "once-more", "to be sure").problem()).isEqualTo("conflict");
    assertThat(verdicts(id)).isEqualTo(2);
  }

  @Test
  void refusesToJudgeAgainWhatIsNotClosedOrNotThere() {
    String open = floor.start(floor.cure());
    assertThat(ask(open, "a", "why").problem()).isEqualTo("conflict");
    assertThat(ask("1", "a", "why").problem()).isEqualTo("not-found");
    assertThat(ask(open, "a", " ").expect(400).at("/errors/0/pointer").asString())
        .isEqualTo("/reason");
    assertThat(
            floor
                .controller()
                .post("/api/v1/cures/" + open + "/verdicts", json("key", "a", "reason", "why"))
                .problem())
        .isEqualTo("not-allowed");
    assertThat(floor.controller().get(EARLIER).problem()).isEqualTo("not-allowed");
  }

  private JsonNode listed(String address, String id) {
    return StreamSupport.stream(
            floor.quality().get(address).expect(200).at("/items").spliterator(), false)
        .filter(one -> one.get("cure").asString().equals(id))
        .findFirst()
        .orElseGet(() -> tools.jackson.databind.node.MissingNode.getInstance());
  }

  private Answer ask(String id, String key, String reason) {
    return floor
        .quality()
        .post("/api/v1/cures/" + id + "/verdicts", json("key", key, "reason", reason));
  }

  private JsonNode verdict(String id, int number) {
    return floor.quality().get("/api/v1/cures/" + id + "/verdicts/" + number).expect(200).json();
  }

  private int verdicts(String id) {
    return floor.quality().get("/api/v1/cures/" + id + "/verdicts").at("/items").size();
  }

  /** As the first method stored it, without what later ones added. */
  private void asEarlier(String id) {
    long cure = Long.parseLong(id);
    String findings =
        tarebook
            .sql()
            .sql("select findings from cure_verdict where cure_id = ?")
            .param(cure)
            .query(String.class)
            .single();
    String earlier =
        findings.replaceAll(
            ",\"(holds|bridged|decidingLower|decidingUpper|airFractionLower|airFractionUpper)\":"
                + "(\\[[^\\]]*\\]|[^,}]*)",
            "");
    assertThat(earlier).doesNotContain("deciding", "holds").isNotEqualTo(findings);
    tarebook
        .sql()
        .sql("update cure_verdict set method = 1, findings = ? where cure_id = ?")
        .param(earlier)
        .param(cure)
        .update();
    tarebook
        .sql()
        .sql(
            "update cure_reason set rule = null where verdict_id in (select id from cure_verdict"
                + " where cure_id = ?)")
        .param(cure)
        .update();
  }

  /** As if an earlier method had found nothing. */
  private void asGoodEarlier(String id) {
    asEarlier(id);
    tarebook
        .sql()
        .sql(
            "update cure_verdict set findings = replace(findings, '\"NOT_GOOD\"', '\"GOOD\"') where"
                + " cure_id = ?")
        .param(Long.valueOf(id))
        .update();
    tarebook
        .sql()
        .sql(
            "delete from cure_reason where weight = 'BREACH' and verdict_id in (select id from"
                + " cure_verdict where cure_id = ?)")
        .param(Long.valueOf(id))
        .update();
  }

  private String run() {
    String id = floor.start(floor.cure());
    floor.samples(id, "key=1", "text/csv", HealthyLog.whole().csv()).expect(201);
    floor.close(id, END).expect(201);
    return id;
  }
}
