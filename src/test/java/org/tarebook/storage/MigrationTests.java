package org.tarebook.storage;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Arrays;
import java.util.List;
import java.util.Set;
import java.util.stream.Collectors;
import org.flywaydb.core.Flyway;
import org.flywaydb.core.api.MigrationInfo;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.TestDatabase;

@OnBothDatabases
class MigrationTests {

  private final TestDatabase database;
  private final Flyway flyway;
  private final Schema schema;

  MigrationTests(TestDatabase database) {
    this.database = database;
    this.flyway = database.flyway().load();
    this.schema = new Schema(database);
  }

  @BeforeEach
  void migrate() {
    flyway.migrate();
  }

  @Test
  void anEmptyDatabaseIsBroughtToTheLatestVersion() {
    assertThat(flyway.info().pending()).isEmpty();
    assertThat(flyway.info().applied())
        .isNotEmpty()
        .allSatisfy(migration -> assertThat(migration.getState().isApplied()).isTrue());
    assertThat(flyway.info().current()).isNotNull();
    flyway.validate();
  }

  @Test
  void migratingAgainChangesNothing() {
    List<Integer> before = installedRanks();
    assertThat(flyway.migrate().migrationsExecuted).isZero();
    assertThat(installedRanks()).isEqualTo(before);
  }

  @Test
  void productionDatabaseIsTheRealOne() {
    String product =
        database
            .sql()
            .sql(
                database.vendor() == Vendor.H2 ? "select 'H2 ' || h2version()" : "select version()")
            .query(String.class)
            .single();
    assertThat(product).startsWith(database.vendor() == Vendor.H2 ? "H2 2." : "PostgreSQL ");
  }

  @Test
  void everyTableHasAPrimaryKeyAndSaysWhatItIs() {
    Set<String> keyed =
        schema.constraints().stream()
            .filter(constraint -> constraint.endsWith(" primary key"))
            .map(constraint -> constraint.substring(0, constraint.indexOf('.')))
            .collect(Collectors.toSet());
    assertThat(schema.tableComments()).isNotEmpty();
    assertThat(schema.tableComments())
        .allSatisfy(
            (table, comment) -> {
              assertThat(keyed).contains(table);
              assertThat(comment).as("comment on table " + table).isNotBlank();
            });
  }

  @Test
  void everyNumberSaysItsUnitOrThatItIsACount() {
    assertThat(
            schema.columns().stream()
                .filter(Schema.Column::holdsANumber)
                .filter(column -> !column.isAnId())
                .filter(column -> column.comment().isBlank())
                .map(Schema.Column::withoutComment))
        .isEmpty();
  }

  @Test
  void constraintsAndIndexesAreNamedByTheirKindAndTable() {
    assertThat(schema.constraints())
        .isNotEmpty()
        .allSatisfy(
            constraint -> {
              String table = constraint.substring(0, constraint.indexOf('.'));
              String name =
                  constraint.substring(constraint.indexOf('.') + 1, constraint.indexOf(' '));
              String prefix =
                  switch (constraint.substring(constraint.indexOf(' ') + 1)) {
                    case "primary key" -> "pk_";
                    case "unique" -> "uq_";
                    case "foreign key" -> "fk_";
                    default -> "ck_";
                  };
              assertThat(name).startsWith(prefix + table).hasSizeLessThanOrEqualTo(63);
            });
    assertThat(schema.indexes())
        .isNotEmpty()
        .allSatisfy(
            index -> {
              String table = index.substring(0, index.indexOf('.'));
              assertThat(index).startsWith(table + ".ix_" + table);
              assertThat(index.length() - table.length() - 1).isLessThanOrEqualTo(63);
            });
  }

  private List<Integer> installedRanks() {
    return Arrays.stream(flyway.info().applied()).map(MigrationInfo::getInstalledRank).toList();
  }
}
