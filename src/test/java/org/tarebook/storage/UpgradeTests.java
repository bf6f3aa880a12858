package org.tarebook.storage;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.math.BigDecimal;
import java.math.MathContext;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.TreeMap;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.springframework.core.io.FileSystemResource;
import org.springframework.jdbc.datasource.init.ResourceDatabasePopulator;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.TestDatabase;
import org.tarebook.fixtures.Typed;

/**
 * Data of earlier schemas, brought to the newest. Each file of {@code upgrade} is named by the
 * schema it is written for and holds the same plant; whatever migrations come later are covered by
 * it. A further file is worth it where a migration changes what only a later schema could hold.
 */
@OnBothDatabases
class UpgradeTests {

  private static final Path FILES = Path.of("src/test/resources/upgrade");
  private static final String WINDOW =
      "measuredFrom=2026-09-01T06:00:00Z&measuredBefore=2026-09-01T07:00:00Z";

  private final Vendor vendor;

  @TempDir Path folder;

  UpgradeTests(Vendor vendor) {
    this.vendor = vendor;
  }

  @Test
  void everyRowOfAnEarlierSchemaStaysAsItWas() throws IOException {
    for (Path file : files()) {
      TestDatabase database = filled(file);
      Schema earlier = new Schema(database);
      List<Schema.Column> columns = earlier.columns();
      TreeMap<String, List<String>> before = contents(database, columns);
      database.flyway().load().migrate();
      assertThat(before.values())
          .as(file.toString())
          .anySatisfy(rows -> assertThat(rows).isNotEmpty());
      assertThat(contents(database, columns)).as(file.toString()).isEqualTo(before);
    }
  }

  @Test
  void theServiceStartsOnItAndTellsTheSameFigures() throws IOException {
    for (Path file : files()) {
      TestDatabase database = filled(file);
      try (RunningTarebook tarebook = RunningTarebook.start(database)) {
        tellsFigures(new Client(tarebook.base(), "token of the old hand"), database);
        goesOn(tarebook);
      }
    }
  }

  @Test
  void aBackupOfItIsRestoredAsItIsAndMigratedAtTheNextStart() throws IOException {
    for (Path file : files()) {
      TestDatabase database = filled(file);
      String zip = folder.resolve(file.getFileName() + "-" + vendor + ".zip").toString();
      String written = Typed.on(database, "backup", zip).done().out();
      TestDatabase other = TestDatabase.create(vendor == Vendor.H2 ? Vendor.POSTGRESQL : Vendor.H2);
      String restored = Typed.on(other, "restore", zip).done().out();
      assertThat(digest(restored)).isEqualTo(digest(written));
      assertThat(other.flyway().load().info().current().getVersion())
          .isEqualTo(database.flyway().load().info().current().getVersion());
      try (RunningTarebook tarebook = RunningTarebook.start(other)) {
        tellsFigures(new Client(tarebook.base(), "token of the old hand"), other);
        goesOn(tarebook);
      }
    }
  }

  private static String digest(String told) {
    assertThat(told).containsPattern("digest [0-9a-f]{64}");
    return told.substring(told.indexOf("digest "));
  }

  private static void tellsFigures(Client hand, TestDatabase database) {
    Answer study =
        hand.get("/api/v1/capability?chart=OLD-CHART&evenIfNotInControl=true&" + WINDOW)
            .expect(200);
    List<BigDecimal> counted =
        database
            .sql()
            .sql("select net_value from reading where id <> 1010 and chart_id = 7")
            .query(BigDecimal.class)
            .list();
    assertThat(counted).hasSize(39);
    BigDecimal mean =
        counted.stream()
            .reduce(BigDecimal.ZERO, BigDecimal::add)
            .divide(BigDecimal.valueOf(counted.size()), MathContext.DECIMAL64);
    assertThat(study.at("/studies/0/mean").doubleValue()).isEqualTo(mean.doubleValue());
    assertThat(study.at("/studies/0/control/inControl").asBoolean()).isFalse();

    Answer signals = hand.get("/api/v1/signals?chart=OLD-CHART").expect(200);
    assertThat(signals.at("/items").findValuesAsString("completedAt"))
        .contains("2026-09-01T06:30:00Z", "2026-09-01T06:31:00Z");
    assertThat(
            hand.get("/api/v1/limit-sets/OLD-CHART-1")
                .expect(200)
                .at("/limits/centre")
                .decimalValue())
        .isEqualByComparingTo("8.4");
    Answer points = hand.get("/api/v1/charts/OLD-CHART/points?" + WINDOW).expect(200);
    assertThat(points.at("/points").size()).isEqualTo(39);
    Answer rates = hand.get("/api/v1/reject-rates?line=OLD&" + WINDOW).expect(200);
    assertThat(rates.at("/rows/0/judged").asInt()).isEqualTo(39);
    assertThat(rates.at("/rows/0/rejected").asInt()).isEqualTo(1);
    assertThat(rates.at("/rows/0/voided").asInt()).isEqualTo(1);
    Answer found = hand.get("/api/v1/readings?station=OLD-W1&limit=100&" + WINDOW).expect(200);
    assertThat(found.at("/items").size()).isEqualTo(39);
  }

  /** New facts beside the old ones, and the old ones voided. */
  private static void goesOn(RunningTarebook tarebook) {
    tarebook
        .station("OLD-W1")
        .post(
            "/api/v1/readings",
            """
            {"key": "OLD-W1:41", "station": "OLD-W1", "characteristic": "OLD-MASS", "value": 8.6,
             "unit": "kg", "measuredAt": "2026-09-01T06:40:00Z"}
            """)
        .expect(201);
    Client quality = tarebook.quality();
    quality
        .post(
            "/api/v1/readings/1005/amendments",
            "{\"key\": \"upgrade-1\", \"kind\": \"VOID\", \"reason\": \"Strip of another day\"}")
        .expect(201);
    Answer kept =
        quality
            .post(
                "/api/v1/kept-studies",
                """
                {"key": "upgrade-2", "code": "UPGRADE", "reason": "After the upgrade",
                 "chart": "OLD-CHART", "measuredFrom": "2026-09-01T06:00:00Z",
                 "measuredBefore": "2026-09-01T07:00:00Z"}
                """)
            .expect(201);
    assertThat(kept.at("/study/counts/readings").asInt()).as(kept.text()).isEqualTo(39);
    assertThat(
            quality.get("/api/v1/kept-studies/UPGRADE/again").expect(200).at("/same").asBoolean())
        .isTrue();
  }

  private TestDatabase filled(Path file) {
    TestDatabase database = TestDatabase.create(vendor);
    String version = file.getFileName().toString().replaceAll("V(\\d+).sql", "$1");
    database.flyway().target(version).load().migrate();
    new ResourceDatabasePopulator(new FileSystemResource(file)).execute(database.dataSource());
    return database;
  }

  /** Every value of these columns, table by table. */
  private static TreeMap<String, List<String>> contents(
      TestDatabase database, List<Schema.Column> columns) {
    TreeMap<String, List<String>> contents = new TreeMap<>();
    for (Schema.Column column : columns) {
      contents.put(
          column.table() + "." + column.name(),
          database
              .sql()
              .sql("select " + column.name() + " from " + column.table())
              .query((row, number) -> String.valueOf(row.getString(1)))
              .list()
              .stream()
              .sorted()
              .toList());
    }
    return contents;
  }

  private static List<Path> files() throws IOException {
    try (Stream<Path> files = Files.list(FILES)) {
      List<Path> all = files.sorted().toList();
      assertThat(all).isNotEmpty();
      return all;
    }
  }
}
