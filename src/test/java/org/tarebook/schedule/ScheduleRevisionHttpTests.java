package org.tarebook.schedule;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.fixtures.ScheduleFloor.object;
import static org.tarebook.fixtures.ShopFloor.json;

import java.math.BigDecimal;
import java.util.List;
import java.util.Map;
import java.util.stream.StreamSupport;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.ScheduleFloor;
import tools.jackson.databind.JsonNode;

/** Revisions of schedules on the wire: retries, when they begin, which kinetics they mean. */
@OnBothDatabases
class ScheduleRevisionHttpTests {

  private static final String JANUARY = "2026-01-01T00:00:00Z";

  private final RunningTarebook tarebook;
  private ScheduleFloor floor;
  private Client quality;

  ScheduleRevisionHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  @BeforeEach
  void startAnew() {
    tarebook.clock().set("2026-03-02T12:00:00Z");
    floor = new ScheduleFloor(tarebook);
    quality = floor.quality();
  }

  @Test
  void answersWithItsAddressAndKeepsWhatWasRecorded() {
    Answer made = floor.revision("r1", JANUARY, floor.definition()).expect(201);
    assertThat(made.header("Location")).isEqualTo(revisions() + "/1");
    assertThat(made.at("/revision").asInt()).isEqualTo(1);
    assertThat(made.at("/recordedAt").asString()).isEqualTo("2026-03-02T12:00:00Z");
    assertThat(made.at("/definition/steps/1/target").asString()).isEqualTo("PT25M");
    assertThat(quality.get(revisions() + "/1").expect(200).json()).isEqualTo(made.json());
    assertThat(quality.get(revisions()).at("/items")).hasSize(1);
    assertThat(quality.get(revisions() + "/2").problem()).isEqualTo("not-found");
    assertThat(quality.get("/api/v1/cure-schedules/NONE/revisions").problem())
        .isEqualTo("not-found");
  }

  @Test
  void answersARetryHoweverItsNumbersAreWritten() {
    Answer first = floor.revision("r1", JANUARY, floor.definition()).expect(201);
    Map<String, Object> again = floor.definition();
    again.put("largestGap", "PT0M15S");
    again.put("blowPoint", object("factor", new BigDecimal("1.20"), "equivalents", 3.50));
    Answer retry = floor.revision("r1", "2026-01-01T01:00:00+01:00", again).expect(200);
    assertThat(retry.header("Idempotent-Replayed")).isEqualTo("true");
    assertThat(retry.json()).isEqualTo(first.json());
    assertThat(quality.get(revisions()).at("/items")).hasSize(1);
  }

  @Test
  void answersARetryAlsoAfterTheCompoundHasNewKinetics() {
    Answer first = floor.revision("r1", JANUARY, floor.definition()).expect(201);
    kinetics("k2");
    Answer retry = floor.revision("r1", JANUARY, floor.definition()).expect(200);
    assertThat(retry.json()).isEqualTo(first.json());
    Map<String, Object> other = floor.definition();
    layer(other, 1).put("revision", 2);
    assertThat(pointers(floor.revision("r1", JANUARY, other)))
        .containsExactly("/definition/section");
  }

  @Test
  void refusesAKeyUsedForAnotherRevision() {
    floor.revision("r1", JANUARY, floor.definition()).expect(201);
    Map<String, Object> other = floor.definition();
    other.put("largestGap", "PT16S");
    Answer refused = floor.revision("r1", "2026-01-02T00:00:00Z", other).expect(422);
    assertThat(refused.problem()).isEqualTo("key-reused");
    assertThat(pointers(refused)).containsExactly("/validFrom", "/definition/largestGap");
  }

  @Test
  void pinsTheOnlyKineticsAndWantsOneNamedWhereThereAreSeveral() {
    floor.revision("r1", JANUARY, floor.definition()).expect(201);
    kinetics("k2");
    assertThat(
            pointers(floor.revision("r2", "2026-02-01T00:00:00Z", floor.definition()).expect(422)))
        .containsExactly("/definition/section/layers/1/revision");
    Map<String, Object> asked = floor.definition();
    layer(asked, 1).put("revision", 1);
    layer(asked, 2).put("revision", 2);
    floor.revision("r2", "2026-02-01T00:00:00Z", asked).expect(201);
    JsonNode items = quality.get(revisions()).at("/items");
    assertThat(items.at("/0/definition/section/layers/1/revision").asInt()).isEqualTo(1);
    assertThat(items.at("/1/definition/section/layers/1/revision").asInt()).isEqualTo(1);
    assertThat(items.at("/1/definition/section/layers/2/revision").asInt()).isEqualTo(2);
    assertThat(items.at("/0/definition/section/layers/0/revision").isMissingNode()).isTrue();
  }

  @Test
  void beginsBehindTheLastThatStands() {
    floor.revision("r1", JANUARY, floor.definition()).expect(201);
    Answer refused = floor.revision("r2", JANUARY, floor.definition()).expect(422);
    assertThat(pointers(refused)).containsExactly("/validFrom");
    assertThat(refused.at("/errors/0/detail").asString()).contains("revision 1", "withdraw");
    withdraw(1).expect(200);
    floor.revision("r2", JANUARY, floor.definition()).expect(201);
    assertThat(quality.get(revisions() + "/1").at("/withdrawnReason").asString())
        .isEqualTo("wrong");
    assertThat(quality.get(revisions() + "/1").at("/withdrawnAt").asString())
        .isEqualTo("2026-03-02T12:00:00Z");
    assertThat(withdraw(1).status()).isEqualTo(409);
    assertThat(withdraw(3).status()).isEqualTo(404);
  }

  @Test
  void needsAPersonWithTheRightRoleAndEveryMember() {
    String draft =
        json("key", "r1", "validFrom", JANUARY, "definition", floor.definition(), "reason", "x");
    tarebook.reader().post(revisions(), draft).expect(403);
    assertThat(pointers(quality.post(revisions(), "{}").expect(400)))
        .containsExactlyInAnyOrder("/key", "/validFrom", "/definition", "/reason");
    Map<String, Object> misspelt = floor.definition();
    misspelt.put("longestGap", "PT15S");
    assertThat(pointers(floor.revision("r1", JANUARY, misspelt).expect(400)))
        .containsExactly("/definition/longestGap");
  }

  private void kinetics(String key) {
    quality
        .post(
            "/api/v1/compounds/" + floor.compound() + "/kinetics",
            ScheduleFloor.kinetics(key).replace("\"value\":3,", "\"value\":4,"))
        .expect(201);
  }

  @SuppressWarnings("unchecked")
  private static Map<String, Object> layer(Map<String, Object> definition, int at) {
    Map<String, Object> section = (Map<String, Object>) definition.get("section");
    return ((List<Map<String, Object>>) section.get("layers")).get(at);
  }

  private Answer withdraw(int revision) {
    return quality.post(revisions() + "/" + revision + "/withdrawal", json("reason", "wrong"));
  }

  private String revisions() {
    return "/api/v1/cure-schedules/" + floor.schedule() + "/revisions";
  }

  private static List<String> pointers(Answer answer) {
    return StreamSupport.stream(answer.at("/errors").spliterator(), false)
        .map(fault -> fault.get("pointer").asString())
        .toList();
  }
}
