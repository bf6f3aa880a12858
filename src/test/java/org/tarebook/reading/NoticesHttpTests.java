package org.tarebook.reading;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.fixtures.ShopFloor.json;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.ChartBench;
import org.tarebook.fixtures.Client;
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

  private Answer check(String key, String at, double found) {
    return tarebook
        .quality()
        .post("/api/v1/instrument-checks", floor.check(key, at, found))
        .expect(201);
  }

  /** In the answer to one posting, in its retry, in lists and in outcomes of many lines. */
  @Test
  void aReadingOfAScaleThatFailedItsCheckSaysWhatThatMeans() {
    tarebook.clock().set("2026-03-02T20:00:00Z");
    tarebook
        .quality()
        .post(
            "/api/v1/instruments/" + floor.scale() + "/revisions",
            json(
                "key",
                "r",
                "validFrom",
                "1970-01-01T00:00:00Z",
                "capacity",
                15,
                "verificationInterval",
                0.005,
                "accuracyClass",
                "III",
                "reason",
                "first"))
        .expect(201);
    String before = floor.posting(5.5, "kg", "2026-03-02T07:00:00Z");
    String after = floor.posting(5.5, "kg", "2026-03-02T09:00:00Z");
    assertThat(floor.post(before).expect(201).at("/words").asString())
        .isEqualTo("PASS: 5.5 kg is 0.5 kg above the lower limit 5.0 kg.");
    floor.post(after).expect(201);
    check(Codes.fresh("c"), "2026-03-02T06:00:00Z", 5.0);
    check(Codes.fresh("c"), "2026-03-02T08:00:00Z", 5.5);
    String late = floor.posting(5.6, "kg", "2026-03-02T07:30:00Z");
    String failed = floor.posting(5.6, "kg", "2026-03-02T09:30:00Z");
    String instrument = "Instrument " + floor.scale() + " failed its check of 2026-03-02T08:00:00Z";
    for (int time = 0; time < 2; time++) {
      Answer suspect = floor.post(late).expect(time == 0 ? 201 : 200);
      assertThat(suspect.at("/words").asString()).startsWith("PASS, but suspect: 5.6 kg is");
      assertThat(of("INSTRUMENT_SUSPECT", suspect.at("/notices")))
          .isEqualTo(
              instrument
                  + ", and no good check lies between this reading and that one. Its result stays as"
                  + " it was judged and it does not count in statistics. Measure again on an"
                  + " instrument that is in order.");
      Answer notJudged = floor.post(failed).expect(time == 0 ? 201 : 200);
      assertThat(notJudged.at("/words").asString()).startsWith("NOT JUDGED: the instrument had");
      assertThat(of("INSTRUMENT_FAILED", notJudged.at("/notices")))
          .isEqualTo(
              instrument
                  + " and was not put right yet when this was measured. It is not judged and it does"
                  + " not count in statistics. Measure again on an instrument that is in order.");
    }
    Answer retried = floor.post(before).expect(200);
    assertThat(retried.at("/words").asString()).startsWith("PASS, but suspect:");
    assertThat(codes(retried.at("/notices"))).contains("INSTRUMENT_SUSPECT");
    Answer judged = floor.post(after).expect(200);
    assertThat(judged.at("/words").asString()).startsWith("PASS, but its instrument had failed:");
    assertThat(of("INSTRUMENT_FAILED", judged.at("/notices")))
        .contains("Its result stays as it was judged and it does not count");
    List<String> all = List.of(before, late, after, failed);
    List<JsonNode> lines = send(all);
    JsonNode listed =
        tarebook.reader().get("/api/v1/readings?station=" + floor.station()).at("/items");
    for (int i = 0; i < all.size(); i++) {
      assertThat(listed.get(i).at("/notices")).isEqualTo(lines.get(i).at("/notices"));
      assertThat(codes(lines.get(i).at("/notices")))
          .contains(i < 2 ? "INSTRUMENT_SUSPECT" : "INSTRUMENT_FAILED");
    }
    tarebook.clock().run();
  }

  @Test
  void noticesFollowACapacityThatIsMended() {
    tarebook.clock().set("2026-03-02T20:00:00Z");
    Client quality = tarebook.quality();
    String path = "/api/v1/instruments/" + floor.scale() + "/revisions";
    String first = "1970-01-01T00:00:00Z";
    String body = json("key", "a", "validFrom", first, "capacity", 5, "reason", "typed wrongly");
    quality.post(path, body).expect(201);
    String item = Codes.fresh("G");
    String above = floor.posting(6.5, "kg", AT, "item", item);
    assertThat(codes(floor.post(above).expect(201).at("/notices"))).contains("ABOVE_CAPACITY");
    quality.post(path, body.replace("\"a\"", "\"b\"").replace("5", "50")).expect(201);
    assertThat(codes(floor.post(above).expect(200).at("/notices")))
        .doesNotContain("ABOVE_CAPACITY");
    assertThat(codes(send(List.of(above)).get(0).at("/notices"))).doesNotContain("ABOVE_CAPACITY");
    Answer second =
        floor.post(floor.posting(5.5, "kg", "2026-03-02T06:00:20Z", "item", item)).expect(201);
    assertThat(codes(second.at("/notices"))).contains("PASS_AFTER_FAIL"); // it fails by now
    tarebook.clock().run();
  }

  private static String of(String code, JsonNode notices) {
    for (JsonNode notice : notices) {
      if (notice.at("/code").asString().equals(code)) {
        return notice.at("/words").asString();
      }
    }
    return "no " + code + " in " + notices;
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
            .send(
                "POST",
                "/api/v1/readings/bulk",
                "application/x-ndjson",
                String.join("\n", postings))
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
