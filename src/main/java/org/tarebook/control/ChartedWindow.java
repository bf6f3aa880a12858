package org.tarebook.control;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;
import org.tarebook.chart.Chart;
import org.tarebook.chart.Unsettled;
import org.tarebook.quantity.Unit;
import org.tarebook.reading.Cause;
import org.tarebook.reading.ReadingWindow;
import org.tarebook.reading.ReadingWindow.Row;
import org.tarebook.spec.Specification;
import org.tarebook.stats.Tolerance;

/**
 * The readings of a chart in a window, and the points they make. Shifts that the window cuts are
 * cut into points whole, so that a window shows the same points whatever its ends; a point counts
 * here if all its readings lie in the window. What a window signals it tells by the points that are
 * completed in it, as the chart shows them.
 *
 * @param asked the chart and the window
 * @param cut how the readings were cut into points; usually the chart's own way
 * @param stratum the one stratum looked at; absent where all are
 * @param unit the chart's unit
 * @param specification in force at the last counted reading of the window, of those that stood;
 *     empty where none is
 * @param readings that count, by measuring time, then id
 * @param points in order
 * @param begunBefore points completed in the window whose first readings lie before it, in order
 * @param uncounted how many readings of the chart's window do not count, each under the first of
 *     its causes; of all strata
 * @param unsettled what long work was changing; absent where nothing was
 */
public record ChartedWindow(
    ReadingWindow.Asked asked,
    Chart.Cut cut,
    @Nullable String stratum,
    Unit unit,
    Optional<Specification> specification,
    List<Row> readings,
    List<Point> points,
    List<Point> begunBefore,
    Map<Cause, Long> uncounted,
    @Nullable Unsettled unsettled) {

  /** The same window with other points. */
  ChartedWindow withPoints(List<Point> others) {
    return new ChartedWindow(
        asked,
        cut,
        stratum,
        unit,
        specification,
        readings,
        others,
        begunBefore,
        uncounted,
        unsettled);
  }

  /** Its points, in order, by stratum. */
  Map<String, List<Point>> pointsByStratum() {
    Map<String, List<Point>> strata = new TreeMap<>();
    points.forEach(
        point -> strata.computeIfAbsent(point.stratum(), name -> new ArrayList<>()).add(point));
    return strata;
  }

  /** How many readings count but made no point. */
  public long incomplete() {
    return readings.size() - points.stream().mapToLong(point -> point.subgroup().count()).sum();
  }

  /** Limits and target in the chart's unit; empty where there are none that differ. */
  public Optional<Tolerance> tolerance() {
    return specification.map(Specification::limits).flatMap(limits -> limits.in(unit));
  }

  /** All its readings in order, in the chart's unit, as doubles. */
  public double[] values() {
    return readings.stream().mapToDouble(row -> inUnit(row, unit)).toArray();
  }

  /** A reading in another unit, as a double. */
  static double inUnit(Row row, Unit unit) {
    return inUnit(row.nanos(), row.unit(), unit);
  }

  /** A value shown, in 1e-9 of its unit, in another unit, as a double. */
  static double inUnit(long nanos, Unit shown, Unit unit) {
    double value = nanos / 1e9;
    return shown == unit
        ? value
        : value * shown.factorTo(unit).doubleValue() + shown.offsetTo(unit).doubleValue();
  }
}
