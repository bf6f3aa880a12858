package org.tarebook.backup;

import java.io.BufferedWriter;
import java.io.IOException;
import java.io.OutputStream;
import java.io.OutputStreamWriter;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import java.security.DigestOutputStream;
import java.security.MessageDigest;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.HexFormat;
import java.util.List;
import org.tarebook.storage.Sha256;
import org.tarebook.storage.Vendor;

/** Writes tables as CSV, row by row. */
final class TableWriter {

  /** Rows fetched at once. Some are as long as a verdict's findings, so these are few. */
  private static final int FETCHED = 200;

  private final Statement statement;
  private final Vendor vendor;
  private final Progress progress;

  /**
   * @param statement of a connection without automatic commits, with which PostgreSQL would hand
   *     all rows out at once
   */
  TableWriter(Statement statement, Vendor vendor, Progress progress) throws SQLException {
    this.statement = statement;
    this.vendor = vendor;
    this.progress = progress;
    statement.setFetchSize(FETCHED);
  }

  /** Writes all rows of a table, and says what was written. */
  Manifest.Content write(Table table, OutputStream out) throws SQLException, IOException {
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
