package org.tarebook.backup;

import java.io.IOException;
import java.io.InputStream;
import java.sql.Connection;
import java.sql.SQLException;

/** A way to bring the rows of a table into the database. */
interface Loading {

  /**
   * Brings all rows in.
   *
   * @param csv with its header, which is as the table's columns stand
   * @return how many rows there were
   */
  long load(Table table, InputStream csv, Progress progress) throws SQLException, IOException;

  /** What is to be done when all tables are loaded, in the same transaction. */
  void finish() throws SQLException;

  /** The way of a database, on a connection in a transaction. */
  static Loading on(Connection connection, org.tarebook.storage.Vendor vendor) throws SQLException {
    return switch (vendor) {
      case H2 -> new Inserting(connection);
      case POSTGRESQL -> new Copying(connection);
    };
  }
}
