package org.tarebook.cure;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.io.OutputStream;
import java.io.PrintStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.stream.StreamSupport;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;

/** The main evidence of a cure can be read back as it was sent. */
@OnBothDatabases
class SamplesHttpTests {

  private final RunningTarebook tarebook;
  private CureFloor floor;
  private String id;

  SamplesHttpTests(RunningTarebook tarebook) {
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
    post(
        "one",
        """
        at,step,DT,IP
        2026-03-02T06:00:00Z,SHAPE,140.0,0.50
        2026-03-02T06:00:10Z,,141.5,0.51
        2026-03-02T06:00:20Z,,190.0,0.52
        2026-03-02T06:00:30Z,,142.0,0.50
        2026-03-02T06:00:40Z,,142.1,0.49
        """);
    post(
        "two",
        """
        at,DT,IP
        2026-03-02T06:00:40Z,142.1,0.30
        2026-03-02T06:00:50Z,142.2,0.50
        """);
  }

  @Test
  void tellsEachSampleAsItWasSentAndWhatBecameOfIt() {
    JsonNode samples = read("channel=DT").expect(200).json();
    assertThat(samples.at("/marks/0/step").asString()).isEqualTo("SHAPE");
    assertThat(shown(samples))
        .containsExactly(
            "06:00:00Z DT 140.0 Cel USED one",
            "06:00:10Z DT 141.5 Cel USED one",
            "06:00:20Z DT 190.0 Cel SPIKE one",
            "06:00:30Z DT 142.0 Cel USED one",
            "06:00:40Z DT 142.1 Cel USED one",
            "06:00:40Z DT 142.1 Cel REPEATED two",
            "06:00:50Z DT 142.2 Cel USED two");
    assertThat(
            shown(read("channel=IP&from=2026-03-02T06:00:30Z&before=2026-03-02T06:00:50Z").json()))
        .containsExactly(
            "06:00:30Z IP 0.50 bar USED one",
            "06:00:40Z IP 0.49 bar CONFLICT one",
            "06:00:40Z IP 0.3 bar CONFLICT two");
    assertThat(shown(read("").json())).hasSize(14);
  }

  @Test
  void namesBothValuesOfAConflictInTheVerdict() {
    JsonNode verdict = floor.close(id, "2026-03-02T06:30:00Z").expect(201).json();
    assertThat(
            StreamSupport.stream(verdict.at("/cavities/0/reasons").spliterator(), false)
                .filter(one -> one.at("/code").asString().equals("CONFLICT"))
                .map(one -> one.at("/words").asString()))
        .singleElement()
        .asString()
        .contains("0.49 bar (piece one) and 0.3 bar (piece two) for 2026-03-02T06:00:40Z");
  }

  @Test
  void bringsTemperaturesIntoAnotherUnitExactly() {
    assertThat(shown(read("channel=DT&unit=%5BdegF%5D").json()).subList(0, 2))
        .containsExactly("06:00:00Z DT 284 [degF] USED one", "06:00:10Z DT 286.7 [degF] USED one");
    assertThat(shown(read("channel=IP&unit=kPa").json()).get(0))
        .isEqualTo("06:00:00Z IP 50 kPa USED one");
  }

  @Test
  void writesLines() {
    Answer csv = as("text/csv", "channel=IP");
    assertThat(csv.text().lines().toList())
        .startsWith(
            "at,channel,value,unit,standing,piece", "2026-03-02T06:00:00Z,IP,0.50,bar,USED,one")
        .hasSize(8);
    Answer lines = as("application/x-ndjson", "channel=IP");
    assertThat(lines.text().lines()).hasSize(7);
    assertThat(lines.text()).startsWith("{\"at\":\"2026-03-02T06:00:00Z\",\"channel\":\"IP\"");
  }

  @Test
  void thinsAndKeepsExtremesAndWhatDoesNotCount() {
    StringBuilder many = new StringBuilder("at,DP\n");
    for (int i = 0; i < 400; i++) {
      many.append("2026-03-02T06:%02d:%02dZ,".formatted(2 + i / 60, i % 60))
          .append(i == 123 ? "3.50" : i == 321 ? "3.90" : "3.75")
          .append('\n');
    }
    post("three", many.toString());
    List<String> thinned = shown(read("channel=DP&mostSamples=40").json());
    assertThat(thinned.size()).isLessThanOrEqualTo(40);
    assertThat(thinned)
        .anyMatch(line -> line.contains(" 3.50 "))
        .anyMatch(line -> line.contains(" 3.90 "));
    assertThat(thinned.get(0)).startsWith("06:02:00Z");
    assertThat(thinned.get(thinned.size() - 1)).startsWith("06:08:39Z");
    assertThat(shown(read("channel=DT&mostSamples=4").json()))
        .contains("06:00:20Z DT 190.0 Cel SPIKE one");
  }

