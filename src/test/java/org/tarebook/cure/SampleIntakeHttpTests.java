package org.tarebook.cure;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.net.http.HttpRequest.BodyPublishers;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.List;
import java.util.Random;
import java.util.stream.Collectors;
import java.util.zip.GZIPOutputStream;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;

/** Pieces of logs on the wire: forms, retries, refusals, pieces that come late. */
@OnBothDatabases
class SampleIntakeHttpTests {

  private static final String JSON = "application/json";
  private static final String LINES = "application/x-ndjson";
  private static final String CSV = "text/csv";

  private final RunningTarebook tarebook;
  private final HealthyLog log = new HealthyLog(0, 120);
  private CureFloor floor;
  private String id;

  SampleIntakeHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  @BeforeEach
  void startAnew() {
    floor = new CureFloor(tarebook);
    floor
        .planned()
        .revision("r1", "2026-01-01T00:00:00Z", floor.planned().definition())
        .expect(201);
    id = floor.start(floor.cure());
  }

  @Test
  void takesTheSamePieceInEveryForm() {
    Answer first = floor.samples(id, "key=1&sequence=7", CSV, log.csv()).expect(201);
    assertThat(first.header("Location")).isEqualTo("/api/v1/cures/" + id + "/pieces");
    assertThat(first.at("/samples").asInt()).isEqualTo(log.samples());
    assertThat(first.at("/sequence").asInt()).isEqualTo(7);
    assertThat(first.at("/firstAt").asString()).isEqualTo(CureFloor.START);
    assertThat(first.at("/lastAt").asString()).isEqualTo("2026-03-02T06:01:55Z");
    assertThat(first.at("/postedBy").asString()).isEqualTo(floor.station());
    for (String form : List.of(JSON, LINES, CSV)) {
      String body = form.equals(JSON) ? log.json() : form.equals(CSV) ? log.csv() : log.ndjson();
      Answer retry = floor.samples(id, "key=1", form, body).expect(200);
      assertThat(retry.header("Idempotent-Replayed")).isEqualTo("true");
      assertThat(retry.json()).isEqualTo(first.json());
    }
    assertThat(pieces()).hasSize(1);
  }

  /** A recorder that gives two pieces one number: no verdict depends on which came first. */
  @Test
  void piecesThatShareANumberAreTakenInTheOrderOfTime() {
    String early = new HealthyLog(0, 900).csv();
    String late = new HealthyLog(900, SyntheticLoad.END + 1).csv();
    for (List<String> order : List.of(List.of(early, late), List.of(late, early))) {
      id = floor.start(floor.cure());
      floor.samples(id, "key=1&sequence=3", CSV, order.get(0)).expect(201);
      floor.samples(id, "key=2&sequence=3", CSV, order.get(1)).expect(201);
      Answer verdict = floor.close(id, "2026-03-02T06:30:00Z").expect(201);
      assertThat(verdict.at("/cavities/0/verdict").asString()).isEqualTo("GOOD");
    }
  }

  /** Two pieces with one number that contradict each other show a clock that went back. */
  @Test
  void piecesThatShareANumberAndOverlapAreNotJudged() {
    String whole = HealthyLog.whole().csv();
    String other =
        whole
            .lines()
            .skip(1)
            .skip(120)
            .limit(30)
            .map(row -> row.replace(",168.", ",167."))
            .collect(
                Collectors.joining("\n", whole.lines().findFirst().orElseThrow() + "\n", "\n"));
    for (List<String> order : List.of(List.of(whole, other), List.of(other, whole))) {
      id = floor.start(floor.cure());
      floor.samples(id, "key=1&sequence=3", CSV, order.get(0)).expect(201);
      floor.samples(id, "key=2&sequence=3", CSV, order.get(1)).expect(201);
      Answer verdict = floor.close(id, "2026-03-02T06:30:00Z").expect(201);
      assertThat(verdict.at("/cavities/0/verdict").asString()).isEqualTo("NOT_JUDGED");
      assertThat(verdict.at("/cavities/0/reasons").toString()).contains("CLOCK_BACK");
    }
  }

  @Test
  void takesColumnsInAnyOrder() {
    floor.samples(id, "key=1", CSV, log.csv()).expect(201);
    List<String> columns = new ArrayList<>(HealthyLog.CODES);
    columns.addAll(List.of("at", "step"));
    for (int seed = 0; seed < 5; seed++) {
      Collections.shuffle(columns, new Random(seed));
      floor.samples(id, "key=1", CSV, log.csv(columns)).expect(200);
    }
  }

