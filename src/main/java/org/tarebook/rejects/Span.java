package org.tarebook.rejects;

import java.time.Instant;

/**
 * A piece of the plant's time.
 *
 * @param from its first moment
 * @param before the first moment after it
 * @param label what it is called
 */
record Span(Instant from, Instant before, String label) {

  boolean holds(Instant moment) {
    return !moment.isBefore(from) && moment.isBefore(before);
  }

  /** Whether a window holds all of it. */
  boolean within(Instant windowFrom, Instant windowBefore) {
    return !from.isBefore(windowFrom) && !before.isAfter(windowBefore);
  }
}
