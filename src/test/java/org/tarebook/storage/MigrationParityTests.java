package org.tarebook.storage;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.TestDatabase;

/** Whoever tests on H2 must meet the tables that production has. */
@Tag("service")
class MigrationParityTests {

  private static final Path MIGRATIONS = Path.of("db/migration");

  private static Schema h2;
  private static Schema postgresql;

  @BeforeAll
  static void migrateBoth() {
    h2 = migrated(Vendor.H2);
    postgresql = migrated(Vendor.POSTGRESQL);
  }

  private static Schema migrated(Vendor vendor) {
    TestDatabase database = TestDatabase.create(vendor);
    database.flyway().load().migrate();
    return new Schema(database);
  }

  @Test
  void columnsAreTheSame() {
    List<String> columns =
        postgresql.columns().stream().map(Schema.Column::withoutComment).sorted().toList();
    assertThat(columns).hasSizeGreaterThan(50);
    assertThat(h2.columns().stream().map(Schema.Column::withoutComment).sorted().toList())
        .isEqualTo(columns);
  }

  @Test
  void commentsAreTheSame() {
    assertThat(h2.columns()).isEqualTo(postgresql.columns());
    assertThat(h2.tableComments()).isEqualTo(postgresql.tableComments());
  }

  @Test
  void constraintsAndIndexesAreTheSame() {
    assertThat(h2.constraints()).isEqualTo(postgresql.constraints());
    assertThat(h2.indexes()).isEqualTo(postgresql.indexes());
  }

  @Test
  void bothHaveEveryVersionOnceWithoutGaps() throws IOException {
    List<Integer> h2Versions = versions("common", "h2");
    assertThat(h2Versions).isEqualTo(IntStream.rangeClosed(1, h2Versions.size()).boxed().toList());
    assertThat(versions("common", "postgresql")).isEqualTo(h2Versions);
  }

  @Test
  void filesAreNamedByVersionAndConcern() throws IOException {
    for (String folder : List.of("common", "h2", "postgresql")) {
      assertThat(files(folder))
          .allSatisfy(
              file ->
                  assertThat(file.getFileName().toString())
                      .matches("V\\d{4}__[a-z0-9_]+\\.sql(\\.conf)?"));
    }
  }

  @Test
  void everyFileBeginsWithItsReason() throws IOException {
    for (String folder : List.of("common", "h2", "postgresql")) {
      for (Path file : files(folder)) {
        if (file.toString().endsWith(".sql")) {
          String first = Files.readString(file).lines().findFirst().orElse("");
          assertThat(first)
              .as(file.toString())
              .matches(folder.equals("common") ? "-- .{20,}" : "-- Vendor file: .{15,}");
        }
      }
    }
  }

  private static List<Integer> versions(String... folders) throws IOException {
    List<Integer> versions = new ArrayList<>();
    for (String folder : folders) {
      for (Path file : files(folder)) {
        if (file.toString().endsWith(".sql")) {
          versions.add(Integer.parseInt(file.getFileName().toString().substring(1, 5)));
        }
      }
    }
    return versions.stream().sorted().toList();
  }

  private static List<Path> files(String folder) throws IOException {
    try (Stream<Path> files = Files.list(MIGRATIONS.resolve(folder))) {
      return files.sorted().toList();
    }
  }
}
