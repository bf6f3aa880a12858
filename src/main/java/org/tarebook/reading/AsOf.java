package org.tarebook.reading;

import java.time.Instant;

/**
 * What of a chart's record is looked at: what was written under a version of its lock or an earlier
 * one, and of masters and responses what was recorded by a moment.
 */
public record AsOf(long version, Instant moment) {

  /** What it means to ask for figures as of a moment, in the API document. */
  public static final String ASKED =
      "Figures as they stood at this moment: without what was written since. The answer tells how"
          + " much that is.";

  /** Everything written so far. */
  public static final AsOf NOW = new AsOf(Long.MAX_VALUE, Instant.MAX);

  /** Whether everything written so far is looked at. */
  public boolean isNow() {
    return equals(NOW);
  }
}
