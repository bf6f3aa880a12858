package org.tarebook.storage;

import java.sql.SQLException;
import java.sql.SQLTransientConnectionException;
import java.util.Optional;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.springframework.dao.ConcurrencyFailureException;
import org.springframework.dao.DataAccessResourceFailureException;
import org.springframework.dao.NonTransientDataAccessResourceException;
import org.springframework.dao.QueryTimeoutException;
import org.springframework.dao.TransientDataAccessException;
import org.springframework.transaction.TransactionTimedOutException;

/**
 * How the database failed, where a failure is the database's and no fault of the service or of a
 * request. All that answers, logs or tries again asks here, so that they agree.
 */
public enum DatabaseFailure {
  /** Other work held what was needed for too long, or conflicted with it too often. */
  BUSY,
  /** It cannot be reached, was stopped, cannot read or write its files, or gave no answer. */
  AWAY,
  /** It failed while it committed, so that the work may be stored or not. */
  UNCONFIRMED;

  /** Conflicts, and waits that the database or an operator ended. */
  private static final Set<String> BUSY_STATES =
      Set.of(
          "55P03", // lock_timeout
          "57014", // statement cancelled, on both databases
          "HYT00", // H2: time-out of a lock
          "90131"); // H2: the row was changed meanwhile

  private static final Set<String> AWAY_STATES =
      Set.of(
          "25006", // PostgreSQL became a standby
          "3D000", // the database was dropped
          "90007", // H2: the connection was closed under its user
          "90013", // H2: there is no file
          "90020", // H2: another process has the file
          "90028", // H2: input or output failed
          "90030", // H2: the file is damaged
          "90031", // H2: input or output failed
          "90067", // H2: the connection broke
          "90097", // H2: the file may not be written
          "90098", // H2: the database has been closed
          "90121", // H2: the database is closing
          "90135", // H2: somebody has the database alone
          "XX001", // PostgreSQL: damaged data
          "XX002"); // PostgreSQL: a damaged index

  /** Connections, resources, an operator's hand, the system's own errors, refused log-ins. */
  private static final Set<String> AWAY_CLASSES = Set.of("08", "28", "53", "57", "58");

  /**
   * H2 tells a store that failed as a general error of this cause, and a time-out of a lock too.
   */
  private static final String H2_STORE_FAILED = "org.h2.mvstore.MVStoreException";

  /** A pooled connection whose database failed before answers any use so, without a state. */
  private static final String EVICTED = "Connection is closed";

  /** What a failure says of the database; empty if it says nothing. */
  public static Optional<DatabaseFailure> of(Throwable failure) {
    DatabaseFailure found = null;
    for (Throwable cause = failure; cause != null; cause = cause.getCause()) {
      boolean lockedRow = found == BUSY && cause.getClass().getName().equals(H2_STORE_FAILED);
      DatabaseFailure here = lockedRow ? null : here(cause);
      if (here != null && (found == null || here.compareTo(found) > 0)) {
        found = here;
      }
    }
    return Optional.ofNullable(found);
  }

  private static @Nullable DatabaseFailure here(Throwable cause) {
    if (cause instanceof SQLException sql) {
      DatabaseFailure worst = null;
      for (SQLException next = sql; next != null; next = next.getNextException()) {
        DatabaseFailure one = ofSql(next);
        if (one != null && (worst == null || one.compareTo(worst) > 0)) {
          worst = one;
        }
      }
      return worst;
    }
    if (cause instanceof UnconfirmedCommit) {
      return UNCONFIRMED;
    }
    if (cause instanceof Transactions.Again
        || cause instanceof ConcurrencyFailureException
        || cause instanceof QueryTimeoutException
        || cause instanceof TransactionTimedOutException) {
      return BUSY;
    }
    return cause instanceof DataAccessResourceFailureException
            || cause instanceof NonTransientDataAccessResourceException
            || cause instanceof TransientDataAccessException
            || cause.getClass().getName().equals(H2_STORE_FAILED)
        ? AWAY
        : null;
  }

  private static @Nullable DatabaseFailure ofSql(SQLException sql) {
    String state = sql.getSQLState();
    if (sql instanceof SQLTransientConnectionException) {
      return AWAY;
    }
    if (state == null) {
      return EVICTED.equals(sql.getMessage()) ? AWAY : null;
    }
    if (BUSY_STATES.contains(state) || state.startsWith("40")) {
      return BUSY;
    }
    return AWAY_STATES.contains(state)
            || (state.length() == 5 && AWAY_CLASSES.contains(state.substring(0, 2)))
        ? AWAY
        : null;
  }
}
