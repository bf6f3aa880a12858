package org.tarebook.reading;

import static org.assertj.core.api.Assertions.assertThat;

import java.net.http.HttpRequest.BodyPublishers;
import java.nio.charset.StandardCharsets;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.ShopFloor;

/** What bad input gets: what is wrong, where, how to mend it; nothing is stored by halves. */
@OnBothDatabases
class BadReadingTests {

  private static final String AT = "2026-03-29T00:59:59Z";

  private final RunningTarebook tarebook;
  private final ShopFloor floor;

  BadReadingTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
    this.floor = new ShopFloor(tarebook, "kg");
  }

  @ParameterizedTest(name = "{0} instead of {1}: {2} at {3}")
  @CsvSource(
      delimiter = '|',
      value = {
        "5.6                        | NaN                             | 400 |              | NaN",
        "5.6                        | 1e400                           | 400 | /value       | out of bounds",
        "5.6                        | 1e-400                          | 400 | /value       | ",
        "5.6                        | 0x10                            | 400 |              | ",
        "5.6                        | 12,5                            | 400 |              | ",
        "5.6                        | 123456789012345678901234567890  | 400 | /value       | ",
        "5.6                        | 0.1234567890123                 | 400 | /value       | ",
        "5.6                        | \"5,6\"                         | 400 | /value       | comma",
        "5.6                        | true                            | 400 | /value       | ",
        "5.6                        | null                            | 422 | /value       | needed",
        "5.6                        | -5.6                            | 422 | /value       | tare",
        "2026-03-29T00:59:59Z       | 2026-03-29T00:59:59             | 400 | /measuredAt  | offset",
        "2026-03-29T00:59:59Z       | 0000-03-29T00:59:59Z            | 400 | /measuredAt  | 1970",
        "2026-03-29T00:59:59Z       | 9999-03-29T00:59:59Z            | 400 | /measuredAt  | 2199",
        "\"2026-03-29T00:59:59Z\"   | 1774745999                      | 400 | /measuredAt  | offset",
        "\"kg\"                     | \"mm\"                          | 422 | /unit        | length",
        "\"kg\"                     | \"Kg\"                          | 422 | /unit        | kg",
        "\"kg\"                     | \"\"                            | 400 | /unit        | needed",
        "\"key\":                   | \"key\": \"x\", \"key\":        | 400 |              | key",
        "\"key\":                   | \"kee\": \"x\", \"key\":        | 400 | /kee         | known are",
        "\"unit\"                   | \"phase\": \"SLEEPING\", \"unit\" | 400 | /phase     | TRIAL",
        "\"unit\"                   | \"flags\": [\"FLYING\"], \"unit\" | 400 | /flags/0   | OVERLOAD",
        "\"unit\"                   | \"counter\": 1.5, \"unit\"      | 400 | /counter     | ",
        "\"unit\"                   | \"counter\": -1, \"unit\"       | 400 | /counter     | 0 or more",
        "\"unit\"                   | \"die\": \"\", \"unit\"         | 400 | /die         | ",
        "}                          | }}                              | 400 |              | ",
        "}                          | \"\"                            | 400 |              | ",
      })
  void isRefusedWithThePlaceAndTheMend(
      String good, String bad, int status, String pointer, String words) {
    String posting = floor.posting(5.6, "kg", AT).replace(" ", "");
    String spoilt =
        posting.replace(good.replace(" ", ""), bad.equals("\"\"") && good.equals("}") ? "" : bad);
    assertThat(spoilt).isNotEqualTo(posting);
    Answer refused = floor.post(spoilt).expect(status);
    assertThat(refused.header("Content-Type")).startsWith("application/problem+json");
    if (pointer != null) {
      assertThat(refused.at("/errors/0/pointer").asString()).isEqualTo(pointer);
    }
    if (words != null) {
      assertThat(refused.text()).contains(words);
    }
    assertThat(refused.text()).doesNotContain("org.tarebook").doesNotContain("jackson");
    assertNothingStored();
  }

  @Test
  void unknownCodesSayWhichMemberNamesThem() {
    for (String member : new String[] {"station", "characteristic", "instrument"}) {
      Answer refused =
          tarebook
              .quality()
              .post("/api/v1/readings", floor.posting(5.6, "kg", AT, member, "NO-SUCH"));
      assertThat(refused.expect(422).problem()).isEqualTo("unknown-code");
      assertThat(refused.at("/errors/0/pointer").asString()).isEqualTo("/" + member);
    }
    assertNothingStored();
  }

  @Test
  void keysThatAreTooLongOrNotVisibleAreRefused() {
    for (String key : new String[] {"k".repeat(65), "", "a b", "schlüssel"}) {
      Answer refused = floor.post(floor.posting(5.6, "kg", AT, "key", key)).expect(400);
      assertThat(refused.at("/errors/0/pointer").asString()).isEqualTo("/key");
    }
    assertNothingStored();
  }

  @Test
  void everyFaultIsToldAtOnce() {
    Answer refused = floor.post("{}").expect(400);
    assertThat(refused.at("/errors")).hasSize(5);
  }

  @Test
  void bytesThatAreNoTextAreRefused() {
    byte[] bytes = floor.posting(5.6, "kg", AT, "die", "D7").getBytes(StandardCharsets.UTF_8);
    bytes[new String(bytes, StandardCharsets.UTF_8).indexOf("D7")] = (byte) 0xFF;
    send(bytes).expect(400);
    send(floor.posting(5.6, "kg", AT, "die", "D\u0000").getBytes(StandardCharsets.UTF_8))
        .expect(400);
    send(new byte[0]).expect(400);
    send("[]".getBytes(StandardCharsets.UTF_8)).expect(400);
    send("null".getBytes(StandardCharsets.UTF_8)).expect(400);
    assertNothingStored();
  }

  @Test
  void aBodyThatIsTooLargeIsRefusedBeforeItIsRead() {
    byte[] huge = ("{\"key\": \"" + "x".repeat(3_000_000) + "\"}").getBytes(StandardCharsets.UTF_8);
    assertThat(send(huge).expect(413).problem()).isEqualTo("too-large");
  }

  @Test
  void parametersAndMediaTypesThatAreUnknownAreRefused() {
    assertThat(
            tarebook
                .reader()
                .get("/api/v1/readings?statoin=X")
                .expect(400)
                .at("/errors/0/pointer")
                .asString())
        .isEqualTo("statoin");
    tarebook.reader().get("/api/v1/readings?limit=0").expect(400);
    tarebook.reader().get("/api/v1/readings?measuredFrom=yesterday").expect(400);
    tarebook.reader().get("/api/v1/readings?cursor=abc").expect(400);
    tarebook.reader().get("/api/v1/readings/seven").expect(400);
    tarebook.reader().get("/api/v1/readings/7777777777").expect(404);
    tarebook
        .station(floor.station())
        .send("POST", "/api/v1/readings", "application/xml", "<a/>")
        .expect(415);
  }

  private Answer send(byte[] body) {
    return tarebook
        .station(floor.station())
        .send(
            "POST",
            "/api/v1/readings",
            BodyPublishers.ofByteArray(body),
            "Content-Type",
            "application/json");
  }

  private void assertNothingStored() {
    assertThat(
            tarebook
                .reader()
                .get("/api/v1/readings?station=" + floor.station())
                .expect(200)
                .at("/items"))
        .isEmpty();
  }
}
