package org.tarebook.backup;

import java.io.IOException;
import java.io.InputStream;
import java.io.PrintStream;
import java.io.UncheckedIOException;
import java.sql.Connection;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import javax.sql.DataSource;
import org.flywaydb.core.Flyway;
import org.springframework.jdbc.core.JdbcTemplate;
import org.springframework.jdbc.datasource.DataSourceTransactionManager;
import org.springframework.stereotype.Component;
import org.springframework.transaction.support.TransactionTemplate;
import org.tarebook.storage.Command;
import org.tarebook.storage.EmbeddedFile;
import org.tarebook.storage.NewFile;
import org.tarebook.storage.Vendor;
import tools.jackson.databind.json.JsonMapper;

/**
 * {@code restore FILE}. The database must hold nothing at all. The schema is made as it was when
 * the backup was written, then all rows come in one transaction; a newer Tarebook migrates them
 * when it starts. Where anything fails, what was made is dropped again.
 */
@Component
class RestoreFromFile implements Command {

  private final Flyway flyway;
  private final JdbcTemplate jdbc;
  private final TransactionTemplate transaction;
  private final Vendor vendor;
  private final JsonMapper json;

  /**
   * Uses connections of the migrations, each opened for one step and closed after it, so that an H2
   * file is opened anew between its schema and its rows, and no pool retires a connection
   * meanwhile.
   */
  RestoreFromFile(Flyway flyway, Vendor vendor, JsonMapper json) {
    DataSource dataSource = flyway.getConfiguration().getDataSource();
    this.flyway = flyway;
    this.jdbc = new JdbcTemplate(dataSource);
    this.transaction = new TransactionTemplate(new DataSourceTransactionManager(dataSource));
    this.vendor = vendor;
    this.json = json;
  }

  @Override
  public String name() {
    return "restore";
  }

  @Override
  public String usage() {
    return "FILE: brings a backup into a database that holds nothing yet";
  }

  @Override
  public boolean needsCurrentSchema() {
    return false;
  }

  @Override
  public void run(List<String> arguments, PrintStream progress) throws IOException {
    try (BackupFile file = BackupFile.open(NewFile.of(arguments, this), json)) {
      Manifest manifest = file.manifest();
      requireKnown(manifest.schema());
      onConnection(this::requireEmpty);
      progress.println("Checking the file");
      file.check();
      boolean done = false;
      try {
        makeSchema(manifest);
        transaction.executeWithoutResult(
            status ->
                onConnection(
                    connection ->
                        load(connection, file, Progress.ofRestoring(progress, manifest.rows()))));
        done = true;
      } finally {
        if (!done) {
          onConnection(this::dropAll);
        }
      }
      tidyUp();
      progress.println("Restored " + manifest.summary());
    }
  }

  /**
   * Without statistics the first questions would be planned as if the tables were empty; and H2
   * keeps in its file all that one long transaction wrote over, until it is told to shut down so.
   * That file is a new one.
   */
  private void tidyUp() throws IOException {
    jdbc.execute("analyze");
    if (vendor == Vendor.H2) {
      Optional<EmbeddedFile> compacted =
          EmbeddedFile.of(
              String.valueOf(
                  jdbc.execute((Connection connection) -> connection.getMetaData().getURL())));
      jdbc.execute("checkpoint sync");
      jdbc.execute("shutdown compact");
      if (compacted.isPresent()) {
        compacted.get().restrict();
      }
    }
  }

  private void requireKnown(String schema) {
    boolean known =
        Arrays.stream(flyway.info().all())
            .anyMatch(
                migration ->
                    migration.getVersion() != null
                        && migration.getVersion().getVersion().equals(schema));
    if (!known) {
      throw new Refused(
          "the backup is of schema "
              + schema
              + ", which this Tarebook does not know; restore it with a newer one.");
    }
  }

