package org.tarebook.segment;

import java.time.Instant;
import org.jspecify.annotations.Nullable;
import org.tarebook.control.Summary;

/**
 * A kept summary of a chart.
 *
 * @param starts first moment of its first shift
 * @param ends first moment after its last shift
 * @param changedVersion version of the chart's lock of the last fact in it, 0 while stale
 * @param packed its summary; absent while stale
 */
@SuppressWarnings("ArrayRecordComponent") // compared by nobody; unpacked only where it is used
record Segment(
    Span span, Instant starts, Instant ends, long changedVersion, byte @Nullable [] packed) {

  /** How long segments are. */
  enum Span {
    SHIFT,
    MONTH
  }

  static Segment stale(Span span, Instant starts, Instant ends) {
    return new Segment(span, starts, ends, 0, null);
  }

  static Segment of(Span span, Instant starts, Instant ends, long changedVersion, Summary summary) {
    return new Segment(span, starts, ends, changedVersion, PackedSummary.pack(summary));
  }

  /** Whether it may not be used: one that waits to be built again, or is packed another way. */
  boolean stale() {
    return packed == null || !PackedSummary.readable(packed);
  }

  /** What its readings come to; nothing while stale. */
  Summary summary() {
    return packed == null || stale() ? Summary.EMPTY : PackedSummary.unpack(packed);
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
