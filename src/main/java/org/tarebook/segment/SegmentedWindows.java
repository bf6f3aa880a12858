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
import org.tarebook.control.Summary;
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

  /** Looks up what is built of charts in a window, in the caller's snapshot. */
  public BuiltSegments built(Plan plan, Collection<Chart> charts, Instant from, Instant before) {
    return new BuiltSegments(
        store, plan.shifts(), charts.stream().map(Chart::id).toList(), from, before);
  }

  /** Nothing built, so that windows are read from the record alone. */
  public BuiltSegments unbuilt() {
    return BuiltSegments.none(store);
  }

  /**
   * Reads a window, in the caller's snapshot.
   *
   * @param built what is built of it
   * @param stratum the one stratum looked at; absent for all
   * @param apart moments that no even part holds inside
   */
  public SummarisedWindow read(
      Plan plan,
      BuiltSegments built,
      ReadingWindow.Asked asked,
      @Nullable String stratum,
      Collection<Instant> apart) {
    if (asked.chart().cut().kind() == Chart.Kind.BETWEEN_WITHIN) {
      return windows.summarise(plan, windows.read(plan, asked, stratum));
    }
    List<Part> parts = new Reader(plan, built, asked, apart).parts();
    SummarisedWindow whole = windows.summarise(plan, asked, stratum, parts);
    return withLatest(plan, whole);
  }

  /** A window with its latest points, or what of one is of a stratum; in the caller's snapshot. */
  public SummarisedWindow withLatest(Plan plan, SummarisedWindow window) {
    return window.latest().size() == window.points()
        ? window
        : window.withLatest(latest(plan, window));
  }

  /**
   * The last points of a window. Those of uneven parts at its end are read already. The other parts
   * tell how many points they have, and so where to begin; inside a part points are taken to come
   * evenly, with a fourth more for chance, and where they do not, ever longer stretches are looked
   * at backwards. A window without any segment has them from the record too.
   */
  private List<Point> latest(Plan plan, SummarisedWindow window) {
    ReadingWindow.Asked asked = window.asked();
    int wanted = (int) Math.min(window.points(), SummarisedWindow.LATEST);
    boolean kept = window.parts().stream().anyMatch(Part::kept);
    List<Point> latest = new ArrayList<>();
    Instant before = asked.before();
    for (int i = window.parts().size() - 1; i >= 0 && latest.size() < wanted; i--) {
      Part part = window.parts().get(i);
      if (part.even()) {
        break;
      }
      latest.addAll(0, part.points());
      before = part.from();
    }
    Instant from = start(window.parts(), before, wanted - latest.size());
    while (latest.size() < wanted) {
      from = plan.shifts().at(from).from();
      from = from.isBefore(asked.from()) ? asked.from() : from;
      ReadingWindow.Asked stretch = asked.over(from, before);
      latest.addAll(
          0,
          kept
              ? windows.pointsWithin(plan, stretch, window.stratum())
              : windows.pointsOfRecord(plan, stretch, window.stratum()));
      Instant last =
          latest.size() < wanted ? windows.lastReading(asked.over(asked.from(), from)) : null;
      if (last == null) {
        break; // all are found, or only readings that do not count are left
      }
      Instant longer = last.minus(Duration.between(from, before).multipliedBy(2));
      before = from;
      from = start(window.parts(), before, wanted - latest.size());
      from = from.isBefore(longer) ? from : longer;
    }
    return List.copyOf(latest.subList(Math.max(0, latest.size() - wanted), latest.size()));
  }

  /** Where a number of points before a moment should begin. */
  private static Instant start(List<Part> parts, Instant before, long wanted) {
    long left = wanted;
    Instant start = before;
    for (int i = parts.size() - 1; i >= 0 && left > 0; i--) {
      Part part = parts.get(i);
      if (part.from().isBefore(before)) {
        Instant end = part.before().isBefore(before) ? part.before() : before;
        long points = part.summary().together().count();
        Duration length = Duration.between(part.from(), end);
        start =
            points <= enough(left)
                ? part.from()
                : end.minus(length.multipliedBy(enough(left)).dividedBy(points));
        left -= points;
      }
    }
    return start;
  }

  /** A fourth more than wanted, since points do not come quite evenly. */
  private static long enough(long points) {
    return points + points / 4;
  }

  /** Reads one window. */
  private final class Reader {

    private final Plan plan;
    private final BuiltSegments segments;
    private final ReadingWindow.Asked asked;
    private final Collection<Instant> apart;
    private final List<Part> parts = new ArrayList<>();

    Reader(
        Plan plan, BuiltSegments segments, ReadingWindow.Asked asked, Collection<Instant> apart) {
      this.plan = plan;
      this.segments = segments;
      this.asked = asked;
      this.apart = apart;
    }

    List<Part> parts() {
      SegmentStore.Edge edge = segments.edge(asked.chart().id());
      Instant built = edge.before();
      Instant cursor = asked.from();
      if (built != null
          && built.isAfter(cursor)
          && plan.shifts().digest().equals(edge.calendar())) {
        Instant end = built.isBefore(asked.before()) ? built : asked.before();
        for (Segment month : segments.months(asked.chart().id())) {
          if (usable(month)) {
            addShifts(cursor, month.starts());
            add(month);
            cursor = month.ends();
          }
        }
        addShifts(cursor, end);
        cursor = built;
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

    /** Adds the shifts that have a segment and touch a stretch without a month's. */
    private void addShifts(Instant from, Instant before) {
      if (!from.isBefore(before)) {
        return;
      }
      for (Segment each : segments.shifts(asked.over(from, before))) {
        if (usable(each)) {
          add(each);
        } else {
          Instant start = each.starts().isBefore(asked.from()) ? asked.from() : each.starts();
          Instant end = each.ends().isAfter(asked.before()) ? asked.before() : each.ends();
          ReadingWindow.Asked cut = asked.over(start, end);
          add(each.stale() ? windows.readRecord(plan, cut) : windows.read(plan, cut, null));
        }
      }
    }

    private void add(Segment segment) {
      parts.add(
          new Part(
              segment.starts(),
              segment.ends(),
              segment.summary(),
              true,
              List.of(),
              List.of(),
              true));
    }

    private void add(ChartedWindow window) {
      Instant from = window.asked().from();
      Instant before = window.asked().before();
      Shifts shifts = plan.shifts();
      boolean even =
          shifts.at(from).from().equals(from)
              && shifts.at(before.minus(TICK)).before().equals(before)
              && apart.stream().noneMatch(at -> at.isAfter(from) && at.isBefore(before));
      Summary summary = windows.summary(plan, window);
      if (!summary.equals(Summary.EMPTY)) {
        parts.add(
            new Part(
                from,
                before,
                summary,
                even,
                even ? List.of() : window.points(),
                window.begunBefore(),
                false));
      }
    }

    /** Adds the next stretch that has readings, and tells where it ends. */
    private Instant addStretch(Instant from) {
      if (!asked.before().isAfter(from.plus(STRETCH))) {
        add(windows.readRecord(plan, asked.over(from, asked.before())));
        return asked.before();
      }
      Instant first = windows.firstReading(asked.over(from, asked.before()));
      if (first == null) {
        return asked.before();
      }
      Instant start = plan.shifts().at(first).from();
      start = start.isBefore(from) ? from : start;
      Instant end = plan.shifts().at(start.plus(STRETCH)).from();
      end = end.isAfter(start) && end.isBefore(asked.before()) ? end : asked.before();
      add(windows.readRecord(plan, asked.over(start, end)));
      return end;
    }
  }
}
