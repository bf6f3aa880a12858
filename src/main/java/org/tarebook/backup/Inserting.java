package org.tarebook.backup;

import java.io.IOException;
import java.io.InputStream;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.SQLException;
import java.util.Collections;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.tarebook.storage.Command.Refused;

/** Loads by inserts in batches, where nothing faster is at hand. */
final class Inserting implements Loading {

  private static final int BATCH = 500;

  private final Connection connection;

  Inserting(Connection connection) {
    this.connection = connection;
  }

  @Override
  public long load(Table table, InputStream csv, Progress progress)
      throws SQLException, IOException {
    CsvRows rows = new CsvRows(csv);
    rows.next();
    List<Table.Column> columns = table.columns();
    String sql =
        "insert into %s (%s) values (%s)"
            .formatted(
                table.name(),
                table.columnNames(),
                String.join(", ", Collections.nCopies(columns.size(), "?")));
    long count = 0;
    try (PreparedStatement insert = connection.prepareStatement(sql)) {
      while (rows.next()) {
        set(insert, table, rows.fields(), ++count);
        insert.addBatch();
        if (count % BATCH == 0) {
          insert.executeBatch();
        }
        progress.row(table.name());
      }
      insert.executeBatch();
    }
    return count;
  }

  private static void set(
      PreparedStatement insert, Table table, List<@Nullable String> fields, long row)
      throws SQLException {
    List<Table.Column> columns = table.columns();
    if (fields.size() != columns.size()) {
      throw new Refused(
          "row %d of %s has %d fields where it should have %d."
              .formatted(row, table.name(), fields.size(), columns.size()));
    }
    for (int i = 0; i < columns.size(); i++) {
      Table.Column column = columns.get(i);
      try {
        column.kind().set(insert, i + 1, fields.get(i));
      } catch (RuntimeException unreadable) {
        throw new Refused(
            "row %d of %s has '%s' where its %s should be a value of the type %s."
                .formatted(row, table.name(), fields.get(i), column.name(), column.kind().word()),
            unreadable);
      }
    }
  }

  @Override
  public void finish() {
    // all was checked with each row
  }
}
