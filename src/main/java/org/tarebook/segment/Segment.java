package org.tarebook.segment;

import java.time.Instant;
import org.jspecify.annotations.Nullable;
import org.tarebook.control.Summary;

/**
 * A kept summary of a chart.
 *
 * @param starts first moment of its first shift
 * @param ends first moment behind its last shift
 * @param changedVersion version of the chart's lock of the last fact in it, 0 while stale
 * @param summary absent while stale
 */
record Segment(
    Span span, Instant starts, Instant ends, long changedVersion, @Nullable Summary summary) {

  /** How long segments are. */
  enum Span {
    SHIFT,
    MONTH
  }

  /** Whether it lies in a half-open window. */
  boolean within(Instant from, Instant before) {
    return !starts.isBefore(from) && !ends.isAfter(before);
  }

  /** Whether a moment parts it in two. */
  boolean holdsInside(Instant moment) {
    return moment.isAfter(starts) && moment.isBefore(ends);
  }
}
