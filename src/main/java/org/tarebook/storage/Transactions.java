package org.tarebook.storage;

import java.sql.Connection;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Duration;
import java.util.Optional;
import java.util.concurrent.ThreadLocalRandom;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.concurrent.atomic.AtomicReference;
import java.util.function.Supplier;
import javax.sql.DataSource;
import org.springframework.dao.DataAccessException;
import org.springframework.dao.DataAccessResourceFailureException;
import org.springframework.dao.DuplicateKeyException;
import org.springframework.jdbc.datasource.DataSourceUtils;
import org.springframework.stereotype.Component;
import org.springframework.transaction.PlatformTransactionManager;
import org.springframework.transaction.TransactionDefinition;
import org.springframework.transaction.support.TransactionSynchronizationManager;
import org.springframework.transaction.support.TransactionTemplate;

/** Runs work in a transaction: to write, or to read one unchanging picture of the record. */
@Component
public class Transactions {

  private static final int ATTEMPTS = 8;
  private static final String DUPLICATE_KEY = "23505";

  /** Later than this after the first attempt none begins. */
  private static final long DEADLINE = TimeUnit.MILLISECONDS.toNanos(4000);

  /** How long a report waits for PostgreSQL to send something, where the service waits a while. */
  private static final int SILENCE_OF_REPORTS = (int) TimeUnit.MINUTES.toMillis(1);

  private final PlatformTransactionManager manager;
  private final DataSource dataSource;
  private final Vendor vendor;
  private final DiskSpace space;
  private final TransactionTemplate write;
  private final TransactionTemplate snapshot;

  Transactions(
      PlatformTransactionManager manager, DataSource dataSource, Vendor vendor, DiskSpace space) {
    this.manager = manager;
    this.dataSource = dataSource;
    this.vendor = vendor;
    this.space = space;
    write = new TransactionTemplate(manager);
    snapshot = new TransactionTemplate(manager);
    snapshot.setReadOnly(true);
    snapshot.setIsolationLevel(
        vendor == Vendor.H2
            ? TransactionDefinition.ISOLATION_SERIALIZABLE
            : TransactionDefinition.ISOLATION_REPEATABLE_READ);
  }

  /**
   * Runs work that writes, wholly or not at all. It is run again from the start when the database
   * found it in conflict with other work (deadlock, serialization, a key written at the same
   * moment, a lock held for too long), or where the work itself throws {@link Again}, so it must
   * not touch anything outside the database. All attempts share one deadline. Inside other work
   * that writes it becomes part of that, and is run again with it: after a conflict PostgreSQL
   * takes nothing more in the same transaction.
   *
   * @throws UnconfirmedCommit if the database failed while it committed
   */
  public <T> T write(Supplier<T> work) {
    if (TransactionSynchronizationManager.isActualTransactionActive()) {
      return present(write.execute(status -> work.get()));
    }
    space.require();
    long begun = System.nanoTime();
    for (int attempt = 1; ; attempt++) {
      try {
        return run(write, work);
      } catch (Again changed) {
        attempt--; // what is new is known now, so the next attempt needs no pause
        if (System.nanoTime() - begun > DEADLINE) {
          throw changed;
        }
      } catch (DataAccessException conflict) {
        if (attempt == ATTEMPTS
            || !mayPassNextTime(conflict)
            || System.nanoTime() - begun > DEADLINE) {
          throw conflict;
        }
        pause(attempt);
      }
    }
  }

  /** Thrown by work that rests on something that has changed since: it is run again at once. */
  public static final class Again extends RuntimeException {

    /** Work to be run again. */
    public Again(String why) {
      super(why);
    }
  }

  private static boolean mayPassNextTime(DataAccessException failure) {
    if (failure instanceof DuplicateKeyException
        || DatabaseFailure.of(failure).filter(DatabaseFailure.BUSY::equals).isPresent()) {
      return true;
    }
    for (Throwable cause = failure; cause != null; cause = cause.getCause()) {
      if (cause instanceof SQLException sql && DUPLICATE_KEY.equals(sql.getSQLState())) {
        return true; // JPA on H2 tells a duplicate key as any other broken constraint
      }
    }
    return false;
  }

