package org.tarebook.backup;

import java.io.IOException;
import java.io.OutputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.sql.Connection;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Clock;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Collectors;
import java.util.zip.Deflater;
import java.util.zip.ZipEntry;
import java.util.zip.ZipOutputStream;
import org.springframework.jdbc.core.JdbcTemplate;
import org.springframework.stereotype.Component;
import org.tarebook.storage.Command;
import org.tarebook.storage.Transactions;
import org.tarebook.storage.Vendor;
import tools.jackson.databind.json.JsonMapper;

/** Writes backups: all tables as they stood at one moment, in constant memory. */
@Component
class Backups {

  private final Transactions transactions;
  private final JdbcTemplate jdbc;
  private final Vendor vendor;
  private final Clock clock;
  private final JsonMapper json;

  Backups(
      Transactions transactions, JdbcTemplate jdbc, Vendor vendor, Clock clock, JsonMapper json) {
    this.transactions = transactions;
    this.jdbc = jdbc;
    this.vendor = vendor;
    this.clock = clock;
    this.json = json;
  }

  /**
   * Writes a backup.
   *
   * @param out is left open; on failure what was written is no whole zip
   */
  Manifest write(OutputStream out, Progress progress) {
    return transactions.snapshot(
        () ->
            jdbc.execute(
                (Connection connection) -> {
                  try {
                    return write(connection, out, progress);
                  } catch (IOException failure) {
                    throw new UncheckedIOException(failure);
                  }
                }));
  }

  private Manifest write(Connection connection, OutputStream out, Progress progress)
      throws SQLException, IOException {
    Instant moment = clock.instant().truncatedTo(ChronoUnit.MICROS);
    Catalogue catalogue = Catalogue.of(connection, vendor);
    if (catalogue.tables().isEmpty()) {
      throw new Command.Refused("the database holds no record.");
    }
    ZipOutputStream zip = new ZipOutputStream(out, StandardCharsets.UTF_8);
    zip.setLevel(Deflater.BEST_SPEED);
    List<Manifest.Content> written = new ArrayList<>();
    if (vendor == Vendor.POSTGRESQL) {
      connection.setNetworkTimeout(Runnable::run, 0);
    }
    try (Statement statement = connection.createStatement()) {
      prepare(statement, catalogue);
      TableWriter tables = new TableWriter(statement, vendor, progress);
      try {
        for (Table table : catalogue.tables()) {
          zip.putNextEntry(new ZipEntry(Manifest.Content.fileOf(table)));
          written.add(tables.write(table, zip));
          zip.closeEntry();
        }
      } finally {
        finish(statement);
      }
    }
    Manifest manifest = Manifest.of(catalogue, moment, vendor.name(), written);
    zip.putNextEntry(new ZipEntry(Manifest.ENTRY));
    zip.write(json.writerWithDefaultPrettyPrinter().writeValueAsBytes(manifest));
    zip.finish();
    return manifest;
  }

  /**
   * No migration comes between on PostgreSQL, and a backup waits as long as it takes; H2 hands rows
   * out as it reads them.
   */
  private void prepare(Statement statement, Catalogue catalogue) throws SQLException {
    statement.execute(
        vendor == Vendor.H2
            ? "set lazy_query_execution true"
            : "set local lock_timeout = 0; lock table "
                + catalogue.tables().stream().map(Table::name).collect(Collectors.joining(", "))
                + " in access share mode");
  }

  private void finish(Statement statement) throws SQLException {
    if (vendor == Vendor.H2) {
      statement.execute("set lazy_query_execution false");
    }
  }
}
