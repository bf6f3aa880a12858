package org.tarebook.storage;

import java.sql.SQLException;
import java.time.Duration;
import java.util.Set;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Waits at the start of the service for a PostgreSQL that does not answer yet, with growing
 * back-off and a line a minute. What waiting does not mend is a failure at once: a wrong password,
 * an unknown database.
 */
final class DatabaseAtStart {

  private static final Logger log = LoggerFactory.getLogger(DatabaseAtStart.class);
  private static final Duration LONGEST_PAUSE = Duration.ofSeconds(8);
  private static final Duration LINE_EVERY = Duration.ofMinutes(1);

  /** No connection; starting or stopping; no connection to spare. */
  private static final Set<String> NOT_YET =
      Set.of("08001", "08003", "08006", "57P01", "57P03", "53300");

  private final String address;
  private final DatabaseConnections connections;

  DatabaseAtStart(String url, DatabaseConnections connections) {
    this.address = url.replaceFirst("^jdbc:", "").replaceFirst("\\?.*", "");
    this.connections = connections;
  }

  /** Returns as soon as the database answers. */
  void await() throws SQLException, InterruptedException {
    long begun = System.nanoTime();
    long said = begun - LINE_EVERY.toNanos();
    for (Duration pause = Duration.ofMillis(500); ; pause = longer(pause)) {
      try {
        connections.open().close();
        return;
      } catch (SQLException failure) {
        if (!NOT_YET.contains(String.valueOf(failure.getSQLState()))) {
          throw failure;
        }
        if (System.nanoTime() - said >= LINE_EVERY.toNanos()) {
          said = System.nanoTime();
          log.warn(
              "Waiting for the database at {} for {} s so far: {}",
              address,
              Duration.ofNanos(said - begun).toSeconds(),
              Outages.reason(failure));
        }
        Thread.sleep(pause.toMillis());
      }
    }
  }

  private static Duration longer(Duration pause) {
    Duration doubled = pause.multipliedBy(2);
    return doubled.compareTo(LONGEST_PAUSE) > 0 ? LONGEST_PAUSE : doubled;
  }
}
