package org.tarebook.segment;

import java.time.Instant;
import java.util.Collection;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.springframework.core.annotation.Order;
import org.springframework.stereotype.Component;
import org.tarebook.chart.Chart;
import org.tarebook.chart.Plan;
import org.tarebook.plant.Shifts;
import org.tarebook.reading.Notice;
import org.tarebook.reading.ReadingFollower;

/**
 * Makes segments stale when a fact touches their readings, under the chart's lock and in the
 * transaction of the fact. A reading of a shift that has no segment yet costs one look at how far
 * they are built.
 */
@Component
@Order(0)
class SegmentWatch implements ReadingFollower {

  private final SegmentStore store;

  SegmentWatch(SegmentStore store) {
    this.store = store;
  }

  @Override
  public void changed(Plan plan, Collection<Change> changes) {
    Map<Long, SegmentStore.Edge> edges =
        store.edges(changes.stream().map(change -> change.chart().id()).toList());
    for (Change change : changes) {
      Chart chart = change.chart();
      SegmentStore.Edge edge = edges.get(chart.id());
      Instant built = edge == null ? null : edge.before();
      if (edge != null && built != null && change.from().isBefore(built)) {
        if (plan.shifts().digest().equals(edge.calendar())) {
          store.spoil(chart.id(), change.from(), change.last());
          noteNew(plan.shifts(), chart, change.from(), change.last(), built);
        } else {
          store.clear(chart.id()); // else they would be believed when their calendar comes back
        }
      }
    }
  }

  /** A shift that had no reading has no segment; from now on it has one that is stale. */
  private void noteNew(Shifts shifts, Chart chart, Instant from, Instant last, Instant built) {
    Set<Instant> known = new HashSet<>(store.starts(chart.id(), Segment.Span.SHIFT, from, built));
    Shifts.Occurrence shift = shifts.at(from);
    while (!shift.from().isAfter(last) && !shift.before().isAfter(built)) {
      if (!known.contains(shift.from())) {
        store.put(chart.id(), Segment.stale(Segment.Span.SHIFT, shift.from(), shift.before()));
      }
      shift = shifts.at(shift.before());
    }
  }

  @Override
  public Map<Long, List<Notice>> notices(Collection<Long> readingIds) {
    return Map.of();
  }
}
