package org.tarebook.storage;

import java.util.EnumMap;
import java.util.Map;
import java.util.Optional;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.springframework.stereotype.Component;

/**
 * Logs failures of the database, one line a minute of each kind with their number, since the log
 * often lies on the same disk. A failure that is not the database's is left to who asks.
 */
@Component
public class Outages {

  private static final Logger log = LoggerFactory.getLogger(Outages.class);
  private static final long MINUTE = 60_000_000_000L;

  private static final class Tally {
    private long begun;
    private long failures;
  }

  private final Map<DatabaseFailure, Tally> tallies = new EnumMap<>(DatabaseFailure.class);

  /**
   * Notes what a request or a round of other work ran into.
   *
   * @return how the database failed; empty if it did not, and nothing was logged
   */
  public Optional<DatabaseFailure> note(Throwable failure) {
    Optional<DatabaseFailure> kind = DatabaseFailure.of(failure);
    kind.ifPresent(known -> note(known, failure));
    return kind;
  }

  private synchronized void note(DatabaseFailure kind, Throwable failure) {
    long now = System.nanoTime();
    Tally tally = tallies.get(kind);
    if (tally == null) {
      tally = new Tally();
      tallies.put(kind, tally);
    } else if (now - tally.begun < MINUTE) {
      tally.failures++;
      return;
    }
    log.warn(
        "{}: {}{}",
        switch (kind) {
          case BUSY -> "Other work held the record too long";
          case AWAY -> "The database does not answer";
          case UNCONFIRMED -> "The database failed while it stored";
        },
        reason(failure),
        tally.failures == 0 ? "" : " (" + tally.failures + " more since the last such line)");
    tally.begun = now;
    tally.failures = 0;
  }

  /** Says that the database answers again; the next failure is logged at once. */
  synchronized void over() {
    long failures = tallies.values().stream().mapToLong(tally -> tally.failures).sum();
    log.info("The database answers again ({} failures since the last line)", failures);
    tallies.clear();
  }

  /** The first line of the innermost cause. */
  static String reason(Throwable failure) {
    Throwable innermost = failure;
    while (innermost.getCause() != null) {
      innermost = innermost.getCause();
    }
    String message = String.valueOf(innermost.getMessage());
    return message.lines().findFirst().orElse(innermost.getClass().getSimpleName());
  }
}
