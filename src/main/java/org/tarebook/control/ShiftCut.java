package org.tarebook.control;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.tarebook.chart.Chart;
import org.tarebook.chart.Plan;
import org.tarebook.plant.Shifts;
import org.tarebook.quantity.Unit;
import org.tarebook.reading.ReadingWindow.Row;
import org.tarebook.stats.Subgroup;

/**
 * Cuts the readings of a window into one point for each shift, stratum and unit shown, however many
 * readings that is. Of a shift that the window cuts, the readings in the window make the point.
 */
public final class ShiftCut {

  private ShiftCut() {}

  /** The points, by shift, then by stratum; every reading of the window is in one. */
  public static List<Point> points(Plan plan, ChartedWindow window) {
    Chart chart = window.asked().chart();
    StratumNames stratum = StratumNames.of(plan, chart);
    Map<Point.Segment, List<Row>> segments = new LinkedHashMap<>();
    Shifts.Occurrence shift = null;
    for (Row row : window.readings()) {
      if (shift == null || !shift.holds(row.measuredAt())) {
        shift = plan.shifts().at(row.measuredAt());
      }
      segments
          .computeIfAbsent(
              new Point.Segment(stratum.apply(row), row.unit(), shift), key -> new ArrayList<>())
          .add(row);
    }
    return segments.entrySet().stream()
        .map(each -> point(each.getKey(), each.getValue(), window.unit()))
        .sorted(
            Comparator.comparing((Point point) -> point.segment().shift().from())
                .thenComparing(Point::stratum)
                .thenComparing(point -> point.segment().shown()))
        .toList();
  }

  private static Point point(Point.Segment segment, List<Row> rows, Unit unit) {
    Unit shown = segment.shown();
    Subgroup read = Subgroup.of(rows.stream().mapToLong(Row::nanos).toArray());
    Row last = rows.get(rows.size() - 1);
    Instant earliest = rows.get(0).measuredAt();
    return new Point(
        segment,
        null,
        last.measuredAt(),
        new Point.Span(earliest, last.measuredAt()),
        rows.get(0).id(),
        last.id(),
        List.copyOf(rows),
        shown == unit
            ? read
            : new Subgroup(
                read.moments().affine(shown.factorTo(unit), shown.offsetTo(unit)),
                read.exactRange().multiply(shown.factorTo(unit).abs())),
        null);
  }
}
