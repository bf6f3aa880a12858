package org.tarebook.backup;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.net.http.HttpRequest.BodyPublishers;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.stream.StreamSupport;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.springframework.boot.builder.SpringApplicationBuilder;
import org.tarebook.TarebookApplication;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.TestDatabase;
import org.tarebook.fixtures.Typed;
import org.tarebook.storage.Vendor;
import tools.jackson.databind.json.JsonMapper;

/**
 * The demo plant goes from H2 to H2 and to PostgreSQL, and from there to PostgreSQL and back to H2.
 * Nothing may be lost on any way: neither a row nor a digit.
 */
@Tag("service")
class DemoPlantMovesTests {

  private static final String ZONE = "--tarebook.zone=Atlantic/Reykjavik";

  /** When all services of these tests are asked. */
  private static Instant now;

  private static TestDatabase demo;
  private static String token;
  private static Map<String, String> answers;
  private static Manifest backedUp;

  @TempDir static Path folder;

  @BeforeAll
  static void makeDemoPlant() throws IOException {
    demo = TestDatabase.create(Vendor.H2);
    new SpringApplicationBuilder(TarebookApplication.class)
        .profiles("demo")
        .run(
            "--server.port=0",
            "--tarebook.demo-weeks=2",
            "--spring.datasource.url=" + demo.url(),
            "--spring.datasource.username=" + demo.user(),
            "--spring.datasource.password=" + demo.password())
        .close();
    now = Instant.now().truncatedTo(ChronoUnit.SECONDS);
    try (RunningTarebook tarebook = RunningTarebook.start(demo, ZONE)) {
      tarebook.clock().set(now);
      Client quality = tarebook.quality();
      token = quality.token();
      quality
          .post(
              "/api/v1/kept-studies",
              """
              {"key": "moves-1", "code": "MOVES-1", "reason": "To be asked again elsewhere",
               "chart": "T1-MASS", "measuredFrom": "%s", "measuredBefore": "%s"}
              """
                  .formatted(now.minus(Duration.ofDays(15)), now))
          .expect(201);
      answers = ask(tarebook);
    }
    Typed.on(demo, "backup", file("demo").toString()).done();
    backedUp = manifest("demo");
  }

  @Test
  void theBackupHoldsTheDemoPlantAndManyAnswersAreCompared() {
    assertThat(backedUp.rows()).isGreaterThan(50_000);
    assertThat(backedUp.database()).isEqualTo("H2");
    assertThat(backedUp.tables())
        .filteredOn(table -> table.name().matches("reading|signal|limit_set|cure_piece|kept_study"))
        .hasSize(5)
        .allSatisfy(table -> assertThat(table.rows()).isPositive());
    assertThat(answers).hasSizeGreaterThan(35);
    assertThat(answers.values()).allSatisfy(answer -> assertThat(answer).hasSizeGreaterThan(30));
  }

  @Test
  void aBackupOfTheSameRecordIsTheSameAgain() throws IOException {
    Typed.on(demo, "backup", file("demo-again").toString()).done();
    assertThat(manifest("demo-again").digest()).isEqualTo(backedUp.digest());
  }

  @Test
  void comesFromH2ToH2() throws IOException {
    assertSame(restored("demo", Vendor.H2), "h2-h2");
  }

  @Test
  void comesFromH2ToPostgresqlAndFromThereToBoth() throws IOException {
    TestDatabase postgresql = restored("demo", Vendor.POSTGRESQL);
    assertSame(postgresql, "h2-pg");
    assertThat(manifest("h2-pg").database()).isEqualTo("POSTGRESQL");
    assertSame(restored("h2-pg", Vendor.POSTGRESQL), "h2-pg-pg");
    assertSame(restored("h2-pg", Vendor.H2), "h2-pg-h2");
  }

  private static TestDatabase restored(String backup, Vendor vendor) {
    TestDatabase database = TestDatabase.create(vendor);
    Typed done = Typed.on(database, "restore", file(backup).toString()).done();
    assertThat(done.out()).contains("digest " + backedUp.digest());
    return database;
  }