  @ParameterizedTest
  @CsvSource({
    "channel=NONE, unknown-code",
    "unit=furlong, unknown-code",
    "channel=DT&unit=bar, unit-mismatch",
    "mostSamples=3, invalid-request",
    "from=yesterday, invalid-request",
    "channels=DT, invalid-request"
  })
  void refusesWhatItCannotAnswer(String query, String problem) {
    assertThat(read(query).problem()).isEqualTo(problem);
  }

  @Test
  void aCureThatIsNotThereHasNoSamples() {
    assertThat(floor.quality().get("/api/v1/cures/1/samples").problem()).isEqualTo("not-found");
  }

  /** Piece by piece as it was sent: the spike, and both values of the moment in conflict. */
  @Test
  void aCommandUnpacksTheLogsOfAllCures(@TempDir Path folder) throws IOException {
    Path file = folder.resolve("logs.csv");
    LogsToFile command = tarebook.bean(LogsToFile.class);
    command.run(List.of(file.toString()), new PrintStream(OutputStream.nullOutputStream()));
    String press = floor.quality().get("/api/v1/cures/" + id).at("/press").asString();
    List<String> lines =
        Files.readAllLines(file).stream()
            .filter(line -> line.startsWith("cure,") || line.startsWith(id + ","))
            .map(line -> line.replaceFirst("(one|two),[^,]+,", "$1,"))
            .toList();
    assertThat(lines.get(0)).isEqualTo("cure,press,piece,recordedAt,at,channel,value,unit,step");
    String start = id + "," + press + ",";
    assertThat(lines)
        .hasSize(1 + 10 + 1 + 4)
        .contains(
            start + "one,2026-03-02T06:00:20Z,DT,190.0,Cel,",
            start + "one,2026-03-02T06:00:00Z,,,,SHAPE",
            start + "one,2026-03-02T06:00:40Z,IP,0.49,bar,",
            start + "two,2026-03-02T06:00:40Z,IP,0.3,bar,");
    assertThatThrownBy(
            () ->
                command.run(
                    List.of(file.toString()), new PrintStream(OutputStream.nullOutputStream())))
        .hasMessageContaining("logs.csv exists already");
  }

  /** A piece that is not what was posted is told so, and nothing is judged by it. */
  @Test
  void aPieceThatWasDamagedIsNamed() {
    byte[] other =
        tarebook
            .sql()
            .sql("select body from cure_piece where cure_id = ? and fact_key = 'two'")
            .param(Long.valueOf(id))
            .query(byte[].class)
            .single();
    for (byte[] body : new byte[][] {other, Arrays.copyOf(other, other.length / 2), {1, 2, 3}}) {
      tarebook
          .sql()
          .sql("update cure_piece set body = ? where cure_id = ? and fact_key = 'one'")
          .params(body, Long.valueOf(id))
          .update();
      for (String below : List.of("/samples", "/live")) {
        Answer damaged = floor.quality().get("/api/v1/cures/" + id + below);
        assertThat(damaged.status()).isEqualTo(500);
        assertThat(damaged.problem()).isEqualTo("record-damaged");
        assertThat(damaged.at("/detail").asString())
            .contains("Piece one of the log of cure " + id + " is not what was posted");
      }
    }
  }

  private void post(String key, String csv) {
    floor.samples(id, "key=" + key, "text/csv", csv).expect(201);
  }

  private Answer read(String query) {
    return floor.quality().get("/api/v1/cures/" + id + "/samples?" + query);
  }

  private Answer as(String mediaType, String query) {
    return floor
        .quality()
        .get("/api/v1/cures/" + id + "/samples?" + query, "Accept", mediaType)
        .expect(200);
  }

  private static List<String> shown(JsonNode samples) {
    return StreamSupport.stream(samples.at("/samples").spliterator(), false)
        .map(
            one ->
                one.at("/at").asString().substring(11)
                    + " "
                    + one.at("/channel").asString()
                    + " "
                    + one.at("/value").decimalValue().toPlainString()
                    + " "
                    + one.at("/unit").asString()
                    + " "
                    + one.at("/standing").asString()
                    + " "
                    + one.at("/piece").asString())
        .toList();
  }
}