  /**
   * Runs work that only reads, all of it on one picture of the record, until the {@link Deadline}.
   *
   * @throws Deadline.Passed if it took longer
   */
  public <T> T snapshot(Supplier<T> work) {
    Optional<Duration> left = Deadline.left();
    if (left.isEmpty()) {
      return snapshot(snapshot, work);
    }
    Deadline.require();
    TransactionTemplate bounded = new TransactionTemplate(manager, snapshot);
    bounded.setTimeout(Math.toIntExact(left.get().toSeconds() + 1));
    try {
      return snapshot(bounded, work);
    } catch (RuntimeException failure) {
      if (DatabaseFailure.of(failure).filter(DatabaseFailure.BUSY::equals).isPresent()
          && Deadline.left().filter(Duration::isNegative).isPresent()) {
        throw Deadline.passed(failure);
      }
      throw failure;
    }
  }

  private <T> T snapshot(TransactionTemplate template, Supplier<T> work) {
    return run(
        template,
        () -> {
          waitLonger();
          try {
            return work.get();
          } finally {
            if (vendor == Vendor.H2
                && template.getTimeout() != TransactionDefinition.TIMEOUT_DEFAULT) {
              forgetTimeOut();
            }
          }
        });
  }

  /** H2 keeps the time-out of one statement for all that follow on the connection. */
  private void forgetTimeOut() {
    Connection connection = DataSourceUtils.getConnection(dataSource);
    try (Statement statement = connection.createStatement()) {
      statement.setQueryTimeout(0);
    } catch (SQLException failure) {
      throw new DataAccessResourceFailureException("The connection failed", failure);
    } finally {
      DataSourceUtils.releaseConnection(connection, dataSource);
    }
  }

  /** A report may take longer than a posting to its first row. Costs no round trip. */
  private void waitLonger() {
    Connection connection = DataSourceUtils.getConnection(dataSource);
    try {
      if (connection.getNetworkTimeout() > 0) {
        connection.setNetworkTimeout(Runnable::run, SILENCE_OF_REPORTS);
      }
    } catch (SQLException failure) {
      throw new DataAccessResourceFailureException("The connection failed", failure);
    } finally {
      DataSourceUtils.releaseConnection(connection, dataSource);
    }
  }

  /**
   * Runs work in a transaction. What fails first is told: where the database went away, undoing the
   * work fails too. A commit that fails so leaves open what it did.
   */
  private static <T> T run(TransactionTemplate transaction, Supplier<T> work) {
    AtomicReference<RuntimeException> first = new AtomicReference<>();
    AtomicBoolean done = new AtomicBoolean();
    try {
      return present(
          transaction.execute(
              status -> {
                try {
                  T result = work.get();
                  done.set(true);
                  return result;
                } catch (RuntimeException failure) {
                  first.set(failure);
                  throw failure;
                }
              }));
    } catch (RuntimeException failure) {
      RuntimeException told = first.get();
      if (told != null) {
        throw told;
      }
      if (done.get()
          && !transaction.isReadOnly()
          && DatabaseFailure.of(failure).filter(DatabaseFailure.AWAY::equals).isPresent()) {
        throw new UnconfirmedCommit(failure);
      }
      throw failure;
    }
  }

  private static <T> T present(@org.jspecify.annotations.Nullable T result) {
    if (result == null) {
      throw new IllegalStateException("Work in a transaction gave no result");
    }
    return result;
  }

  /**
   * Of chance length: two that were told of the same conflict at once do not meet in step again.
   */
  private static void pause(int attempt) {
    long longest = 5L << Math.min(attempt, 5);
    try {
      Thread.sleep(ThreadLocalRandom.current().nextLong(longest / 2, 2 * longest));
    } catch (InterruptedException interrupted) {
      Thread.currentThread().interrupt();
      throw new IllegalStateException("Interrupted between two attempts to write", interrupted);
    }
  }
}
