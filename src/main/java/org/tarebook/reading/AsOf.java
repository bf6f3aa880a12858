package org.tarebook.reading;

import java.time.Instant;
import java.time.temporal.ChronoUnit;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;

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

  /**
   * Refuses a moment whose record is not known yet.
   *
   * @throws Problem at {@code asOf} if it lies after now
   */
  public static void requireReached(Instant standing, Instant now) {
    if (standing.isAfter(now)) {
      throw Problem.at(
          ProblemType.RULE_BROKEN,
          "asOf",
          "is %s, which is still to come (the service's clock shows %s); ask for a moment that has"
                  .formatted(standing, now.truncatedTo(ChronoUnit.SECONDS))
              + " passed, or leave it out for now");
    }
  }

  /** Everything written so far. */
  public static final AsOf NOW = new AsOf(Long.MAX_VALUE, Instant.MAX);

  /** Whether everything written so far is looked at. */
  public boolean isNow() {
    return equals(NOW);
  }
}
