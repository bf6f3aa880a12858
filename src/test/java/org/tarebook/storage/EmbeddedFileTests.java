package org.tarebook.storage;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.List;
import java.util.Map;
import java.util.stream.Stream;
import org.flywaydb.core.Flyway;
import org.flywaydb.core.api.FlywayException;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.TestDatabase;
import org.tarebook.fixtures.Typed;

class EmbeddedFileTests {

  @TempDir private Path folder;

  @Test
  void noOtherUserCanReadWhatTheServiceWrites() throws IOException {
    Path data = folder.resolve("data");
    try (RunningTarebook tarebook = RunningTarebook.start(on(data.resolve("tarebook")))) {
      tarebook.quality().get("/api/v1/lines").expect(200);
    }
    assertThat(rights(data)).isEqualTo("rwx------");
    assertThat(files(data)).contains(data.resolve("tarebook.mv.db"));
    assertThat(rights(data.resolve("tarebook.mv.db"))).isEqualTo("rw-------");
  }

  @Test
  void aFileOfEarlierRightsBecomesPrivateAndItsFolderStaysAsItIs() throws IOException {
    Files.setPosixFilePermissions(folder, PosixFilePermissions.fromString("rwxr-xr-x"));
    TestDatabase database = on(folder.resolve("tarebook"));
    database.sql().sql("create table old (a integer)").update();
    Path traces = Files.writeString(folder.resolve("tarebook.trace.db"), "");
    assertThat(rights(folder.resolve("tarebook.mv.db"))).contains("r--");

    EmbeddedFile.of(database.url()).orElseThrow().prepare();

    assertThat(rights(folder.resolve("tarebook.mv.db"))).isEqualTo("rw-------");
    assertThat(rights(traces)).isEqualTo("rw-------");
    assertThat(rights(folder)).isEqualTo("rwxr-xr-x");
    assertThat(database.sql().sql("select count(*) from old").query(Long.class).single()).isZero();
  }

  @Test
  void aRestoredFileIsPrivateAlthoughItIsCompacted() throws IOException {
    TestDatabase source = on(folder.resolve("source"));
    Path backup = folder.resolve("backup.zip");
    source.flyway().load().migrate();
    Typed.on(source, "backup", backup.toString()).done();
    Typed.on(on(folder.resolve("restored")), "restore", backup.toString()).done();

    assertThat(rights(folder.resolve("restored.mv.db"))).isEqualTo("rw-------");
    assertThat(rights(backup)).isEqualTo("rw-------");
  }

  @Test
  void aFolderThatCannotBeMadeStopsTheStartWithItsName() throws IOException {
    Path inTheWay = Files.writeString(folder.resolve("data"), "a file, not a folder");

    assertThatThrownBy(
            () -> EmbeddedFile.of(on(inTheWay.resolve("tarebook")).url()).orElseThrow().prepare())
        .isInstanceOf(StartRefused.class)
        .hasMessageContaining(inTheWay.resolve("tarebook.mv.db").toString())
        .hasMessageContaining("DB_URL");
  }

  @Test
  void aMigrationThatWasCutIsUndoneAtTheNextStart() throws IOException {
    TestDatabase database = on(folder.resolve("data/tarebook"));
    EmbeddedFile file = EmbeddedFile.of(database.url()).orElseThrow();
    Path scripts = Files.createDirectory(folder.resolve("scripts"));
    Files.writeString(scripts.resolve("V1__a.sql"), "create table a (id int);");
    file.prepare();
    file.migrate(flyway(database, scripts));
    database.sql().sql("insert into a (id) values (7)").update();

    Path second = scripts.resolve("V2__b.sql");
    Files.writeString(second, "alter table a add b int; create table b (id int); cut off;");
    assertThatThrownBy(() -> file.migrate(flyway(database, scripts)))
        .isInstanceOf(FlywayException.class);
    assertThat(database.sql().sql("select * from b").query().listOfRows()).isEmpty();

    file.prepare();
    assertThat(database.sql().sql("select * from a").query().listOfRows())
        .containsExactly(Map.of("ID", 7));
    Files.writeString(second, "alter table a add b int; create table b (id int);");
    file.migrate(flyway(database, scripts));
    assertThat(database.sql().sql("select id from a").query(Integer.class).list())
        .containsExactly(7);
    assertThat(database.sql().sql("select * from b").query().listOfRows()).isEmpty();
    assertThat(files(folder.resolve("data")))
        .extracting(each -> each.getFileName().toString())
        .contains("tarebook.mv.db")
        .noneMatch(name -> name.contains("before-migration"));
  }

  private static Flyway flyway(TestDatabase database, Path scripts) {
    return Flyway.configure()
        .dataSource(database.url(), database.user(), database.password())
        .locations("filesystem:" + scripts)
        .load();
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "jdbc:h2:mem:training",
        "jdbc:h2:tcp://localhost/x",
        "jdbc:postgresql://127.0.0.1/tarebook",
        ""
      })
  void whatIsNoFileIsLeftAlone(String url) {
    assertThat(EmbeddedFile.of(url)).isEmpty();
  }

  private static TestDatabase on(Path name) {
    return new TestDatabase(
        Vendor.H2,
        "jdbc:h2:file:" + name + ";WRITE_DELAY=0;DB_CLOSE_ON_EXIT=FALSE",
        "tarebook",
        "");
  }

  private static String rights(Path path) throws IOException {
    return PosixFilePermissions.toString(Files.getPosixFilePermissions(path));
  }

  private static List<Path> files(Path folder) throws IOException {
    try (Stream<Path> files = Files.list(folder)) {
      return files.toList();
    }
  }
}
