package org.tarebook.reading;

import java.time.Instant;
import java.time.temporal.ChronoUnit;

/**
 * What of a chart's record is looked at: what was written under a version of its lock or an earlier
 * one, and of masters and responses what was recorded by a moment.
 */
public record AsOf(long version, Instant moment) {

  /** What it means to ask for figures as of a moment, in the API document. */
  public static final String ASKED =
      "Figures as they stood at the beginning of this minute: without what was written since. The"
          + " answer names that moment and tells how much was written since.";

  /**
   * The moment that an answer as of another one stands for: the beginning of its minute, since the
   * versions of locks are noted with the minute in which they began.
   */
  public static Instant standing(Instant asked) {
    return asked.truncatedTo(ChronoUnit.MINUTES);
  }

  /** Everything written so far. */
  public static final AsOf NOW = new AsOf(Long.MAX_VALUE, Instant.MAX);

  /** Whether everything written so far is looked at. */
  public boolean isNow() {
    return equals(NOW);
  }
}
