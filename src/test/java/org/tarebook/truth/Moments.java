package org.tarebook.truth;

import java.time.Duration;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.List;
import java.util.Random;

/** Random moments of the last six weeks, to the microsecond. */
final class Moments {

  private static final long WEEKS = Duration.ofDays(42).toSeconds();

  private Moments() {}

  static Instant now() {
    return Instant.now().truncatedTo(ChronoUnit.MICROS);
  }

  /**
   * When a reading is measured: mostly in the last hours or about the same time on some days of the
   * last six weeks, so that shifts fill; sometimes anywhere, sometimes ahead of the clock.
   */
  static Instant measured(Random random, boolean late) {
    int kind = late ? 6 + random.nextInt(4) : random.nextInt(10);
    long hours = random.nextInt(6 * 3600);
    long seconds =
        kind < 5
            ? hours
            : kind < 9
                ? hours + Duration.ofDays(5L * random.nextInt(9)).toSeconds()
                : (long) (random.nextDouble() * WEEKS);
    Instant at = now().minusSeconds(seconds).plusSeconds(random.nextInt(20) == 0 ? 30 : 0);
    return random.nextInt(3) == 0
        ? at.truncatedTo(ChronoUnit.SECONDS)
        : at.plusNanos(random.nextInt(1_000_000_000));
  }

  /** Anywhere, up to a minute from now. */
  static Instant any(Random random) {
    return now()
        .plusSeconds(60)
        .minusNanos(1000L * (long) (Math.pow(random.nextDouble(), 3) * WEEKS * 1e6));
  }

  /** A window. */
  record Window(Instant from, Instant before) {}

  /**
   * A window: its ends anywhere, on the very microsecond of a reading or one beside it, or where a
   * shift begins.
   */
  static Window window(Random random, List<Facts.Row> rows) {
    Instant one = end(random, rows);
    Instant other = random.nextInt(4) == 0 ? now().plusSeconds(60) : end(random, rows);
    if (one.equals(other)) {
      other = other.plusNanos(1000);
    }
    return one.isBefore(other) ? new Window(one, other) : new Window(other, one);
  }

  private static Instant end(Random random, List<Facts.Row> rows) {
    int kind = random.nextInt(5);
    if (kind < 2 && !rows.isEmpty()) {
      return rows.get(random.nextInt(rows.size())).at().plusNanos(1000L * (random.nextInt(3) - 1));
    }
    Instant any = any(random);
    return kind == 2
        ? any.truncatedTo(ChronoUnit.DAYS).plusSeconds(3600L * (5 + 8 * random.nextInt(3)))
        : any;
  }
}
