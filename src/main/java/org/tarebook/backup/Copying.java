package org.tarebook.backup;

import java.io.IOException;
import java.io.InputStream;
import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.List;
import org.postgresql.PGConnection;
import org.postgresql.copy.CopyIn;
import org.postgresql.copy.CopyManager;

/**
 * Loads by PostgreSQL's own copying, which reads the CSV as it is. Foreign keys are taken off and
 * put back behind the last row, in the same transaction: so each is checked once and not row by
 * row.
 */
final class Copying implements Loading {

  private final CopyManager copies;
  private final Statement statement;
  private final List<String> keysAgain = new ArrayList<>();
  private final byte[] buffer = new byte[1 << 16];

  Copying(Connection connection) throws SQLException {
    copies = connection.unwrap(PGConnection.class).getCopyAPI();
    statement = connection.createStatement();
    takeForeignKeysOff();
  }

  private void takeForeignKeysOff() throws SQLException {
    List<String> off = new ArrayList<>();
    try (ResultSet keys =
        statement.executeQuery(
            "select quote_ident(t.relname), quote_ident(c.conname), pg_get_constraintdef(c.oid)"
                + " from pg_constraint c join pg_class t on t.oid = c.conrelid"
                + " where c.contype = 'f' and c.connamespace = current_schema::regnamespace"
                + " order by 1, 2")) {
      while (keys.next()) {
        String constraint =
            "alter table " + keys.getString(1) + " %s constraint " + keys.getString(2);
        off.add(constraint.formatted("drop"));
        keysAgain.add(constraint.formatted("add") + " " + keys.getString(3));
      }
    }
    execute(off);
  }

  @Override
  public long load(Table table, InputStream csv, Progress progress)
      throws SQLException, IOException {
    CopyIn copy =
        copies.copyIn(
            "copy %s (%s) from stdin (format csv, header true)"
                .formatted(table.name(), table.columnNames()));
    try {
      boolean quoted = false;
      for (int read = csv.read(buffer); read >= 0; read = csv.read(buffer)) {
        for (int i = 0; i < read; i++) {
          if (buffer[i] == '"') {
            quoted = !quoted;
          } else if (buffer[i] == '\n' && !quoted) {
            progress.row(table.name());
          }
        }
        copy.writeToCopy(buffer, 0, read);
      }
      return copy.endCopy();
    } finally {
      if (copy.isActive()) {
        copy.cancelCopy();
      }
    }
  }

  @Override
  public void finish() throws SQLException {
    execute(keysAgain);
    statement.close();
  }

  private void execute(List<String> commands) throws SQLException {
    for (String command : commands) {
      statement.execute(command);
    }
  }
}
