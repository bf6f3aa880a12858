package org.tarebook.backup;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.io.OutputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.SQLException;
import java.util.Arrays;
import java.util.Enumeration;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.zip.ZipEntry;
import java.util.zip.ZipFile;
import java.util.zip.ZipOutputStream;
import org.assertj.core.api.ThrowableAssert.ThrowingCallable;
import org.flywaydb.core.Flyway;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.springframework.dao.DataAccessException;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.TestDatabase;
import org.tarebook.fixtures.Typed;
import org.tarebook.storage.Command;
import org.tarebook.storage.Sha256;
import tools.jackson.databind.json.JsonMapper;

/** What is refused is refused whole: no file stays, no database is touched. */
@OnBothDatabases
class RefusedFilesTests {

  private static final JsonMapper JSON = JsonMapper.builder().build();
  private static final PrintStream SILENT = new PrintStream(OutputStream.nullOutputStream());
  private static final String LINE = "1,\"L-1\",\"Line \"\"one\"\"\",\"MIXING\",,0\r\n";

  private final RunningTarebook source;
  private final TestDatabase target;
  private final RestoreFromFile restore;

  @TempDir Path folder;

  RefusedFilesTests(RunningTarebook source) {
    this.source = source;
    this.target = TestDatabase.create(source.vendor());
    this.restore = new RestoreFromFile(target.flyway().load(), source.vendor(), JSON);
  }

  @Test
  void backupWritesOverNothing() throws Exception {
    Path file = Files.writeString(folder.resolve("a.zip"), "mine");
    refused(backup(file), "a.zip exists already");
    assertThat(file).hasContent("mine");
    Files.delete(file);
    Path part = Files.writeString(folder.resolve("a.zip.part"), "mine");
    refused(backup(file), "a.zip.part exists already");
    assertThat(part).hasContent("mine");
  }

  @Test
  void backupOfNothingLeavesNoFile() {
    Typed typed = Typed.on(target, "backup", folder.resolve("a.zip").toString());
    assertThat(typed.exit()).isEqualTo(1);
    assertThat(typed.err()).contains("backup: the database holds no record.");
    assertThat(folder).isEmptyDirectory();
  }

  @Test
  void backupNeedsAFolderAndOneName() {
    refused(backup(folder.resolve("none/a.zip")), "there is no folder ");
    refused(() -> backup().run(List.of(), SILENT), "is called as: backup FILE: ");
    refused(() -> backup().run(List.of("a", "b"), SILENT), "is called as: backup FILE: ");
    refused(() -> restore.run(List.of(), SILENT), "is called as: restore FILE: ");
  }

  @Test
  void onlyTheOwnerReadsTheFile() throws IOException {
    Path file = whole();
    if (file.getFileSystem().supportedFileAttributeViews().contains("posix")) {
      assertThat(Files.getPosixFilePermissions(file)).hasSize(2);
    }
  }

  @Test
  void restoreWantsABackup() throws IOException {
    untouched("there is no file ", folder.resolve("none.zip"));
    untouched("is cut off, or is no zip", Files.writeString(folder.resolve("a.zip"), "no zip"));
    untouched("has no manifest.json", changed(Manifest.ENTRY, null));
    untouched("is not one that this Tarebook reads", changed(Manifest.ENTRY, "{"));
    untouched("is not one that this Tarebook reads", changed(Manifest.ENTRY, "{}"));
    untouched(
        "is of the format tarebook-backup-2",
        changed(Manifest.ENTRY, manifest().replace("backup-1", "backup-2")));
  }

  @Test
  void restoreRefusesAFileCutOffAnywhere() throws IOException {
    byte[] whole = Files.readAllBytes(whole());
    for (int length : new int[] {0, 1, 1000, whole.length / 2, whole.length - 1}) {
      untouched(
          "is cut off", Files.write(folder.resolve(length + ".zip"), Arrays.copyOf(whole, length)));
    }
  }

  @Test
  void restoreNamesTheTableThatIsNotAsItWasWritten() throws IOException {
    untouched("line.csv of ", changed("line.csv", header() + LINE.replace("one", "two")));
    untouched("lacks line.csv", changed("line.csv", null));
    untouched(
        "the manifest.json of ",
        changed(Manifest.ENTRY, manifest().replaceFirst("\"digest\" : \"..", "\"digest\" : \"--")));
    byte[] damaged = Files.readAllBytes(whole());
    int at = new String(damaged, StandardCharsets.ISO_8859_1).indexOf("line.csv") + 12;
    Arrays.fill(damaged, at, at + 8, (byte) 0xff);
    untouched("line.csv", Files.write(folder.resolve("damaged.zip"), damaged));
  }

