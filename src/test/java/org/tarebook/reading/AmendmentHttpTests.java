package org.tarebook.reading;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.fixtures.ShopFloor.json;

import java.time.Duration;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.ShopFloor;

@OnBothDatabases
class AmendmentHttpTests {

  private static final String AT = "2026-03-02T06:00:00Z";

  private final RunningTarebook tarebook;
  private final ShopFloor floor;
  private final Client person;

  AmendmentHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
    this.floor = new ShopFloor(tarebook, "kg");
    floor.specification(floor.mass(), "5.0", "6.0", "kg");
    this.person = tarebook.quality();
  }

  @Test
  void aVoidedReadingStaysOnRecordAndNoLongerCounts() {
    String id = posted(floor.posting(9.9, "kg", AT));
    amend(id, json("key", Codes.fresh("a"), "kind", "VOID", "reason", "A hand lay on the scale"))
        .expect(201);
    Answer read = read(id);
    assertThat(read.at("/standing").asString()).isEqualTo("VOIDED");
    assertThat(read.at("/result").asString()).isEqualTo("FAIL");
    assertThat(read.at("/amendment/reason").asString()).isEqualTo("A hand lay on the scale");
    String all = "/api/v1/readings?station=" + floor.station();
    assertThat(tarebook.reader().get(all).at("/items")).isEmpty();
    assertThat(tarebook.reader().get(all + "&includeVoided=true").at("/items")).hasSize(1);
    assertThat(tarebook.reader().get(all + "&standing=VOIDED").at("/items")).hasSize(1);
  }

  @Test
  void theAuditListNamesWhatWasAmended() {
    String voided = posted(floor.posting(9.9, "kg", AT));
    amend(voided, json("key", Codes.fresh("a"), "kind", "VOID", "reason", "A hand lay on it"))
        .expect(201);
    String replaced = posted(floor.posting(5.5, "kg", AT));
    String request =
        json(
            "key",
            Codes.fresh("a"),
            "kind",
            "REPLACE",
            "reason",
            "Wrong die",
            "replacement",
            Map.of("die", "D8"));
    amend(replaced, request).expect(201);
    amend(replaced, request).expect(200);
    assertThat(audited(voided)).containsExactly("voided");
    assertThat(audited(replaced)).containsExactly("replaced");
  }

  private List<String> audited(String id) {
    List<String> actions = new ArrayList<>();
    tarebook
        .admin()
        .get("/api/v1/audit?subject=reading&code=" + id)
        .expect(200)
        .json()
        .get("items")
        .forEach(entry -> actions.add(entry.get("action").asString()));
    return actions;
  }

  @Test
  void aReplacementIsAReadingOfItsOwnAtTheSameTime() {
    String id = posted(floor.posting(56, "kg", AT, "die", "D7"));
    String request =
        json(
            "key",
            Codes.fresh("a"),
            "kind",
            "REPLACE",
            "reason",
            "The point was left out",
            "replacement",
            Map.of("value", 5.6));
    Answer made = amend(id, request).expect(201);
    String replacement = made.at("/replacement").asString();
    assertThat(read(id).at("/standing").asString()).isEqualTo("REPLACED");
    Answer fresh = read(replacement);
    assertThat(fresh.at("/standing").asString()).isEqualTo("COUNTED");
    assertThat(fresh.at("/result").asString()).isEqualTo("PASS");
    assertThat(fresh.at("/die").asString()).isEqualTo("D7");
    assertThat(fresh.at("/measuredAt").asString()).isEqualTo(AT);
    assertThat(fresh.at("/postedBy").asString()).isEqualTo(made.at("/person").asString());

    Answer again = amend(id, request).expect(200);
    assertThat(again.header("Idempotent-Replayed")).isEqualTo("true");
    assertThat(again.json()).isEqualTo(made.json());
    assertThat(amend(id, request.replace("5.6", "5.7")).expect(422).problem())
        .isEqualTo("key-reused");
  }

  @Test
  void whenTheFirstOfAnItemIsVoidedTheNextCounts() {
    String item = Codes.fresh("G");
    String first = posted(floor.posting(6.5, "kg", AT, "item", item));
    String second = posted(floor.posting(5.5, "kg", "2026-03-02T06:00:30Z", "item", item));
    assertThat(read(second).at("/standing").asString()).isEqualTo("REMEASUREMENT");
    amend(first, json("key", Codes.fresh("a"), "kind", "VOID", "reason", "Two strips on it"))
        .expect(201);
    assertThat(read(second).at("/standing").asString()).isEqualTo("COUNTED");
  }

  @Test
  void whatCannotBeAmendedIsRefused() {
    String id = posted(floor.posting(5.5, "kg", AT));
    String aVoid = json("key", Codes.fresh("a"), "kind", "VOID", "reason", "r");
    assertThat(amend("999999999", aVoid).expect(404).problem()).isEqualTo("not-found");
    amend(id, json("key", Codes.fresh("a"), "kind", "VOID", "reason", " ")).expect(400);
    Answer missing =
        amend(id, json("key", Codes.fresh("a"), "kind", "REPLACE", "reason", "r")).expect(422);
    assertThat(missing.at("/errors/0/pointer").asString()).isEqualTo("/replacement");
    assertThat(missing.at("/errors/0/detail").asString())
        .isEqualTo(
            "is missing; kind REPLACE needs what differs from the reading, such as"
                + " {\"value\": 5.6} or {\"die\": \"D8\"}; send it, or kind VOID");
    Answer tooMuch = amend(id, "VOID", Map.of("value", 5)).expect(422);
    assertThat(tooMuch.at("/errors/0/detail").asString()).contains("does not go with kind VOID");
    amend(
            id,
            json(
                "key",
                Codes.fresh("a"),
                "kind",
                "REPLACE",
                "reason",
                "r",
                "replacement",
                Map.of("value", 5, "unit", "mm")))
        .expect(422);
    String path = "/api/v1/readings/" + id + "/amendments";
    assertThat(tarebook.station(floor.station()).post(path, aVoid).expect(403).problem())
        .isEqualTo("not-allowed");
    amend(id, aVoid).expect(201);
    Answer twice = amend(id, json("key", Codes.fresh("a"), "kind", "VOID", "reason", "r"));
    assertThat(twice.expect(409).problem()).isEqualTo("conflict");
    assertThat(tarebook.reader().get(path).expect(200).at("/items")).hasSize(1);
  }

  @Test
  void anAmendmentThatChangesNothingIsRefused() {
    String id = posted(floor.posting(5.5, "kg", AT, "die", "D7"));
    Map<String, Object> noSample = new HashMap<>();
    noSample.put("sample", null);
    for (Map<String, Object> same :
        List.of(
            Map.<String, Object>of(),
            Map.<String, Object>of("value", 5.50, "unit", "kg"),
            Map.<String, Object>of("die", "D7", "phase", "RUNNING"),
            Map.<String, Object>of("sample", ""),
            noSample)) {
      Answer refused = amend(id, "REPLACE", same).expect(422);
      assertThat(refused.problem()).isEqualTo("rule-broken");
      assertThat(refused.at("/errors/0/pointer").asString()).isEqualTo("/replacement");
      assertThat(refused.at("/errors/0/detail").asString())
          .startsWith("changes nothing: reading " + id + " stands with value 5.5 kg")
          .contains("die D7", "sample none")
          .endsWith("send what differs, or void the reading");
    }
    assertThat(read(id).at("/standing").asString()).isEqualTo("COUNTED");
    amend(id, "REPLACE", Map.of("sample", "S-1")).expect(201);
  }

  private Answer amend(String id, String kind, Map<String, Object> replacement) {
    return amend(
        id, json("key", Codes.fresh("a"), "kind", kind, "reason", "r", "replacement", replacement));
  }

  @Test
  void allAreListedInTheOrderTheyWereRecordedAndSinceAMoment() {
    tarebook.clock().set("2031-03-02T06:00:00Z");
    List<String> readings = new ArrayList<>();
    for (int i = 0; i < 5; i++) {
      readings.add(posted(floor.posting(5.5, "kg", AT)));
      amend(
              readings.get(i),
              json("key", Codes.fresh("a"), "kind", "VOID", "reason", "A hand lay on it"))
          .expect(201);
      tarebook.clock().forward(Duration.ofMinutes(1));
    }
    String from = "?limit=2&recordedFrom=2031-03-02T06:0";
    String all = "/api/v1/amendments" + from;
    assertThat(each(all + "0:00Z", "/reading")).containsExactlyElementsOf(readings);
    assertThat(each(all + "3:00Z", "/reading")).containsExactlyElementsOf(readings.subList(3, 5));
    assertThat(each(all + "1:00Z&recordedBefore=2031-03-02T06:03:00Z", "/reading"))
        .containsExactlyElementsOf(readings.subList(1, 3));
    assertThat(
            each(
                "/api/v1/audit"
                    + from
                    + "1:00Z&recordedBefore=2031-03-02T06:04:00Z&subject=reading",
                "/code"))
        .containsExactly(readings.get(3), readings.get(2), readings.get(1));
    tarebook.clock().run();
  }

  private List<String> each(String address, String member) {
    List<String> found = new ArrayList<>();
    for (String next = address; !next.isEmpty(); ) {
      Answer page = person.get(next).expect(200);
      page.at("/items").forEach(item -> found.add(item.at(member).asString()));
      next = page.at("/next").asString("");
    }
    return found;
  }

  private String posted(String posting) {
    return floor.post(posting).expect(201).at("/id").asString();
  }

  private Answer amend(String id, String request) {
    return person.post("/api/v1/readings/" + id + "/amendments", request);
  }

  private Answer read(String id) {
    return tarebook.reader().get("/api/v1/readings/" + id).expect(200);
  }
}
