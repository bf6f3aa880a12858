package org.tarebook.segment;

import java.time.Duration;
import java.time.Instant;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;

/**
 * How long a segment is left alone that goes stale again and again, as while a history is posted:
 * the builder would else read all of it under the chart's lock after every chunk. Each time the
 * pause is twice as long as before; a segment that stays as it was built is forgotten.
 */
final class Patience {

  private static final int LONGEST = 64;

  private final Duration pause;
  private final Map<Key, Mended> mended = new ConcurrentHashMap<>();

  /**
   * Knows no segment.
   *
   * @param pause the first, and a 64th of the longest
   */
  Patience(Duration pause) {
    this.pause = pause;
  }

  private record Key(long chartId, Segment.Span span, Instant starts) {
    static Key of(long chartId, Segment segment) {
      return new Key(chartId, segment.span(), segment.starts());
    }
  }

  private record Mended(Instant at, Duration pause) {}

  /** Whether a stale segment is to be mended. */
  boolean isDue(long chartId, Segment stale, Instant now) {
    Mended last = mended.get(Key.of(chartId, stale));
    return last == null || !now.isBefore(last.at().plus(last.pause()));
  }

  /** Notes that one is mended now. */
  void note(long chartId, Segment stale, Instant now) {
    mended.merge(
        Key.of(chartId, stale),
        new Mended(now, pause),
        (last, first) -> new Mended(now, longer(last.pause())));
  }

  private Duration longer(Duration last) {
    Duration longest = pause.multipliedBy(LONGEST);
    Duration twice = last.multipliedBy(2);
    return twice.compareTo(longest) < 0 ? twice : longest;
  }

  /** Forgets those that have not gone stale for twice their pause. */
  void forget(Instant now) {
    mended.values().removeIf(last -> now.isAfter(last.at().plus(last.pause().multipliedBy(2))));
  }
}
