package org.tarebook.storage;

import java.sql.Connection;
import java.sql.SQLException;
import java.sql.Statement;
import javax.sql.DataSource;
import org.jspecify.annotations.Nullable;
import org.springframework.dao.TransientDataAccessResourceException;
import org.springframework.jdbc.datasource.DataSourceUtils;
import org.springframework.transaction.TransactionExecution;
import org.springframework.transaction.TransactionExecutionListener;

/**
 * Makes commits on the embedded H2 file survive a killed process or a power cut: after each commit
 * that wrote, and before anything is acknowledged, the file is forced to disk. Waiting commits
 * share one force: whoever commits while one runs is served by the next. A force of a file that was
 * opened again meanwhile serves nobody who committed before: that connection is closed then.
 */
final class Durability implements TransactionExecutionListener {

  private final DataSource dataSource;
  private final Object turn = new Object();
  private long asked;
  private long done;
  private boolean running;

  Durability(DataSource dataSource) {
    this.dataSource = dataSource;
  }

  @Override
  public void afterCommit(TransactionExecution transaction, @Nullable Throwable commitFailure) {
    if (commitFailure == null && !transaction.isReadOnly() && transaction.isNewTransaction()) {
      force();
    }
  }

  private void force() {
    long serving;
    synchronized (turn) {
      long mine = ++asked;
      try {
        while (running && done < mine) {
          turn.wait();
        }
      } catch (InterruptedException interrupted) {
        Thread.currentThread().interrupt();
        throw new TransientDataAccessResourceException(
            "Interrupted while the database file was forced to disk", interrupted);
      }
      if (done >= mine) {
        serving = -1;
      } else {
        running = true;
        serving = asked;
      }
    }
    if (serving < 0) {
      onOwnConnection(Durability::requireOpen);
      return;
    }
    boolean succeeded = false;
    try {
      onOwnConnection(Durability::checkpoint);
      succeeded = true;
    } finally {
      synchronized (turn) {
        running = false;
        if (succeeded) {
          done = Math.max(done, serving);
        }
        turn.notifyAll();
      }
    }
  }

  private interface Act {
    void on(Connection connection) throws SQLException;
  }

  /**
   * Acts on the transaction's own connection, which is still at hand: taking another one here would
   * lock all up once every connection of the pool waits for one more.
   */
  private void onOwnConnection(Act act) {
    Connection connection = null;
    try {
      connection = DataSourceUtils.doGetConnection(dataSource);
      act.on(connection);
    } catch (SQLException failure) {
      throw new TransientDataAccessResourceException(
          "The database file could not be forced to disk", failure);
    } finally {
      DataSourceUtils.releaseConnection(connection, dataSource);
    }
  }

  private static void checkpoint(Connection connection) throws SQLException {
    try (Statement statement = connection.createStatement()) {
      statement.execute("checkpoint sync");
    }
  }

  private static void requireOpen(Connection connection) throws SQLException {
    if (!connection.isValid(0)) {
      throw new SQLException("The database file was closed after the commit");
    }
  }
}
