package org.tarebook.control;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.tarebook.chart.Chart;
import org.tarebook.plant.Shifts;
import org.tarebook.quantity.Unit;
import org.tarebook.reading.ReadingWindow.Row;
import org.tarebook.stats.Factors;
import org.tarebook.stats.Moments;
import org.tarebook.stats.Subgroup;

/**
 * One point of a chart.
 *
 * @param segment where it belongs: no subgroup and no moving range goes beyond its segment
 * @param sample the sample that it is; absent where it was cut by count
 * @param at the time of its last reading, as ordered
 * @param span the earliest and latest measuring time in it
 * @param firstReading id of the first of its readings
 * @param lastReading id of the reading that completed it
 * @param readings what makes it, in order
 * @param subgroup their figures, exact, in the chart's unit
 * @param moved the moving range from the reading before; absent for subgroups and for the first
 *     reading of a segment
 */
public record Point(
    Segment segment,
    @Nullable String sample,
    Instant at,
    Span span,
    long firstReading,
    long lastReading,
    List<Row> readings,
    Subgroup subgroup,
    @Nullable Moved moved) {

  /**
   * Readings that may be joined: of one stratum, one unit shown and one shift.
   *
   * @param stratum such as {@code DIE=D7 STATION=T1-W1}; empty where the chart has no strata
   * @param shown the unit its readings were shown in
   * @param shift the shift they were measured in
   */
  public record Segment(String stratum, Unit shown, Shifts.Occurrence shift) {}

  /** From the earliest to the latest measuring time, both included. */
  public record Span(Instant earliest, Instant latest) {
    /** Whether all of it lies in a half-open window. */
    public boolean within(Instant from, Instant before) {
      return !earliest.isBefore(from) && latest.isBefore(before);
    }
  }

  /**
   * A moving range.
   *
   * @param size the moving range alone, exact, in the chart's unit
   * @param since measuring time of the reading it moved from
   */
  public record Moved(Moments size, Instant since) {}

  /** Its stratum; empty where the chart has no strata. */
  public String stratum() {
    return segment.stratum();
  }

  /** The plotted figure, mean or single reading, in the chart's unit. */
  public double value() {
    return subgroup.mean();
  }

  /**
   * The figure of the spread chart, in the chart's unit; empty without a moving range, and where a
   * sample has too few readings for one, or more than factors of ranges are known for.
   */
  public Optional<Double> spread(Chart.Kind kind) {
    long n = subgroup.count();
    return switch (kind) {
      case XBAR_R ->
          n < 2 || n > Factors.MAX_RANGE_SIZE ? Optional.empty() : Optional.of(subgroup.range());
      case XBAR_S, BETWEEN_WITHIN -> n < 2 ? Optional.empty() : Optional.of(subgroup.sd());
      case INDIVIDUALS -> Optional.ofNullable(moved).map(move -> move.size().mean());
    };
  }

  /**
   * The readings that a signal of it may have been completed by: the last one, or any of a sample,
   * which may have signalled before all of it was weighed.
   */
  public List<Long> completing() {
    return sample == null ? List.of(lastReading) : readings.stream().map(Row::id).toList();
  }

  Point withoutMoved() {
    return new Point(
        segment, sample, at, span, firstReading, lastReading, readings, subgroup, null);
  }
}
