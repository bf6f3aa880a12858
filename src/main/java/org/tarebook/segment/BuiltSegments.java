package org.tarebook.segment;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Collection;
import java.util.List;
import java.util.Map;
import org.tarebook.plant.Shifts;
import org.tarebook.reading.ReadingWindow;

/**
 * What is built of some charts in a window, looked up for all of them at once: how far, its months,
 * and the shifts of the months that it begins and ends in. The shifts of a month between, which are
 * wanted only where it cannot be used, are looked up chart by chart.
 */
public final class BuiltSegments {

  private static final SegmentStore.Edge NOTHING = new SegmentStore.Edge(null, null);

  private final SegmentStore store;
  private final Instant headEnds;
  private final Instant tailStarts;
  private final Map<Long, SegmentStore.Edge> edges;
  private final Map<Long, List<Segment>> months;
  private final Map<Long, List<Segment>> head;
  private final Map<Long, List<Segment>> tail;

  BuiltSegments(
      SegmentStore store, Shifts shifts, Collection<Long> charts, Instant from, Instant before) {
    this.store = store;
    Month first = Month.of(shifts, from);
    Month last = Month.of(shifts, before);
    this.headEnds = first.starts().isBefore(from) ? first.ends() : from;
    this.tailStarts = last.starts().isBefore(headEnds) ? headEnds : last.starts();
    this.edges = store.edges(charts);
    this.months = store.find(charts, Segment.Span.MONTH, headEnds, tailStarts);
    Instant begin = shifts.at(from).from();
    Instant headBefore = headEnds.isBefore(before) ? headEnds : before;
    this.head = store.find(charts, Segment.Span.SHIFT, begin, headBefore);
    this.tail = store.find(charts, Segment.Span.SHIFT, tailStarts, before);
  }

  private BuiltSegments(SegmentStore store) {
    this.store = store;
    this.headEnds = Instant.EPOCH;
    this.tailStarts = Instant.EPOCH;
    this.edges = Map.of();
    this.months = Map.of();
    this.head = Map.of();
    this.tail = Map.of();
  }

  /** Nothing of any chart, so that all is read from the record. */
  static BuiltSegments none(SegmentStore store) {
    return new BuiltSegments(store);
  }

  SegmentStore.Edge edge(long chartId) {
    return edges.getOrDefault(chartId, NOTHING);
  }

  /** The segments of whole months in the window, in order; stale ones too. */
  List<Segment> months(long chartId) {
    return months.getOrDefault(chartId, List.of());
  }

  /** The segments of shifts that touch a part of the window, in order; stale ones too. */
  List<Segment> shifts(ReadingWindow.Asked part) {
    long chartId = part.chart().id();
    Instant from = part.from().isBefore(headEnds) ? headEnds : part.from();
    Instant before = part.before().isBefore(tailStarts) ? part.before() : tailStarts;
    List<Segment> shifts = new ArrayList<>(head.getOrDefault(chartId, List.of()));
    if (from.isBefore(before)) {
      shifts.addAll(store.find(chartId, Segment.Span.SHIFT, from, before));
    }
    shifts.addAll(tail.getOrDefault(chartId, List.of()));
    shifts.removeIf(
        each -> !each.ends().isAfter(part.from()) || !each.starts().isBefore(part.before()));
    return shifts;
  }
}