  @Test
  void takesGzipAndRefusesItDamaged() throws IOException {
    byte[] packed = packed(log.csv());
    zipped("key=1", packed).expect(201);
    floor.samples(id, "key=1", CSV, log.csv()).expect(200);
    byte[] cut = Arrays.copyOf(packed, packed.length - 9);
    byte[] bent = packed.clone();
    bent[packed.length / 2] ^= 0x55;
    for (byte[] damaged : List.of(cut, bent, log.csv().getBytes(StandardCharsets.UTF_8))) {
      Answer refused = zipped("key=2", damaged).expect(400);
      assertThat(refused.problem()).isEqualTo("unreadable-body");
    }
    Answer other = floor.samples(id, "key=2", CSV, log.csv(), "Content-Encoding", "br");
    assertThat(other.expect(415).at("/detail").asString()).contains("br", "gzip");
    floor.samples(id, "key=1", CSV, log.csv(), "Content-Encoding", "identity").expect(200);
    assertThat(pieces()).hasSize(1);
  }

  @Test
  void refusesAKeyUsedForOtherSamples() {
    floor.samples(id, "key=1", CSV, log.csv()).expect(201);
    Answer refused = floor.samples(id, "key=1", CSV, new HealthyLog(0, 115).csv()).expect(422);
    assertThat(refused.problem()).isEqualTo("key-reused");
    assertThat(refused.at("/detail").asString()).contains("a new piece needs a new key");
    assertThat(pieces()).hasSize(1);
  }

  @Test
  void refusesUnknownChannelsAndStepsWithLineAndColumn() {
    refused(CSV, "at,IT-9\n2026-03-02T06:00:00Z,8\n", 2, "IT-9", "its channels are IT-1");
    refused(CSV, "at,step\n\n2026-03-02T06:00:00Z,STEAM\n", 3, "step", "its steps are SHAPE");
    refused(CSV, "at,IP\n2026-03-02T06:00:00Z,\"8,40\"\n", 2, "IP", "'8.40'");
    refused(CSV, "at,IP\n2026-03-02T06:00:00Z,8,40\n", 2, "", "3 fields where the header names 2");
    refused(CSV, "at,IP\n2026-03-02T06:00:00,8\n", 2, "at", "offset");
    refused(CSV, "time,IP\n2026-03-02T06:00:00Z,8\n", 0, "at", "missing from the header");
    refused(CSV, "at,IP,IP\n2026-03-02T06:00:00Z,8,9\n", 0, "IP", "twice");
    refused(LINES, line("\"IT-9\":8"), 1, "/values/IT-9", "its channels are IT-1");
    refused(LINES, line("\"IP\":8,\"IP\":9"), 1, "", "IP");
    refused(LINES, line("\"IP\":\"8,5\""), 1, "/values/IP", "comma");
    refused(LINES, line("\"IP\":1e400"), 1, "/values/IP", "");
    refused(LINES, "{\"at\":\"2026-03-02T06:00:00Z\"}\n", 1, "/values", "step is needed");
    refused(
        JSON,
        "{\"steps\":[{\"at\":\"2026-03-02T06:00:00Z\",\"step\":\"STEAM\"}]}",
        0,
        "/steps/0/step",
        "its steps are SHAPE");
    assertThat(pieces()).isEmpty();
  }

  @Test
  void storesAPieceWholeOrNotAtAll() {
    String lines = log.ndjson();
    Answer refused =
        floor.samples(id, "key=1", LINES, lines.substring(0, lines.length() - 30)).expect(400);
    assertThat(refused.at("/errors/0/line").asInt()).isEqualTo(24);
    assertThat(refused.at("/detail").asString()).contains("nothing was stored");
    String json = log.json();
    floor.samples(id, "key=1", JSON, json.substring(0, json.length() - 3)).expect(400);
    for (String empty : List.of("", "at,IP\n", "at,IP\n2026-03-02T06:00:00Z,\n")) {
      assertThat(floor.samples(id, "key=1", CSV, empty).expect(400).at("/detail").asString())
          .contains("no sample and no step");
    }
    floor.samples(id, "key=1", LINES, "").expect(400);
    floor.samples(id, "key=1", JSON, "{}").expect(400);
    assertThat(pieces()).isEmpty();
    floor.samples(id, "key=1", LINES, lines).expect(201);
  }

  @Test
  void refusesUnknownCuresKeysAndForms() {
    assertThat(floor.samples("1", "key=1", CSV, log.csv()).problem()).isEqualTo("not-found");
    assertThat(floor.quality().get("/api/v1/cures/1/pieces").problem()).isEqualTo("not-found");
    floor.samples(id, "sequence=1", CSV, log.csv()).expect(400);
    floor.samples(id, "key=a%20b", CSV, log.csv()).expect(400);
    floor.samples(id, "key=1&sequence=-1", CSV, log.csv()).expect(400);
    floor.samples(id, "key=1&columnplan=X", CSV, log.csv()).expect(400);
    assertThat(floor.samples(id, "key=1&columnPlan=NONE", CSV, log.csv()).problem())
        .isEqualTo("unknown-code");
    floor.samples(id, "key=1", "text/plain", log.csv()).expect(415);
  }

