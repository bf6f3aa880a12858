package org.tarebook.storage;

import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Component;
import org.springframework.transaction.support.TransactionSynchronization;
import org.springframework.transaction.support.TransactionSynchronizationManager;

/**
 * A number that grows with every change of plant, specification or control plan, in the same
 * transaction. Copies of the service compare it to know whether what they hold in memory is
 * current.
 */
@Component
public class MasterVersion {

  private final JdbcClient jdbc;

  MasterVersion(JdbcClient jdbc) {
    this.jdbc = jdbc;
  }

  /** The number now. */
  public long read() {
    return jdbc.sql("select version from master_version").query(Long.class).single();
  }

  /** Keeps every other copy from changing master data or making tokens until the work ends. */
  public void lock() {
    jdbc.sql("select version from master_version for update").query(Long.class).single();
  }

  /** Marks a change. */
  public void bump() {
    jdbc.sql("update master_version set version = version + 1").update();
    if (TransactionSynchronizationManager.isSynchronizationActive() && !bumpedHere()) {
      TransactionSynchronizationManager.bindResource(this, true);
      TransactionSynchronizationManager.registerSynchronization(
          new TransactionSynchronization() {
            @Override
            public void afterCompletion(int status) {
              TransactionSynchronizationManager.unbindResource(MasterVersion.this);
            }
          });
    }
  }

  /** Whether the current transaction has marked a change, which may yet be undone. */
  public boolean bumpedHere() {
    return TransactionSynchronizationManager.hasResource(this);
  }
}
