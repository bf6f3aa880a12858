package org.tarebook.reading;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.fixtures.ShopFloor.json;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.ChartBench;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.ShopFloor;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;

/** What a posting is answered besides its result. */
@OnBothDatabases
class NoticesHttpTests {

  private static final String AT = "2026-03-02T06:00:00Z";
  private static final JsonMapper JSON = new JsonMapper();

  private final RunningTarebook tarebook;
  private final ShopFloor floor;

  NoticesHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
    this.floor = new ShopFloor(tarebook, "kg");
    floor.specification(floor.mass(), "5.0", "6.0", "kg");
  }

  @Test
  void whatLiesAboveTheCapacityIsNeitherJudgedNorCounted() {
    String scale = Codes.fresh("SCALE");
    tarebook
        .quality()
        .post(
            "/api/v1/instruments",
            json(
                "code",
                scale,
                "name",
                "Scale",
                "station",
                floor.station(),
                "kind",
                "SCALE",
                "unit",
                "kg",
                "capacity",
                6))
        .expect(201);
    Answer at = floor.post(floor.posting(6, "kg", AT, "instrument", scale)).expect(201);
    assertThat(at.at("/result").asString()).isEqualTo("PASS");
    assertThat(at.at("/standing").asString()).isEqualTo("COUNTED");
    for (String posting :
        List.of(
            floor.posting(6.001, "kg", AT, "instrument", scale),
            floor.posting(13.3, "[lb_av]", AT, "instrument", scale),
            floor.posting(5.5, "kg", AT, "instrument", scale, "gross", 6.5, "tare", 1.0))) {
      Answer above = floor.post(posting).expect(201);
      assertThat(above.at("/result").asString()).as(posting).isEqualTo("NOT_JUDGED");
      assertThat(above.at("/notJudged").asString()).isEqualTo("ABOVE_CAPACITY");
      assertThat(above.at("/standing").asString()).isEqualTo("ABOVE_CAPACITY");
      assertThat(codes(above.at("/notices"))).contains("ABOVE_CAPACITY");
      Answer later =
          tarebook.reader().get("/api/v1/readings/" + above.at("/id").asString()).expect(200);
      assertThat(later.at("/standing").asString()).isEqualTo("ABOVE_CAPACITY");
    }
  }

  @Test
  void aReadingThatDoesNotNameItsStratumIsNoticed() {
    ChartBench bench = new ChartBench(tarebook, "INDIVIDUALS", 1, "DIE", "OPERATOR");
    Answer none = bench.post("4.4", Instant.parse(AT)).expect(201);
    assertThat(codes(none.at("/notices"))).contains("STRATUM_MISSING");
    assertThat(none.at("/notices").toString()).contains("by die and operator");
    Answer one = bench.post("4.4", Instant.parse(AT), "die", "D1").expect(201);
    assertThat(one.at("/notices").toString()).contains("by operator,");
    Answer both = bench.post("4.4", Instant.parse(AT), "die", "D1", "operator", "7").expect(201);
    assertThat(codes(both.at("/notices"))).doesNotContain("STRATUM_MISSING");
  }

  @Test
  void noNoticeSpeaksOfAVoidedReading() {
    String item = Codes.fresh("G");
    Answer first =
        floor.post(floor.posting(6.5, "kg", "2026-03-02T06:00:00Z", "item", item)).expect(201);
    voided(first);
    Answer second =
        floor.post(floor.posting(5.5, "kg", "2026-03-02T06:00:20Z", "item", item)).expect(201);
    assertThat(second.at("/standing").asString()).isEqualTo("COUNTED");
    assertThat(codes(second.at("/notices"))).doesNotContain("REPEATED_ITEM", "PASS_AFTER_FAIL");
    Answer third =
        floor.post(floor.posting(5.6, "kg", "2026-03-02T06:00:40Z", "item", item)).expect(201);
    assertThat(third.at("/notices").toString())
        .contains("REPEATED_ITEM", "reading " + second.at("/id").asString())
        .doesNotContain("reading " + first.at("/id").asString() + ";");
    voided(third);
    Answer shown =
        tarebook.reader().get("/api/v1/readings/" + third.at("/id").asString()).expect(200);
    assertThat(shown.at("/notices")).isEmpty();
  }

  private void voided(Answer reading) {
    tarebook
        .quality()
        .post(
            "/api/v1/readings/" + reading.at("/id").asString() + "/amendments",
            json("key", Codes.fresh("a"), "kind", "VOID", "reason", "A hand lay on the scale"))
        .expect(201);
  }

  @Test
  void outcomesOfManyLinesSayWhatTheAnswerToOnePostingSays() {
    String item = Codes.fresh("G");
    List<String> postings = new ArrayList<>();
    for (double value : new double[] {6.5, 5.5, 5.6}) {
      postings.add(
          floor.posting(
              value, "kg", "2026-03-02T06:00:" + (10 + postings.size()) + "Z", "item", item));
    }
    for (String outcome : List.of("recorded", "replayed")) {
      List<JsonNode> lines = send(postings);
      for (int i = 0; i < postings.size(); i++) {
        Answer single = floor.post(postings.get(i)).expect(200);
        JsonNode line = lines.get(i);
        assertThat(line.at("/outcome").asString()).isEqualTo(outcome);
        assertThat(line.at("/result")).isEqualTo(single.at("/result"));
        assertThat(line.at("/standing")).isEqualTo(single.at("/standing"));
        assertThat(line.at("/notices")).isEqualTo(single.at("/notices"));
      }
    }
  }

  private List<JsonNode> send(List<String> postings) {
    String answer =
        tarebook
            .station(floor.station())
            .send("POST", "/api/v1/readings", "application/x-ndjson", String.join("\n", postings))
            .expect(200)
            .text();
    return answer.lines().map(JSON::readTree).toList();
  }

  private static List<String> codes(JsonNode notices) {
    List<String> codes = new ArrayList<>();
    notices.forEach(notice -> codes.add(notice.at("/code").asString()));
    return codes;
  }
}
