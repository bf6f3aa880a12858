package org.tarebook.plant;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;

@OnBothDatabases
class LinesHttpTests {

  private final RunningTarebook tarebook;
  private final Client quality;
  private final String code = Codes.fresh("TREAD");

  LinesHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
    this.quality = tarebook.quality();
  }

  @Test
  void aRecordedLineIsAnsweredWithItsAddressAndVersion() {
    Answer made = record(code).expect(201);
    assertThat(made.header("Location")).isEqualTo("/api/v1/lines/" + code);
    assertThat(made.header("ETag")).isEqualTo("\"0\"");
    assertThat(made.at("/kind").asString()).isEqualTo("TREAD_EXTRUSION");

    Answer read = tarebook.reader().get("/api/v1/lines/" + code).expect(200);
    assertThat(read.json()).isEqualTo(made.json());
    assertThat(read.header("ETag")).isEqualTo("\"0\"");
  }

  @Test
  void aCodeIsNeverUsedTwice() {
    record(code).expect(201);
    Answer refused = record(code).expect(409);
    assertThat(refused.problem()).isEqualTo("already-exists");
    assertThat(refused.at("/errors/0/pointer").asString()).isEqualTo("/code");
  }

  @Test
  void ofManyWhoRecordTheSameCodeAtOnceOneIsFirstAndTheOthersAreTold() throws Exception {
    ExecutorService threads = Executors.newFixedThreadPool(6);
    try {
      List<Callable<Integer>> clients = new ArrayList<>();
      for (int i = 0; i < 6; i++) {
        clients.add(() -> record(code).status());
      }
      List<Integer> statuses = new ArrayList<>();
      for (Future<Integer> status : threads.invokeAll(clients)) {
        statuses.add(status.get());
      }
      assertThat(statuses).containsExactlyInAnyOrder(201, 409, 409, 409, 409, 409);
    } finally {
      threads.shutdownNow();
    }
  }

  @Test
  void aChangeNamesTheVersionItChanges() {
    record(code).expect(201);
    String change = "{\"name\": \"Tread line east\", \"kind\": \"MIXING\", \"retired\": false}";
    String path = "/api/v1/lines/" + code;

    assertThat(quality.put(path, change).expect(428).problem()).isEqualTo("precondition-required");
    Answer changed = quality.put(path, change, "If-Match", "\"0\"").expect(200);
    assertThat(changed.at("/name").asString()).isEqualTo("Tread line east");
    assertThat(changed.header("ETag")).isEqualTo("\"1\"");
    assertThat(quality.put(path, change, "If-Match", "\"0\"").expect(412).problem())
        .isEqualTo("stale");
  }

  @Test
  void aRetiredLineIsStillThereAndSaysSinceWhen() {
    record(code).expect(201);
    tarebook.clock().set("2026-03-29T00:59:59.25Z");
    Answer retired =
        quality
            .put(
                "/api/v1/lines/" + code,
                "{\"name\": \"old\", \"kind\": \"MIXING\", \"retired\": true}",
                "If-Match",
                "\"0\"")
            .expect(200);
    assertThat(retired.at("/retiredAt").asString()).isEqualTo("2026-03-29T00:59:59.250Z");
    assertThat(quality.get("/api/v1/lines/" + code).expect(200).json()).isEqualTo(retired.json());
  }

  @Test
  void theListIsReadPageByPageInTheOrderOfCodes() {
    for (String letter : List.of("b", "a", "c")) {
      record(code + letter).expect(201);
    }
    List<String> codes = new ArrayList<>();
    String next = "/api/v1/lines?limit=2";
    while (!next.isEmpty()) {
      Answer page = quality.get(next).expect(200);
      page.at("/items").forEach(line -> codes.add(line.at("/code").asString()));
      next = page.at("/next").asString("");
    }
    assertThat(codes).doesNotHaveDuplicates();
    assertThat(codes.stream().filter(found -> found.startsWith(code)).toList())
        .containsExactly(code + "a", code + "b", code + "c");
  }

  @Test
  void everyFaultOfARequestIsToldAndNothingIsStored() {
    Answer refused =
        quality.post("/api/v1/lines", "{\"code\": \"" + code + "\", \"name\": \" \"}").expect(400);
    assertThat(refused.problem()).isEqualTo("invalid-request");
    assertThat(refused.at("/errors")).hasSize(2);
    quality.get("/api/v1/lines/" + code).expect(404);
  }

  @Test
  void csvIsRecordedWhollyOrNotAtAll() {
    String good = "code,name,kind\n" + code + "a,One,MIXING\n" + code + "b,Two,CURING\n";
    String bad = good.replace(code, code + "x") + code + "xc,Three,MIXNG\n";

    Answer refused = quality.send("POST", "/api/v1/lines/bulk", "text/csv", bad).expect(400);
    assertThat(refused.at("/errors/0/line").asInt()).isEqualTo(4);
    quality.get("/api/v1/lines/" + code + "xa").expect(404);

    Answer recorded = quality.send("POST", "/api/v1/lines/bulk", "text/csv", good).expect(201);
    assertThat(recorded.at("/recorded").asInt()).isEqualTo(2);
    quality.get("/api/v1/lines/" + code + "b").expect(200);
  }

  @Test
  void everyChangeIsAuditedUnderTheNameOfWhoMadeIt() {
    Client person = tarebook.person(Codes.fresh("Ilse Muster"), "QUALITY");
    person.post("/api/v1/lines", body(code)).expect(201);
    Answer audit = quality.get("/api/v1/audit?subject=line&code=" + code).expect(200);
    assertThat(audit.at("/items")).hasSize(1);
    assertThat(audit.at("/items/0/action").asString()).isEqualTo("created");
    assertThat(audit.at("/items/0/actor").asString()).startsWith("Ilse Muster-");
  }

  @Test
  void whoMayDoWhat() {
    assertThat(tarebook.anonymous().get("/api/v1/lines").expect(401).problem())
        .isEqualTo("no-token");
    assertThat(tarebook.reader().post("/api/v1/lines", body(code)).expect(403).problem())
        .isEqualTo("not-allowed");
    tarebook.anonymous().get("/problems/unit-mismatch").expect(200);
  }

  private Answer record(String lineCode) {
    return quality.post("/api/v1/lines", body(lineCode));
  }

  private static String body(String lineCode) {
    return """
        {"code": "%s", "name": "Tread line", "kind": "TREAD_EXTRUSION"}
        """
        .formatted(lineCode);
  }
}
