package org.tarebook.segment;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collection;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Component;
import org.tarebook.chart.Chart;
import org.tarebook.chart.Plan;
import org.tarebook.control.ChartedWindow;
import org.tarebook.control.ChartedWindows;
import org.tarebook.control.Part;
import org.tarebook.control.Point;
import org.tarebook.control.SummarisedWindow;
import org.tarebook.plant.Shifts;
import org.tarebook.reading.ReadingWindow;

/**
 * Reads what windows come to: from segments where they stand, from readings where not. Every part
 * is exact, so an answer has the same digits whether any segment is built or none.
 */
@Component
public class SegmentedWindows {

  private static final Duration TICK = Duration.ofNanos(1000);

  /** So long a stretch without segments is held in memory at a time. */
  private static final Duration STRETCH = Duration.ofDays(1);

  private final ChartedWindows windows;
  private final SegmentStore store;

  SegmentedWindows(ChartedWindows windows, SegmentStore store) {
    this.windows = windows;
    this.store = store;
  }

  /**
   * Reads a window, in the caller's snapshot.
   *
   * @param stratum the one stratum looked at; absent for all
   * @param apart moments that no even part holds inside
   */
  public SummarisedWindow read(
      Plan plan, ReadingWindow.Asked asked, @Nullable String stratum, Collection<Instant> apart) {
    if (asked.chart().cut().kind() == Chart.Kind.BETWEEN_WITHIN) {
      return windows.summarise(plan, windows.read(plan, asked, stratum));
    }
    List<Part> parts = new Reader(plan, asked, apart).parts();
    SummarisedWindow whole = windows.summarise(plan, asked, stratum, parts);
    return whole.withLatest(latest(plan, asked, stratum, whole.points()));
  }

  /** Reads a window from its readings alone. */
  Part fromReadings(Plan plan, ReadingWindow.Asked asked) {
    return part(plan, asked, true);
  }

  private Part part(Plan plan, ReadingWindow.Asked asked, boolean even) {
    ChartedWindow window = windows.read(plan, asked, null);
    return new Part(
        asked.from(),
        asked.before(),
        windows.summary(plan, window),
        even,
        even ? List.of() : window.points(),
        false);
  }

  /** The last points of a window, looked for in ever longer stretches backwards. */
  private List<Point> latest(
      Plan plan, ReadingWindow.Asked asked, @Nullable String stratum, long points) {
    long wanted = Math.min(points, SummarisedWindow.LATEST);
    List<Point> latest = new ArrayList<>();
    Instant before = asked.before();
    int shifts = 1;
    while (latest.size() < wanted) {
      Instant last = windows.lastReading(asked.over(asked.from(), before));
      if (last == null) {
        break; // only readings that do not count are left
      }
      Instant from = last;
      for (int i = 0; i < shifts && from.isAfter(asked.from()); i++) {
        from = plan.shifts().at(i == 0 ? from : from.minus(TICK)).from();
      }
      from = from.isBefore(asked.from()) ? asked.from() : from;
      latest.addAll(0, windows.read(plan, asked.over(from, before), stratum).points());
      before = from;
      shifts *= 2;
    }
    return List.copyOf(latest.subList(Math.max(0, latest.size() - (int) wanted), latest.size()));
  }

  /** Reads one window. */
  private final class Reader {

    private final Plan plan;
    private final ReadingWindow.Asked asked;
    private final Collection<Instant> apart;
    private final List<Part> parts = new ArrayList<>();

    Reader(Plan plan, ReadingWindow.Asked asked, Collection<Instant> apart) {
      this.plan = plan;
      this.asked = asked;
      this.apart = apart;
    }

    List<Part> parts() {
      SegmentStore.Edge edge = store.edge(asked.chart().id());
      Instant built = edge.before();
      Instant cursor = asked.from();
      if (built != null && plan.shifts().digest().equals(edge.calendar())) {
        List<Segment> segments = store.find(asked.chart().id(), asked.from(), asked.before());
        Instant done = Instant.MIN;
        for (Segment month : segments) {
          if (month.span() == Segment.Span.MONTH && usable(month)) {
            addShifts(segments, done, month.starts());
            add(month);
            done = month.ends();
          }
        }
        addShifts(segments, done, Instant.MAX);
        cursor = built.isAfter(cursor) ? built : cursor;
      }
      while (cursor.isBefore(asked.before())) {
        cursor = addStretch(cursor);
      }
      return parts;
    }

    private boolean usable(Segment segment) {
      return !segment.stale()
          && segment.changedVersion() <= asked.asOf().version()
          && segment.within(asked.from(), asked.before())
          && apart.stream().noneMatch(segment::holdsInside);
    }

    /** Adds the shifts that begin in a stretch. */
    private void addShifts(List<Segment> segments, Instant from, Instant before) {
      for (Segment each : segments) {
        if (each.span() == Segment.Span.SHIFT
            && !each.starts().isBefore(from)
            && each.starts().isBefore(before)) {
          if (usable(each)) {
            add(each);
          } else {
            Instant start = each.starts().isBefore(asked.from()) ? asked.from() : each.starts();
            Instant end = each.ends().isAfter(asked.before()) ? asked.before() : each.ends();
            addRead(start, end);
          }
        }
      }
    }

    private void add(Segment segment) {
      parts.add(
          new Part(segment.starts(), segment.ends(), segment.summary(), true, List.of(), true));
    }

    private void addRead(Instant from, Instant before) {
      Shifts shifts = plan.shifts();
      boolean even =
          shifts.at(from).from().equals(from)
              && shifts.at(before.minus(TICK)).before().equals(before)
              && apart.stream().noneMatch(at -> at.isAfter(from) && at.isBefore(before));
      parts.add(part(plan, asked.over(from, before), even));
    }

    /** Adds the next stretch that has readings, and tells where it ends. */
    private Instant addStretch(Instant from) {
      Instant first = windows.firstReading(asked.over(from, asked.before()));
      if (first == null) {
        return asked.before();
      }
      Instant start = plan.shifts().at(first).from();
      start = start.isBefore(from) ? from : start;
      Instant end = plan.shifts().at(start.plus(STRETCH)).from();
      end = end.isAfter(start) && end.isBefore(asked.before()) ? end : asked.before();
      addRead(start, end);
      return end;
    }
  }
}
