package org.tarebook.reading;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.ByteArrayInputStream;
import java.io.InputStream;
import java.io.OutputStream;
import java.io.SequenceInputStream;
import java.net.Socket;
import java.net.URI;
import java.net.http.HttpRequest.BodyPublishers;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.ShopFloor;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;

@OnBothDatabases
class BulkIntakeTests {

  private static final JsonMapper JSON = new JsonMapper();
  private static final String NDJSON = "application/x-ndjson";

  private final RunningTarebook tarebook;
  private final ShopFloor floor;
  private final Client station;

  BulkIntakeTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
    this.floor = new ShopFloor(tarebook, "kg");
    floor.specification(floor.mass(), "5.0", "6.0", "kg");
    this.station = tarebook.station(floor.station());
  }

  @Test
  void everyLineGetsItsOutcomeInOrderAndTheLastSaysTheEnd() {
    String first = posting(0);
    String body =
        String.join(
            "\n",
            first,
            first.replace("5.6", "5.60"),
            first.replace("5.6", "5.7"),
            "{\"key\": \"cut",
            "",
            posting(1).replace("\"kg\"", "\"mm\""),
            posting(2));
    List<JsonNode> lines = send(NDJSON, body);
    assertThat(outcomes(lines))
        .containsExactly("recorded", "replayed", "refused", "refused", "refused", "recorded");
    assertThat(lines.get(2).at("/problem/type").asString()).isEqualTo("/problems/key-reused");
    assertThat(lines.get(3).get("line").asInt()).isEqualTo(4);
    assertThat(lines.get(3).at("/problem/detail").asString()).startsWith("Line 4, column");
    assertThat(lines.get(4).get("line").asInt()).isEqualTo(6);
    assertThat(lines.get(4).at("/problem/errors/0/pointer").asString()).isEqualTo("/unit");
    JsonNode end = lines.get(6);
    assertThat(end.get("end").asBoolean()).isTrue();
    assertThat(end.get("lines").asInt()).isEqualTo(6);
    assertThat(end.get("recorded").asInt()).isEqualTo(2);
    assertThat(end.get("replayed").asInt()).isEqualTo(1);
    assertThat(end.get("refused").asInt()).isEqualTo(3);
    assertThat(stored()).isEqualTo(2);
  }

  @Test
  void manyLinesAreStoredOnceHoweverOftenTheyAreSent() {
    List<String> postings = new ArrayList<>();
    for (int i = 0; i < 1203; i++) {
      postings.add(posting(i));
    }
    String body = String.join("\n", postings);
    assertThat(end(send(NDJSON, body)).get("recorded").asInt()).isEqualTo(1203);
    assertThat(end(send(NDJSON, body)).get("replayed").asInt()).isEqualTo(1203);
    assertThat(stored()).isEqualTo(1203);
  }

  /** Many rows are written another way than one; what is stored must not tell. */
  @Test
  void whatIsPostedTogetherIsStoredAsIfPostedOneByOne() {
    List<String> lots = List.of("\\\\N", "L\\\\t1", "\\\"q\\\"", "ä €", "a\\\\\\\\b", "x");
    List<String> together = new ArrayList<>();
    for (int i = 0; i < 60; i++) {
      together.add(
          posting(i).replaceFirst("\\}$", "") + ",\"lot\":\"" + lots.get(i % lots.size()) + "\"}");
    }
    List<JsonNode> lines = send(NDJSON, String.join("\n", together));
    assertThat(end(lines).get("recorded").asInt()).isEqualTo(60);
    for (int i = 0; i < 12; i++) {
      assertThat(station.post("/api/v1/readings", together.get(i)).status()).isEqualTo(200);
      JsonNode reading =
          tarebook.reader().get("/api/v1/readings/" + lines.get(i).get("id").asString()).json();
      assertThat(reading.get("lot")).isEqualTo(JSON.readTree(together.get(i)).get("lot"));
    }
  }

  @Test
  void csvNamesItsColumnsInAnyOrder() {
    String csv =
        "unit,value,key,station,characteristic,measuredAt,die,flags\r\n"
            + "kg,5.5,c1,%1$s,%2$s,2026-03-02T06:00:00Z,\"D,7\",STABLE ZERO\r\n"
            + "kg,\"5,5\",c2,%1$s,%2$s,2026-03-02T06:00:00Z,,\r\n"
            + "kg,5.5,c3,%1$s,%2$s,2026-03-02T06:00:00Z\r\n"
            + "kg,0x5,c4,%1$s,%2$s,2026-03-02T06:00:00Z,,\r\n"
            + "kg,5.5,c5,%1$s,%2$s,2026-03-02T06:00:00,,\r\n"
            + "kg,,c6,%1$s,%2$s,2026-03-02T06:00:00Z,,OVERLOAD\r\n";
    List<JsonNode> lines = send("text/csv", csv.formatted(floor.station(), floor.mass()));
    assertThat(outcomes(lines))
        .containsExactly("recorded", "refused", "refused", "refused", "refused", "recorded");
    assertThat(lines.get(1).at("/problem/errors/0/detail").asString()).contains("point");
    assertThat(lines.get(4).at("/problem/errors/0/pointer").asString()).isEqualTo("/measuredAt");
    JsonNode reading =
        tarebook.reader().get("/api/v1/readings/" + lines.get(0).get("id").asString()).json();
    assertThat(reading.get("die").asString()).isEqualTo("D,7");
    assertThat(reading.get("flags")).hasSize(2);
    assertThat(station.send("POST", "/api/v1/readings/bulk", "text/csv", "key,weight\r\n").status())
        .isEqualTo(400);
    assertThat(station.send("POST", "/api/v1/readings/bulk", "text/csv", "").status())
        .isEqualTo(400);
  }

  @Test
  void aLineOfAHundredMegabytesIsRefusedAndTheNextIsTaken() {
    InputStream line =
        new SequenceInputStream(
            Collections.enumeration(
                List.of(
                    new Endless(100_000_000L),
                    new ByteArrayInputStream(
                        ("\n" + posting(7) + "\n").getBytes(StandardCharsets.UTF_8)))));
    Answer answer =
        station
            .send(
                "POST",
                "/api/v1/readings/bulk",
                BodyPublishers.ofInputStream(() -> line),
                "Content-Type",
                NDJSON)
            .expect(200);
    List<JsonNode> lines = lines(answer.text());
    assertThat(outcomes(lines)).containsExactly("refused", "recorded");
    assertThat(lines.get(0).at("/problem/type").asString()).isEqualTo("/problems/too-large");
  }

  @Test
  void aBodyOfBadLinesIsAnsweredInShort() {
    String bad = "x\n".repeat(200_000);
    Answer answer =
        station
            .send("POST", "/api/v1/readings/bulk", NDJSON, posting(8) + "\n" + bad + posting(9))
            .expect(200);
    assertThat(answer.text().length()).isLessThan(1_000_000);
    List<JsonNode> lines = lines(answer.text());
    assertThat(lines.get(2).at("/problem/detail").asString()).startsWith("Line 3, column");
    JsonNode end = end(lines);
    assertThat(end.get("recorded").asInt()).isEqualTo(1);
    assertThat(end.get("refused").asInt()).isBetween(1_000, 1_499);
    assertThat(end.get("resumeAt").asInt()).isEqualTo(end.get("lines").asInt() + 1);
    assertThat(end.at("/problem/detail").asString()).contains("resumeAt");
    assertThat(stored()).isEqualTo(1);
  }

  @Test
  void aLineOfManyFaultsListsTheFirst() {
    String line = "{\"key\":\"k\",\"together\":[" + "{},".repeat(15_000) + "{}]}";
    JsonNode problem = send(NDJSON, line).get(0).get("problem");
    assertThat(problem.get("errors").size()).isEqualTo(200);
    assertThat(problem.get("detail").asString()).matches("[0-9]{5} members are wrong.*");
  }

  @Test
  void aConnectionThatIsCutKeepsWholeChunksAndPostingAgainCompletesThem() throws Exception {
    StringBuilder body = new StringBuilder();
    for (int i = 0; i < 700; i++) {
      body.append(posting(i)).append('\n');
    }
    byte[] bytes = body.toString().getBytes(StandardCharsets.UTF_8);
    URI base = URI.create(tarebook.base());
    try (Socket socket = new Socket(base.getHost(), base.getPort())) {
      OutputStream out = socket.getOutputStream();
      out.write(
          ("POST /api/v1/readings/bulk HTTP/1.1\r\nHost: tarebook\r\nAuthorization: Bearer "
                  + station.token()
                  + "\r\nContent-Type: "
                  + NDJSON
                  + "\r\nContent-Length: "
                  + bytes.length
                  + "\r\n\r\n")
              .getBytes(StandardCharsets.US_ASCII));
      out.write(bytes, 0, bytes.length - 40);
      out.flush();
      long until = System.nanoTime() + 300_000_000_000L;
      while (stored() < 500 && System.nanoTime() < until) {
        Thread.sleep(20);
      }
    }
    JsonNode end = end(send(NDJSON, body.toString()));
    assertThat(end.get("recorded").asInt() + end.get("replayed").asInt()).isEqualTo(700);
    assertThat(end.get("replayed").asInt()).isGreaterThanOrEqualTo(500);
    assertThat(stored()).isEqualTo(700);
  }

  private String posting(int i) {
    return floor.posting(5.6, "kg", "2026-03-02T06:00:%02d.%03dZ".formatted(i / 1000, i % 1000));
  }

  private List<JsonNode> send(String type, String body) {
    return lines(station.send("POST", "/api/v1/readings/bulk", type, body).expect(200).text());
  }

  private static List<JsonNode> lines(String text) {
    return text.lines().map(JSON::readTree).toList();
  }

  private static List<String> outcomes(List<JsonNode> lines) {
    return lines.subList(0, lines.size() - 1).stream()
        .map(line -> line.get("outcome").asString())
        .toList();
  }

  private static JsonNode end(List<JsonNode> lines) {
    return lines.get(lines.size() - 1);
  }

  private long stored() {
    return tarebook
        .sql()
        .sql(
            "select count(*) from reading r join station s on s.id = r.station_id"
                + " where s.code = ?")
        .param(floor.station())
        .query(Long.class)
        .single();
  }

  /** A stream of so many bytes of one letter. */
  private static final class Endless extends InputStream {
    private long left;

    Endless(long bytes) {
      left = bytes;
    }

    @Override
    public int read() {
      return left-- > 0 ? 'x' : -1;
    }

    @Override
    public int read(byte[] buffer, int offset, int length) {
      if (left <= 0) {
        return -1;
      }
      int some = (int) Math.min(length, left);
      Arrays.fill(buffer, offset, offset + some, (byte) 'x');
      left -= some;
      return some;
    }
  }
}
