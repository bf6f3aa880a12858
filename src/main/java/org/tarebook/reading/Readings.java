package org.tarebook.reading;

import java.time.Instant;
import java.util.Collection;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Service;
import org.tarebook.audit.Actor;
import org.tarebook.http.Problem;
import org.tarebook.storage.Transactions;

/** The readings of the plant: taken in, and given to the features that study them. */
@Service
public class Readings {

  private final Transactions transactions;
  private final Intake intake;
  private final ReadingStore store;
  private final WindowStore windows;
  private final UncountedStore uncounted;
  private final AttemptStore attempts;

  Readings(
      Transactions transactions,
      Intake intake,
      ReadingStore store,
      WindowStore windows,
      UncountedStore uncounted,
      AttemptStore attempts) {
    this.transactions = transactions;
    this.intake = intake;
    this.store = store;
    this.windows = windows;
    this.uncounted = uncounted;
    this.attempts = attempts;
  }

  /** Takes postings in, in one transaction: what is not refused is stored when this returns. */
  public Recorded record(List<Posting> postings, Actor actor) {
    return transactions.write(() -> intake.record(postings, actor));
  }

  /** The readings a station posted under keys, in the order of keys. */
  public List<Reading> find(long stationId, Collection<String> keys) {
    return store.findByKeys(Map.of(stationId, keys));
  }

  /** One reading. */
  public Reading get(long id) {
    List<Reading> found = store.findByIds(List.of(id));
    if (found.isEmpty()) {
      throw Problem.notFound("reading", String.valueOf(id));
    }
    return found.get(0);
  }

  /** The readings of a window that count, in order. */
  public List<ReadingWindow.Row> counted(ReadingWindow.Asked asked) {
    return windows.counted(asked);
  }

  /** Refuses a window of which more readings are wanted in memory than may be. */
  public void requireFew(ReadingWindow.Asked asked, int readings) {
    windows.requireFew(asked, readings);
  }

  /** How many readings of a window do not count, each under the first of its causes. */
  public Map<Cause, Long> uncounted(ReadingWindow.Asked asked) {
    return uncounted.count(asked);
  }

  /**
   * How many readings of a chart's window were written, voided, doubted or moved into other shifts
   * since a lock version.
   */
  public long changedSince(ReadingWindow.Asked asked, long version) {
    return windows.changedSince(asked, version);
  }

  /** Whether shift calendars have moved a part of a window into other shifts since a version. */
  public boolean cutAgainSince(ReadingWindow.Asked asked, long version) {
    return windows.cutAgainSince(asked, version);
  }

  /**
   * What became of each item measured in a window, in the order of its readings: true for one that
   * did not fail. Readings that were amended or not judged are left out; as judged when they were
   * taken.
   */
  public List<List<Boolean>> attempts(ReadingWindow.Asked asked) {
    return attempts.of(asked);
  }

  /** Measuring time of the first reading of a window, whether it counts or not, if there is one. */
  public @Nullable Instant firstOf(ReadingWindow.Asked asked) {
    return windows.first(asked);
  }

  /** Measuring time of the last reading of a window, whether it counts or not, if there is one. */
  public @Nullable Instant lastOf(ReadingWindow.Asked asked) {
    return windows.last(asked);
  }

  /** Measuring time of the last reading of a window that counts, or counted, if there is one. */
  public @Nullable Instant lastCountedOf(ReadingWindow.Asked asked) {
    return windows.lastCounted(asked);
  }

  /** The version of the chart's lock of the last fact about readings of a window; 0 without one. */
  public long lastChange(ReadingWindow.Asked asked) {
    return windows.lastChange(asked);
  }
}