  @Test
  void restoreRefusesASchemaItDoesNotKnowOrThatIsNotAsTheFileSays() throws IOException {
    String newest = source.bean(Flyway.class).info().current().getVersion().getVersion();
    untouched(
        "is of schema 9999, which this Tarebook does not know",
        changed(
            Manifest.ENTRY, manifest().replace("\"schema\" : \"" + newest, "\"schema\" : \"9999")));
    untouched(
        "the columns of ",
        changed(
            Manifest.ENTRY, manifest().replaceFirst("\"name\" : \"kind\"", "\"name\" : \"sort\"")));
    untouched(
        "the tables of the backup are",
        changed(
            Manifest.ENTRY,
            manifest().replaceFirst("\"name\" : \"line\"", "\"name\" : \"lines\"")));
  }

  @Test
  void restoreLeavesNothingBehindWhereTheDatabaseRefusesARow() throws Exception {
    for (String line :
        new String[] {
          LINE + LINE, LINE.replace("MIXING", "COOKING"), "1,\"L-1\"\r\n", LINE.replace("1,", "x,")
        }) {
      Map<String, String> entries = entries();
      String csv = header() + line;
      entries.put(
          Manifest.ENTRY,
          resigned(manifest().replace(Sha256.of(entries.get("line.csv")), Sha256.of(csv))));
      entries.put("line.csv", csv);
      untouched("", zip(entries));
    }
    restore.run(List.of(whole().toString()), SILENT);
    assertThat(count(target.sql(), "line")).isEqualTo(count(source.sql(), "line"));
    refused(
        () -> restore.run(List.of(whole().toString()), SILENT),
        "the database is not empty: it holds ");
    assertThat(count(target.sql(), "line")).isEqualTo(count(source.sql(), "line"));
  }

  private static long count(JdbcClient sql, String table) {
    return sql.sql("select count(*) from " + table).query(Long.class).single();
  }

  /** The restore is refused for this reason, and the database stays as empty as it was. */
  private void untouched(String why, Path file) {
    refused(() -> restore.run(List.of(file.toString()), SILENT), why);
    try (Connection connection = target.dataSource().getConnection()) {
      assertThat(Catalogue.tableNames(connection, target.vendor())).isEmpty();
      assertThat(Catalogue.of(connection, target.vendor()).sequences()).isEmpty();
    } catch (SQLException failure) {
      throw new IllegalStateException(failure);
    }
  }

  private static void refused(ThrowingCallable work, String why) {
    assertThatThrownBy(work)
        .isInstanceOfAny(Command.Refused.class, DataAccessException.class)
        .hasMessageContaining(why);
  }

  private BackupToFile backup() {
    return source.bean(BackupToFile.class);
  }

  private ThrowingCallable backup(Path file) {
    return () -> backup().run(List.of(file.toString()), SILENT);
  }

  private Path whole() throws IOException {
    Path file = folder.resolve("whole.zip");
    if (!Files.exists(file)) {
      backup().run(List.of(file.toString()), SILENT);
    }
    return file;
  }

  private String manifest() throws IOException {
    return entries().get(Manifest.ENTRY);
  }

  private String header() throws IOException {
    String line = entries().get("line.csv");
    return line.substring(0, line.indexOf('\n') + 1);
  }

  private Map<String, String> entries() throws IOException {
    Map<String, String> entries = new LinkedHashMap<>();
    try (ZipFile zip = new ZipFile(whole().toFile())) {
      for (Enumeration<? extends ZipEntry> all = zip.entries(); all.hasMoreElements(); ) {
        ZipEntry entry = all.nextElement();
        entries.put(
            entry.getName(),
            new String(zip.getInputStream(entry).readAllBytes(), StandardCharsets.UTF_8));
      }
    }
    return entries;
  }

  /** The backup with one entry replaced, or left out. */
  private Path changed(String name, String text) throws IOException {
    Map<String, String> entries = entries();
    if (text == null) {
      entries.remove(name);
    } else {
      entries.put(name, text);
    }
    return zip(entries);
  }

  private Path zip(Map<String, String> entries) throws IOException {
    Path file = Files.createTempFile(folder, "changed", ".zip");
    try (OutputStream out = Files.newOutputStream(file);
        ZipOutputStream zip = new ZipOutputStream(out)) {
      for (Map.Entry<String, String> entry : entries.entrySet()) {
        zip.putNextEntry(new ZipEntry(entry.getKey()));
        zip.write(entry.getValue().getBytes(StandardCharsets.UTF_8));
      }
    }
    return file;
  }

  /** The manifest of someone who knows how its digest is made. */
  private static String resigned(String manifest) {
    Manifest changed =
        tools.jackson.databind.json.JsonMapper.builder()
            .build()
            .readValue(manifest, Manifest.class);
    return manifest.replace(changed.digest(), Manifest.digest(changed.tables()));
  }
}
