package org.tarebook.storage;

import java.sql.SQLException;
import java.util.function.Supplier;
import org.springframework.dao.ConcurrencyFailureException;
import org.springframework.dao.DataAccessException;
import org.springframework.dao.DuplicateKeyException;
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

  private final TransactionTemplate write;
  private final TransactionTemplate snapshot;

  Transactions(PlatformTransactionManager manager, Vendor vendor) {
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
   * moment), so it must not touch anything outside the database. Inside other work that writes it
   * becomes part of that, and is run again with it: after a conflict PostgreSQL takes nothing more
   * in the same transaction.
   */
  public <T> T write(Supplier<T> work) {
    if (TransactionSynchronizationManager.isActualTransactionActive()) {
      return present(write.execute(status -> work.get()));
    }
    for (int attempt = 1; ; attempt++) {
      try {
        return present(write.execute(status -> work.get()));
      } catch (DataAccessException conflict) {
        if (attempt == ATTEMPTS || !mayPassNextTime(conflict)) {
          throw conflict;
        }
        pause(attempt);
      }
    }
  }

  private static boolean mayPassNextTime(DataAccessException failure) {
    if (failure instanceof ConcurrencyFailureException
        || failure instanceof DuplicateKeyException) {
      return true;
    }
    for (Throwable cause = failure; cause != null; cause = cause.getCause()) {
      if (cause instanceof SQLException sql && DUPLICATE_KEY.equals(sql.getSQLState())) {
        return true; // JPA on H2 tells a duplicate key as any other broken constraint
      }
    }
    return false;
  }

  /** Runs work that only reads, all of it on one picture of the record. */
  public <T> T snapshot(Supplier<T> work) {
    return present(snapshot.execute(status -> work.get()));
  }

  private static <T> T present(@org.jspecify.annotations.Nullable T result) {
    if (result == null) {
      throw new IllegalStateException("Work in a transaction gave no result");
    }
    return result;
  }

  private static void pause(int attempt) {
    try {
      Thread.sleep(5L << Math.min(attempt, 5));
    } catch (InterruptedException interrupted) {
      Thread.currentThread().interrupt();
      throw new IllegalStateException("Interrupted between two attempts to write", interrupted);
    }
  }
}