  /** Counts and digits of all tables, answers over HTTP, and that work can go on. */
  private static void assertSame(TestDatabase database, String name) throws IOException {
    Typed.on(database, "backup", file(name).toString()).done();
    Manifest again = manifest(name);
    assertThat(again.tables()).isEqualTo(backedUp.tables());
    assertThat(again.digest()).isEqualTo(backedUp.digest());
    assertThat(again.sequences()).isEqualTo(backedUp.sequences());
    for (Manifest.Content table : backedUp.tables()) {
      assertThat(
              database.sql().sql("select count(*) from " + table.name()).query(Long.class).single())
          .as(table.name())
          .isEqualTo(table.rows());
    }
    try (RunningTarebook tarebook = RunningTarebook.start(database, ZONE)) {
      tarebook.clock().set(now);
      assertThat(ask(tarebook)).isEqualTo(answers);
      tarebook
          .station("T2-W1")
          .post(
              "/api/v1/readings",
              """
              {"key": "T2-W1:900001", "station": "T2-W1", "characteristic": "TR-204-MASS",
               "value": 8.4, "unit": "kg", "measuredAt": "%s"}
              """
                  .formatted(now))
          .expect(201);
    }
  }

  /** Every answer by its address, byte for byte. */
  private static Map<String, String> ask(RunningTarebook tarebook) {
    Client client = new Client(tarebook.base(), token);
    String window =
        "measuredFrom=%s&measuredBefore=%s".formatted(now.minus(Duration.ofDays(15)), now);
    List<String> paths = new ArrayList<>();
    for (String line : List.of("MX", "CA", "T1", "T2", "BD", "BC", "BL", "FI", "LB", "CU")) {
      paths.add("capability?evenIfNotInControl=true&line=" + line + "&" + window);
    }
    for (String line : List.of("T2", "BL", "LB")) {
      paths.add("reject-rates?groupBy=SHIFT&line=" + line + "&" + window);
    }
    for (String chart : List.of("T1-MASS", "T2-MASS", "T2-LENGTH", "BD-MASS", "BL-MASS")) {
      paths.add("charts/" + chart + "/points?" + window);
      paths.add("charts/" + chart + "/ewma?" + window);
      paths.add("limit-sets?chart=" + chart);
    }
    paths.add("reject-rates/chart?line=T2&" + window);
    paths.add("kept-studies/MOVES-1");
    paths.add("kept-studies/MOVES-1/again");
    paths.add("kept-studies?chart=T1-MASS");
    paths.add("signals?chart=T2-MASS");
    paths.add("readings?station=T2-W1&limit=500&" + window);
    paths.add("readings?result=FAIL&limit=500&" + window);
    paths.add("instrument-checks?limit=500");
    paths.add(
        "items/" + tarebook.sql().sql("select max(number) from item").query(String.class).single());
    paths.add("cures?limit=200");
    paths.add("audit?limit=500");
    Map<String, String> answers = new LinkedHashMap<>();
    for (String path : paths) {
      answers.put(path, asked(client, path).text());
    }
    StreamSupport.stream(
            asked(client, "cures?verdict=NOT_GOOD&limit=3").at("/items").spliterator(), false)
        .map(cure -> "cures/" + cure.get("id").asString() + "/verdicts")
        .forEach(path -> answers.put(path, asked(client, path).text()));
    return answers;
  }

  private static Answer asked(Client client, String path) {
    return client.send("GET", "/api/v1/" + path, BodyPublishers.noBody()).expect(200);
  }

  private static Path file(String name) {
    return folder.resolve(name + ".zip");
  }

  private static Manifest manifest(String name) throws IOException {
    try (BackupFile file = BackupFile.open(file(name), JsonMapper.builder().build())) {
      file.check();
      return file.manifest();
    }
  }
}
