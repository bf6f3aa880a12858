package org.tarebook.control;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.function.Function;
import org.apache.commons.numbers.fraction.BigFraction;
import org.jspecify.annotations.Nullable;
import org.tarebook.chart.Chart;
import org.tarebook.quantity.Unit;
import org.tarebook.reading.Cause;
import org.tarebook.reading.ReadingWindow;
import org.tarebook.reading.ReadingWindow.Row;
import org.tarebook.spec.Specification;
import org.tarebook.stats.Moments;
import org.tarebook.stats.MomentsAccumulator;
import org.tarebook.stats.Tolerance;

/**
 * The readings of a chart in a window, and the points they make. Shifts that the window cuts are
 * cut into points whole, so that a window shows the same points whatever its ends; a point counts
 * here if all its readings lie in the window.
 *
 * @param asked the chart and the window
 * @param cut how the readings were cut into points; usually the chart's own way
 * @param stratum the one stratum looked at; absent where all are
 * @param unit the chart's unit
 * @param specification in force at the end of the window, of those that stood; empty where none is
 * @param readings that count, by measuring time, then id
 * @param points in order
 * @param uncounted how many readings of the chart's window do not count, each under the first of
 *     its causes; of all strata
 */
public record ChartedWindow(
    ReadingWindow.Asked asked,
    Chart.Cut cut,
    @Nullable String stratum,
    Unit unit,
    Optional<Specification> specification,
    List<Row> readings,
    List<Point> points,
    Map<Cause, Long> uncounted) {

  /** The same window with other points. */
  ChartedWindow withPoints(List<Point> others) {
    return new ChartedWindow(asked, cut, stratum, unit, specification, readings, others, uncounted);
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
    return specification
        .map(Specification::limits)
        .filter(limits -> !limits.equal())
        .map(
            limits ->
                new Tolerance(
                    inUnit(limits.lower(), limits.unit()),
                    inUnit(limits.upper(), limits.unit()),
                    inUnit(limits.target(), limits.unit())));
  }

  /** A limit in the chart's unit. */
  public @Nullable Double inUnit(@Nullable BigDecimal limit, Unit written) {
    return limit == null ? null : (Double) Unit.convert(limit, written, unit).doubleValue();
  }

  /** All its readings in order, in the chart's unit, as doubles. */
  public double[] values() {
    return readings.stream().mapToDouble(row -> inUnit(row, unit)).toArray();
  }

  /** A reading in another unit, as a double. */
  static double inUnit(Row row, Unit unit) {
    double shown = row.nanos() / 1e9;
    return row.unit() == unit
        ? shown
        : shown * row.unit().factorTo(unit).doubleValue() + row.unit().offsetTo(unit).doubleValue();
  }

  /** Count, sum and sum of squares of all its readings, exact, in the chart's unit. */
  public Moments moments() {
    return momentsBy(row -> "").getOrDefault("", Moments.EMPTY);
  }

  /**
   * Moments of readings put into groups, exact, in the chart's unit.
   *
   * @param group names the group of a reading
   */
  public Map<String, Moments> momentsBy(Function<Row, String> group) {
    Map<String, Map<Unit, MomentsAccumulator>> sums = new TreeMap<>();
    for (Row row : readings) {
      sums.computeIfAbsent(group.apply(row), name -> new EnumMap<>(Unit.class))
          .computeIfAbsent(row.unit(), shown -> new MomentsAccumulator())
          .add(row.nanos());
    }
    Map<String, Moments> moments = new TreeMap<>();
    sums.forEach(
        (name, byUnit) ->
            byUnit.forEach((shown, sum) -> moments.merge(name, inUnit(sum, shown), Moments::plus)));
    return moments;
  }

  private Moments inUnit(MomentsAccumulator sum, Unit shown) {
    return sum.moments().affine(shown.factorTo(unit), shown.offsetTo(unit));
  }

  /** Moments of the readings that made points, by stratum, exact, in the chart's unit. */
  public List<Moments> strata() {
    Map<String, Moments> strata = new TreeMap<>();
    for (Point point : points) {
      strata.merge(point.stratum(), point.subgroup().moments(), Moments::plus);
    }
    return new ArrayList<>(strata.values());
  }

  /**
   * The coarsest step a reading was shown in, in the chart's unit: that of its last decimal, or the
   * scale interval of its instrument if that is larger.
   *
   * @param interval the scale interval of an instrument in the chart's unit, 0 where it has none
   * @return 0 without readings
   */
  public double coarsestStep(Function<Long, BigFraction> interval) {
    record Step(Unit unit, int decimals, @Nullable Long instrument) {}
    double coarsest = 0;
    for (Step step :
        readings.stream()
            .map(row -> new Step(row.unit(), row.decimals(), row.instrumentId()))
            .distinct()
            .toList()) {
      double shown =
          step.unit()
              .factorTo(unit)
              .divide(BigFraction.of(10).pow(step.decimals()))
              .abs()
              .doubleValue();
      Long instrument = step.instrument();
      double scale = instrument == null ? 0 : interval.apply(instrument).doubleValue();
      coarsest = Math.max(coarsest, Math.max(shown, scale));
    }
    return coarsest;
  }
}
