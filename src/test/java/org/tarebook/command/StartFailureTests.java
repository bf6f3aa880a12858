package org.tarebook.command;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.catchThrowable;

import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.TestDatabase;
import org.tarebook.storage.Vendor;

@OnBothDatabases
class StartFailureTests {

  private final Vendor vendor;

  StartFailureTests(Vendor vendor) {
    this.vendor = vendor;
  }

  @Test
  void aUserThatTheDatabaseRefusesIsNamedWithItsSettings() {
    TestDatabase database = TestDatabase.create(vendor);
    database.sql().sql("create table anything (a integer)").update();
    TestDatabase wrong =
        new TestDatabase(vendor, database.url().replaceAll("[?].*", ""), "stranger", "wrong");

    assertThat(reason(() -> wrong.sql().sql("select 1").query(Integer.class).single()))
        .startsWith("the database answers: ")
        .endsWith(" Check DB_USER and DB_PASSWORD.");
  }

  @Test
  void aSchemaOfANewerVersionIsNotStartedOn() {
    TestDatabase database = TestDatabase.create(vendor);
    database.flyway().load().migrate();
    database
        .sql()
        .sql(
            "insert into \"flyway_schema_history\" (\"installed_rank\", \"version\","
                + " \"description\", \"type\", \"script\", \"checksum\", \"installed_by\","
                + " \"execution_time\", \"success\") values (9999, '9999', 'of tomorrow', 'SQL',"
                + " 'V9999__of_tomorrow.sql', 1, 'tests', 1, true)")
        .update();

    assertThat(reason(() -> RunningTarebook.start(database)))
        .isEqualTo(
            "the database has schema 9999, which this Tarebook does not know. Start the newer"
                + " version that made it.");
  }

  @Test
  void aMigrationThatDiffersIsNamed() {
    TestDatabase database = TestDatabase.create(vendor);
    database.flyway().load().migrate();
    database
        .sql()
        .sql("update \"flyway_schema_history\" set \"checksum\" = 1 where \"version\" = '0005'")
        .update();

    assertThat(reason(() -> RunningTarebook.start(database)))
        .startsWith("migration 0005 in the database differs from this Tarebook's");
  }

  @Test
  void aFileThatAnotherProcessHasOpenOrThatIsNoDatabaseIsNamed(@TempDir Path folder)
      throws IOException {
    Path file = folder.resolve("held.mv.db");
    TestDatabase held =
        new TestDatabase(Vendor.H2, "jdbc:h2:file:" + folder.resolve("held"), "tarebook", "");
    held.sql().sql("create table anything (a integer)").update();
    try (FileChannel channel = FileChannel.open(file, StandardOpenOption.WRITE)) {
      channel.lock();
      assertThat(reason(() -> held.sql().sql("select 1").query(Integer.class).single()))
          .contains(file.toString())
          .endsWith("Stop the process that has the file open; an H2 file belongs to one process.");
    }
    Files.writeString(file, "no database at all, but some words that somebody wrote into it");
    assertThat(reason(() -> held.sql().sql("select 1").query(Integer.class).single()))
        .contains(file.toString())
        .contains("Restore the newest backup");
  }

  private static String reason(Runnable start) {
    return StartFailure.reason(catchThrowable(start::run)).orElseThrow();
  }
}
