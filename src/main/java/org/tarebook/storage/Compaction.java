package org.tarebook.storage;

import java.sql.Connection;
import java.sql.SQLException;
import javax.sql.DataSource;
import org.h2.engine.SessionLocal;
import org.h2.jdbc.JdbcConnection;
import org.h2.mvstore.MVStore;
import org.h2.mvstore.MVStoreException;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.springframework.boot.jdbc.autoconfigure.JdbcConnectionDetails;
import org.springframework.jdbc.datasource.DataSourceUtils;
import org.springframework.scheduling.annotation.Scheduled;
import org.springframework.stereotype.Component;

/**
 * Keeps the open file of H2 from growing without end. Each commit is written after the last one,
 * and leaves old pages in the blocks before; a block is written over once none of its pages is in
 * use. With {@code WRITE_DELAY=0}, which forced commits need, H2 has no thread of its own that
 * moves the last pages out of blocks that are mostly old, so this does it, a little at a time.
 */
@Component
final class Compaction {

  /** A file below this size is left alone, in bytes. */
  static final long SMALL = 16L << 20;

  /** The share of pages in use below which blocks are emptied, in percent. */
  private static final int FILLED = 50;

  /** How much is moved in one go, in bytes: postings wait meanwhile. */
  private static final int AT_ONCE = 512 << 10;

  /** So often in one turn. */
  private static final int MOST = 8;

  private static final Logger log = LoggerFactory.getLogger(Compaction.class);

  private final DataSource dataSource;
  private final boolean embedded;
  private long seen = -1;

  Compaction(DataSource dataSource, JdbcConnectionDetails details) {
    this.dataSource = dataSource;
    this.embedded = EmbeddedFile.of(details.getJdbcUrl()).isPresent();
  }

  /**
   * Moves some pages if something was written since the last time. A file that has failed is left
   * to those who read and write it.
   */
  @Scheduled(fixedDelayString = "${tarebook.compacting}")
  void compact() {
    if (!embedded) {
      return;
    }
    try {
      MVStore store = store();
      if (store.getCurrentVersion() == seen || store.getFileStore().size() <= SMALL) {
        return;
      }
      boolean more = true;
      for (int i = 0; i < MOST && more; i++) {
        more = store.compact(FILLED, AT_ONCE);
      }
      if (!more) {
        seen = store.getCurrentVersion();
      }
    } catch (SQLException | MVStoreException failed) {
      log.debug("Not compacted", failed);
    }
  }

  private MVStore store() throws SQLException {
    Connection connection = DataSourceUtils.doGetConnection(dataSource);
    try {
      SessionLocal session = (SessionLocal) connection.unwrap(JdbcConnection.class).getSession();
      return session.getDatabase().getStore().getMvStore();
    } finally {
      DataSourceUtils.releaseConnection(connection, dataSource);
    }
  }
}
