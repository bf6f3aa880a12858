package org.tarebook.cure;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.fixtures.ShopFloor.json;

import java.util.stream.StreamSupport;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;

/** Samples in conflict leave a load not judged until a person settles which stand. */
@OnBothDatabases
class SettlementHttpTests {

  private static final String CSV = "text/csv";
  private static final String MOMENT = "2026-03-02T06:10:00Z";
  private static final String END = "2026-03-02T06:30:00Z";

  private final RunningTarebook tarebook;
  private CureFloor floor;
  private String id;

  SettlementHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  @BeforeEach
  void aLoadWithAConflict() {
    floor = new CureFloor(tarebook);
    floor
        .planned()
        .revision("r1", "2026-01-01T00:00:00Z", floor.planned().definition())
        .expect(201);
    id = floor.start(floor.cure());
    floor.samples(id, "key=whole", CSV, HealthyLog.whole().csv()).expect(201);
    floor.samples(id, "key=other", CSV, "at,IT-1\n" + MOMENT + ",150.0\n").expect(201);
  }

  @Test
  void aSettlementBringsASuccessorAndLeavesTheFirstVerdict() {
    assertThat(cavity(floor.close(id, END).expect(201).json(), 0)).isEqualTo("NOT_JUDGED");
    Answer settled = settle("s-1", "whole", "the spare recorder's couple was not plugged in");
    settled.expect(201);
    assertThat(settled.at("/number").asInt()).isEqualTo(1);
    assertThat(settled.at("/from").asString()).isEqualTo(MOMENT);
    assertThat(settled.at("/among").toString()).isEqualTo("[\"other\",\"whole\"]");

    JsonNode verdicts = floor.quality().get(cure("/verdicts")).expect(200).at("/items");
    assertThat(verdicts).hasSize(2);
    assertThat(cavity(verdicts.get(0), 0)).isEqualTo("NOT_JUDGED");
    assertThat(reason(verdicts.get(0), "CONFLICT").at("/words").asString())
        .contains("(piece whole)", "150 °C (piece other)");
    JsonNode second = verdicts.get(1);
    assertThat(second.at("/because").asString()).isEqualTo("SETTLED");
    assertThat(cavity(second, 0)).isEqualTo("GOOD");
    JsonNode remark = reason(second, "CONFLICT_SETTLED");
    assertThat(remark.at("/weight").asString()).isEqualTo("REMARK");
    assertThat(remark.at("/words").asString())
        .contains("piece whole stand", "couple was not plugged in");
    assertThat(standings()).isEqualTo("[OVERRULED, USED]");

    Answer retry = settle("s-1", "whole", "the spare recorder's couple was not plugged in");
    assertThat(retry.expect(200).json()).isEqualTo(settled.json());
    Answer reused = settle("s-1", "other", "the spare recorder's couple was not plugged in");
    assertThat(reused.problem()).isEqualTo("key-reused");
    assertThat(reused.at("/errors/0/pointer").asString()).isEqualTo("/stands");
    assertThat(floor.quality().get(cure("/verdicts")).at("/items")).hasSize(2);
    assertThat(floor.quality().get(cure("/settlements")).at("/items/0")).isEqualTo(settled.json());
    assertThat(floor.quality().get(cure("/settlements/1")).json()).isEqualTo(settled.json());
    floor.quality().get(cure("/settlements/2")).expect(404);
  }

  @Test
  void aLaterSettlementTakesThePlaceOfAnEarlierOne() {
    settle("s-1", "other", "misread").expect(201);
    JsonNode first = floor.close(id, END).expect(201).json();
    assertThat(first.at("/number").asInt()).isEqualTo(1);
    assertThat(reason(first, "SPIKE").at("/weight").asString()).isEqualTo("DOUBT");
    settle("s-2", null, "neither recorder was connected").expect(201);
    JsonNode last = floor.quality().get(cure("/verdicts/2")).expect(200).json();
    assertThat(cavity(last, 0)).isEqualTo("GOOD");
    assertThat(reason(last, "CONFLICT_SETTLED").at("/words").asString())
        .contains("no value stands");
    assertThat(standings()).isEqualTo("[OVERRULED, OVERRULED]");
  }

  @Test
  void aLaterPieceReopensAConflict() {
    floor.close(id, END).expect(201);
    settle("s-1", "whole", "checked").expect(201);
    floor
        .samples(id, "key=third&lateBecause=found", CSV, "at,IT-1\n" + MOMENT + ",149.0\n")
        .expect(201);
    JsonNode last = floor.quality().get(cure("/verdicts/3")).expect(200).json();
    assertThat(cavity(last, 0)).isEqualTo("NOT_JUDGED");
    assertThat(reason(last, "CONFLICT").at("/weight").asString()).isEqualTo("DOUBT");
    settle("s-2", "whole", "checked again").expect(201);
    assertThat(cavity(floor.quality().get(cure("/verdicts/4")).json(), 0)).isEqualTo("GOOD");
  }

  @Test
  void refusesWhatCannotBeSettled() {
    refused("/channel", "is not a channel", json("key", "a", "channel", "XX", "reason", "why"));
    refused(
        "/channel",
        "not sent with different values",
        json("key", "a", "channel", "IT-2", "reason", "why"));
    refused(
        "/channel",
        "not sent with different values",
        json("key", "a", "channel", "IT-1", "from", "2026-03-02T06:10:01Z", "reason", "why"));
    refused(
        "/stands",
        "name one of whole, other",
        json("key", "a", "channel", "IT-1", "stands", "third", "reason", "why"));
    refused("/reason", "", json("key", "a", "channel", "IT-1", "reason", " "));
    assertThat(
            floor
                .controller()
                .post(cure("/settlements"), json("key", "a", "channel", "IT-1", "reason", "why"))
                .problem())
        .isEqualTo("not-allowed");
    floor
        .quality()
        .post("/api/v1/cures/1/settlements", json("key", "a", "channel", "IT-1", "reason", "why"))
        .expect(404);
  }

  private void refused(String pointer, String detail, String body) {
    Answer answer = floor.quality().post(cure("/settlements"), body);
    assertThat(answer.at("/errors/0/pointer").asString()).isEqualTo(pointer);
    assertThat(answer.at("/errors/0/detail").asString()).contains(detail);
  }

  private Answer settle(String key, String stands, String reason) {
    return floor
        .quality()
        .post(
            cure("/settlements"),
            stands == null
                ? json("key", key, "channel", "IT-1", "reason", reason)
                : json("key", key, "channel", "IT-1", "stands", stands, "reason", reason));
  }

  private String standings() {
    JsonNode samples =
        floor
            .quality()
            .get(cure("/samples?channel=IT-1&from=" + MOMENT + "&before=2026-03-02T06:10:01Z"))
            .expect(200)
            .at("/samples");
    return StreamSupport.stream(samples.spliterator(), false)
        .map(one -> one.get("standing").asString())
        .sorted()
        .toList()
        .toString();
  }

  private String cure(String more) {
    return "/api/v1/cures/" + id + more;
  }

  private static String cavity(JsonNode verdict, int place) {
    return verdict.at("/cavities/" + place + "/verdict").asString();
  }

  private static JsonNode reason(JsonNode verdict, String code) {
    return StreamSupport.stream(verdict.at("/cavities/0/reasons").spliterator(), false)
        .filter(one -> one.get("code").asString().equals(code))
        .findFirst()
        .orElseThrow();
  }
}