  @Test
  void judgesAgainWhenAPieceComesLateAndKeepsTheFirstVerdict() {
    HealthyLog end = new HealthyLog(900, SyntheticLoad.END + 1);
    floor.samples(id, "key=1", CSV, new HealthyLog(0, 900).csv()).expect(201);
    JsonNode first = floor.close(id, "2026-03-02T06:30:00Z").expect(201).json();
    assertThat(first.get("number").asInt()).isEqualTo(1);
    assertThat(first.at("/cavities/0/verdict").asString()).isEqualTo("NOT_JUDGED");

    Answer closed = floor.samples(id, "key=2", CSV, end.csv());
    assertThat(closed.status()).isEqualTo(409);
    assertThat(closed.at("/detail").asString()).contains("lateBecause");

    Answer late = floor.samples(id, "key=2&lateBecause=network", CSV, end.csv()).expect(201);
    assertThat(late.at("/lateBecause").asString()).isEqualTo("network");
    floor.samples(id, "key=2&lateBecause=network", CSV, end.csv()).expect(200);
    floor.samples(id, "key=2", CSV, end.csv()).expect(200);

    JsonNode verdicts = floor.quality().get("/api/v1/cures/" + id + "/verdicts").at("/items");
    assertThat(verdicts).hasSize(2);
    JsonNode kept = floor.quality().get("/api/v1/cures/" + id + "/verdicts/1").json();
    assertThat(kept.get("succeeded").asBoolean()).isTrue();
    assertThat(kept.get("cavities")).isEqualTo(first.get("cavities"));
    JsonNode second = verdicts.get(1);
    assertThat(second.get("because").asString()).isEqualTo("LATE_SAMPLES");
    assertThat(second.at("/cavities/0/verdict").asString()).isEqualTo("GOOD");
    assertThat(second.get("samples").asInt()).isEqualTo(HealthyLog.whole().samples());
    assertThat(second.get("changed").toString())
        .contains("from 2888 samples instead of 1440", "cavity 1 is GOOD instead of NOT_JUDGED");
    assertThat(floor.quality().get("/api/v1/cures/" + id).at("/cavities/3/verdict").asString())
        .isEqualTo("GOOD");
  }

  @Test
  void takesPiecesInAnyOrderAndListsThemAsTheyCame() {
    floor.samples(id, "key=2", CSV, new HealthyLog(60, 120).csv()).expect(201);
    floor.samples(id, "key=1&lateBecause=early", CSV, new HealthyLog(0, 60).csv()).expect(201);
    JsonNode pieces = pieces();
    assertThat(pieces).hasSize(2);
    assertThat(pieces.at("/0/key").asString()).isEqualTo("2");
    assertThat(pieces.at("/1/lateBecause").isMissingNode()).isTrue();
    int bytes = pieces.at("/0/storedBytes").asInt();
    assertThat(bytes).isBetween(1, 96 * 4);
    assertThat(pieces.at("/0/samples").asInt()).isEqualTo(96);
    assertThat(pieces.at("/0/storedBytesPerSample").asDouble())
        .isCloseTo(bytes / 96.0, org.assertj.core.data.Offset.offset(1e-5));
  }

  private void refused(String form, String body, int line, String place, String words) {
    Answer answer = floor.samples(id, "key=bad", form, body);
    assertThat(answer.status()).as(answer.text()).isEqualTo(400);
    assertThat(answer.at("/errors")).as(answer.text()).hasSize(1);
    assertThat(answer.at("/errors/0/line").asInt(0)).as(answer.text()).isEqualTo(line);
    assertThat(answer.at("/errors/0/pointer").asString()).as(answer.text()).isEqualTo(place);
    assertThat(answer.at("/errors/0/detail").asString()).contains(words).isNotBlank();
  }

  private static String line(String values) {
    return "{\"at\":\"2026-03-02T06:00:00Z\",\"values\":{" + values + "}}\n";
  }

  private JsonNode pieces() {
    return floor.quality().get("/api/v1/cures/" + id + "/pieces").expect(200).at("/items");
  }

  private Answer zipped(String query, byte[] body) {
    return floor
        .controller()
        .send(
            "POST",
            "/api/v1/cures/" + id + "/samples?" + query,
            BodyPublishers.ofByteArray(body),
            "Content-Type",
            CSV,
            "Content-Encoding",
            "gzip");
  }

  private static byte[] packed(String text) throws IOException {
    ByteArrayOutputStream bytes = new ByteArrayOutputStream();
    try (GZIPOutputStream gzip = new GZIPOutputStream(bytes)) {
      gzip.write(text.getBytes(StandardCharsets.UTF_8));
    }
    return bytes.toByteArray();
  }
}