  private void requireEmpty(Connection connection) throws SQLException {
    List<String> tables = Catalogue.tableNames(connection, vendor);
    if (!tables.isEmpty()) {
      throw new Refused(
          "the database is not empty: it holds %d tables, among them %s. Restore into a new one."
              .formatted(tables.size(), tables.get(0).toLowerCase(Locale.ROOT)));
    }
  }

  private void makeSchema(Manifest manifest) {
    Flyway.configure(flyway.getConfiguration().getClassLoader())
        .configuration(flyway.getConfiguration())
        .target(manifest.schema())
        .load()
        .migrate();
    onConnection(
        connection -> {
          Catalogue made = Catalogue.of(connection, vendor);
          requireSame("sequences", manifest.sequences().keySet(), made.sequences().keySet());
          try (Statement statement = connection.createStatement()) {
            for (Map.Entry<String, Long> sequence : manifest.sequences().entrySet()) {
              statement.execute(
                  "alter sequence %s restart with %d"
                      .formatted(sequence.getKey(), sequence.getValue()));
            }
          }
        });
  }

  private void load(Connection connection, BackupFile file, Progress progress)
      throws SQLException, IOException {
    Catalogue made = Catalogue.of(connection, vendor);
    List<Manifest.Content> contents = file.manifest().tables();
    requireSame(
        "tables",
        contents.stream().map(Manifest.Content::name).sorted().toList(),
        made.tables().stream().map(Table::name).sorted().toList());
    lockAndEmpty(connection, made.tables());
    Loading loading = Loading.on(connection, vendor);
    for (Table table : made.tables()) {
      load(
          loading,
          table,
          contents.stream()
              .filter(one -> one.name().equals(table.name()))
              .findFirst()
              .orElseThrow(),
          file,
          progress);
    }
    loading.finish();
  }

  private static void load(
      Loading loading, Table table, Manifest.Content content, BackupFile file, Progress progress)
      throws SQLException, IOException {
    requireSame(
        "columns of " + table.name(),
        content.columns(),
        table.columns().stream()
            .map(column -> new Manifest.Column(column.name(), column.kind().word()))
            .toList());
    try (InputStream csv = file.open(content)) {
      long rows = loading.load(table, csv, progress);
      if (rows != content.rows()) {
        throw new Refused(
            "%s has %d rows where %s says %d."
                .formatted(content.file(), rows, Manifest.ENTRY, content.rows()));
      }
    }
  }

  /** Nobody writes meanwhile; rows that migrations made are in the backup as well. */
  private void lockAndEmpty(Connection connection, List<Table> tables) throws SQLException {
    try (Statement statement = connection.createStatement()) {
      for (Table table : tables) {
        if (vendor == Vendor.POSTGRESQL) {
          statement.execute("lock table " + table.name() + " in access exclusive mode");
        }
      }
      for (int i = tables.size() - 1; i >= 0; i--) {
        statement.execute("delete from " + tables.get(i).name());
      }
    }
  }

  private void dropAll(Connection connection) throws SQLException {
    try (Statement statement = connection.createStatement()) {
      for (String table : Catalogue.tableNames(connection, vendor)) {
        statement.execute("drop table \"" + table + "\" cascade");
      }
      for (String sequence : Catalogue.of(connection, vendor).sequences().keySet()) {
        statement.execute("drop sequence " + sequence);
      }
    }
  }

  private static void requireSame(String what, Object inFile, Object made) {
    if (!inFile.equals(made)) {
      throw new Refused(
          "the %s of the backup are %s, those of its schema %s.".formatted(what, inFile, made));
    }
  }

  private interface OnConnection {
    void act(Connection connection) throws SQLException, IOException;
  }

  private void onConnection(OnConnection work) {
    jdbc.execute(
        (Connection connection) -> {
          try {
            work.act(connection);
          } catch (IOException failure) {
            throw new UncheckedIOException(failure);
          }
          return true;
        });
  }
}
