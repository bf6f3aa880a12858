package org.tarebook.backup;

import java.io.BufferedWriter;
import java.io.IOException;
import java.io.OutputStream;
import java.io.OutputStreamWriter;
import java.io.UncheckedIOException;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import java.security.DigestOutputStream;
import java.security.MessageDigest;
import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Clock;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.stream.Collectors;
import java.util.zip.Deflater;
import java.util.zip.ZipEntry;
import java.util.zip.ZipOutputStream;
import org.springframework.jdbc.core.JdbcTemplate;
import org.springframework.stereotype.Component;
import org.tarebook.storage.Command;
import org.tarebook.storage.Sha256;
import org.tarebook.storage.Transactions;
import org.tarebook.storage.Vendor;
import tools.jackson.databind.json.JsonMapper;

/** Writes backups: all tables as they stood at one moment, in constant memory. */
@Component
class Backups {

  /** Rows fetched at once. Some are as long as a verdict's findings, so these are few. */
  private static final int FETCHED = 200;

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
    try (Statement statement = connection.createStatement()) {
      prepare(statement, catalogue);
      statement.setFetchSize(FETCHED);
      try {
        for (Table table : catalogue.tables()) {
          zip.putNextEntry(new ZipEntry(Manifest.Content.fileOf(table)));
          written.add(write(table, statement, zip, progress));
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

  /** No migration comes between on PostgreSQL; H2 hands rows out as it reads them. */
  private void prepare(Statement statement, Catalogue catalogue) throws SQLException {
    statement.execute(
        vendor == Vendor.H2
            ? "set lazy_query_execution true"
            : "lock table "
                + catalogue.tables().stream().map(Table::name).collect(Collectors.joining(", "))
                + " in access share mode");
  }

  private void finish(Statement statement) throws SQLException {
    if (vendor == Vendor.H2) {
      statement.execute("set lazy_query_execution false");
    }
  }

  private Manifest.Content write(
      Table table, Statement statement, OutputStream out, Progress progress)
      throws SQLException, IOException {
    MessageDigest digest = Sha256.digest();
    // An encoder made so refuses what is no Unicode, where the usual one writes question marks
    Writer csv =
        new BufferedWriter(
            new OutputStreamWriter(
                new DigestOutputStream(out, digest), StandardCharsets.UTF_8.newEncoder()),
            1 << 16);
    csv.write(table.columnNames().replace(" ", ""));
    csv.write("\r\n");
    long rows = 0;
    try (ResultSet row = statement.executeQuery(table.selectAll(vendor))) {
      while (row.next()) {
        writeRow(table.columns(), row, csv);
        rows++;
        progress.row(table.name());
      }
    }
    csv.flush();
    return Manifest.Content.of(table, rows, HexFormat.of().formatHex(digest.digest()));
  }

  private static void writeRow(List<Table.Column> columns, ResultSet row, Writer csv)
      throws SQLException, IOException {
    for (int i = 0; i < columns.size(); i++) {
      if (i > 0) {
        csv.write(',');
      }
      Kind kind = columns.get(i).kind();
      String text = kind.text(row, i + 1);
      if (text == null || row.wasNull()) {
        continue;
      }
      if (kind.quoted()) {
        csv.write('"');
        csv.write(text.indexOf('"') < 0 ? text : text.replace("\"", "\"\""));
        csv.write('"');
      } else {
        csv.write(text);
      }
    }
    csv.write("\r\n");
  }
}
