package org.tarebook.storage;

import org.springframework.context.event.EventListener;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Component;

/**
 * Ids for facts that are written in bulk: blocks of a thousand are taken from the sequence {@code
 * fact_seq}, so that a reading costs no round trip for its id. Ids rise within one process but not
 * across processes; gaps are harmless.
 */
@Component
public class Ids {

  private static final int BLOCK = 1000;

  private final JdbcClient jdbc;
  private final String nextBlock;
  private volatile boolean forgotten;
  private long next;
  private long end;

  Ids(JdbcClient jdbc, Vendor vendor) {
    this.jdbc = jdbc;
    this.nextBlock = vendor.nextValue("fact_seq");
  }

  /** An id that was never given before. */
  public synchronized long next() {
    if (next == end || forgotten) {
      forgotten = false;
      next = jdbc.sql(nextBlock).query(Long.class).single();
      end = next + BLOCK;
    }
    return next++;
  }

  /** Takes a new block next time: the sequence may give the present one out again. */
  @EventListener(DatabaseReopened.class)
  public void forget() {
    forgotten = true;
  }
}
