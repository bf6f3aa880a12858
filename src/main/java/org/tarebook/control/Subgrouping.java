package org.tarebook.control;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.SortedMap;
import java.util.TreeMap;
import java.util.function.Function;
import org.apache.commons.numbers.fraction.BigFraction;
import org.jspecify.annotations.Nullable;
import org.tarebook.chart.Chart;
import org.tarebook.chart.Plan;
import org.tarebook.plant.Shifts;
import org.tarebook.quantity.Unit;
import org.tarebook.reading.ReadingWindow.Row;
import org.tarebook.stats.Moments;
import org.tarebook.stats.Subgroup;

/**
 * Cuts readings into points. Each shift is cut by itself, and in it each stratum and each unit
 * shown. In such a segment the readings of one sample are one point, however many of them count: a
 * late or voided reading touches its own sample only. Readings that name no sample are cut among
 * themselves, in order, {@code n} by {@code n}; what is left over at the end of the shift makes no
 * point, so a late one re-cuts those of its segment and nothing else. Single readings are points of
 * their own whatever they name.
 *
 * <p>Readings are in the order of the device's clock, but those of one station are in the order of
 * its own counter: a reading counts as taken no earlier than those of its station and shift with a
 * lower counter. Equal times go by counter, then by id. A counter that starts again within a shift
 * is taken at its word.
 */
public final class Subgrouping {

  private static final Comparator<Taken> ORDER =
      Comparator.comparing(Taken::at)
          .thenComparing(
              taken -> taken.row().counter(), Comparator.nullsLast(Comparator.naturalOrder()))
          .thenComparing(taken -> taken.row().id());

  private static final Comparator<Row> BY_COUNTER =
      Comparator.comparing(Row::counter, Comparator.nullsLast(Comparator.naturalOrder()))
          .thenComparing(Row::measuredAt)
          .thenComparing(Row::id);

  private final Shifts shifts;
  private final Chart.Cut cut;
  private final Unit unit;
  private final Function<Row, String> stratum;

  /**
   * How a chart's readings are cut.
   *
   * @param unit the chart's unit, in which points are told
   * @param stratum names the stratum of a reading
   */
  Subgrouping(Shifts shifts, Chart.Cut cut, Unit unit, Function<Row, String> stratum) {
    this.shifts = shifts;
    this.cut = cut;
    this.unit = unit;
    this.stratum = stratum;
  }

  static Subgrouping of(Plan plan, Chart chart, Chart.Cut cut) {
    return new Subgrouping(
        plan.shifts(),
        cut,
        plan.characteristics().get(chart.characteristicId()).unit(),
        StratumNames.of(plan, chart));
  }

  /** A reading and the time it counts as taken at. */
  private record Taken(Row row, Instant at) {}

  /** Names the stratum of a reading. */
  String stratum(Row row) {
    return stratum.apply(row);
  }

  /**
   * Cuts whole shifts.
   *
   * @param rows all counted readings of these shifts, in any order
   * @return points in the order in which they were completed
   */
  List<Point> points(List<Row> rows) {
    SortedMap<Instant, InShift> byStart = new TreeMap<>();
    InShift current = null;
    for (Row row : rows) {
      if (current == null || !current.shift().holds(row.measuredAt())) {
        Shifts.Occurrence shift = shifts.at(row.measuredAt());
        current =
            byStart.computeIfAbsent(shift.from(), from -> new InShift(shift, new ArrayList<>()));
      }
      current.rows().add(row);
    }
    List<Point> points = new ArrayList<>();
    byStart.values().forEach(each -> cutShift(each.shift(), ordered(each.rows()), points));
    return points;
  }

  private static List<Taken> ordered(List<Row> rows) {
    List<Taken> taken = new ArrayList<>(rows.size());
    Map<Long, List<Row>> byStation = new HashMap<>();
    for (Row row : rows) {
      if (row.counter() == null) {
        taken.add(new Taken(row, row.measuredAt()));
      } else {
        byStation.computeIfAbsent(row.stationId(), id -> new ArrayList<>()).add(row);
      }
    }
    for (List<Row> ofStation : byStation.values()) {
      ofStation.sort(BY_COUNTER);
      Instant latest = Instant.MIN;
      for (Row row : ofStation) {
        latest = row.measuredAt().isAfter(latest) ? row.measuredAt() : latest;
        taken.add(new Taken(row, latest));
      }
    }
    taken.sort(ORDER);
    return taken;
  }

  private record InShift(Shifts.Occurrence shift, List<Row> rows) {}

  /** What joins readings inside a shift. */
  private record Joined(String stratum, Unit shown) {}

  /** A segment, its readings that wait for a point, and those of its samples. */
  private record Open(
      Point.Segment segment, List<Taken> waiting, Map<String, List<Taken>> samples) {
    boolean takes(String stratum, Unit shown) {
      return segment.shown() == shown && segment.stratum().equals(stratum);
    }
  }

  /** A sample of a segment. */
  private record Named(Joined segment, String sample) {}

  private void cutShift(Shifts.Occurrence shift, List<Taken> readings, List<Point> points) {
    Map<Joined, Open> segments = new HashMap<>();
    Open open = null;
    Map<Named, Integer> left = sizesOfSamples(readings);
    for (Taken taken : readings) {
      String name = stratum.apply(taken.row());
      Unit shown = taken.row().unit();
      if (open == null || !open.takes(name, shown)) {
        open =
            segments.computeIfAbsent(
                new Joined(name, shown),
                key ->
                    new Open(
                        new Point.Segment(name, shown, shift), new ArrayList<>(), new HashMap<>()));
      }
      List<Taken> waiting = open.waiting();
      if (cut.kind() == Chart.Kind.INDIVIDUALS) {
        Row before = waiting.isEmpty() ? null : waiting.get(0).row();
        waiting.clear();
        waiting.add(taken);
        points.add(point(open.segment(), null, waiting, moved(before, taken.row())));
      } else if (taken.row().sample() != null) {
        String sample = taken.row().sample();
        List<Taken> own = open.samples().computeIfAbsent(sample, unseen -> new ArrayList<>());
        own.add(taken);
        if (left.merge(new Named(new Joined(name, shown), sample), -1, Integer::sum) == 0) {
          points.add(point(open.segment(), sample, own, null));
        }
      } else {
        waiting.add(taken);
        if (waiting.size() == cut.subgroupSize()) {
          points.add(point(open.segment(), null, waiting, null));
          waiting.clear();
        }
      }
    }
  }

  /** How many readings each sample has that is a point. */
  private Map<Named, Integer> sizesOfSamples(List<Taken> readings) {
    Map<Named, Integer> counts = new HashMap<>();
    if (cut.kind() == Chart.Kind.INDIVIDUALS) {
      return counts;
    }
    for (Taken taken : readings) {
      String sample = taken.row().sample();
      if (sample != null) {
        counts.merge(
            new Named(new Joined(stratum.apply(taken.row()), taken.row().unit()), sample),
            1,
            Integer::sum);
      }
    }
    return counts;
  }

  private Point point(
      Point.Segment segment,
      @Nullable String sample,
      List<Taken> readings,
      Point.@Nullable Moved moved) {
    long[] nanos = readings.stream().mapToLong(taken -> taken.row().nanos()).toArray();
    Instant earliest = readings.get(0).row().measuredAt();
    Instant latest = earliest;
    for (Taken taken : readings) {
      Instant at = taken.row().measuredAt();
      earliest = at.isBefore(earliest) ? at : earliest;
      latest = at.isAfter(latest) ? at : latest;
    }
    Taken last = readings.get(readings.size() - 1);
    return new Point(
        segment,
        sample,
        last.at(),
        new Point.Span(earliest, latest),
        readings.get(0).row().id(),
        last.row().id(),
        readings.stream().map(Taken::row).toList(),
        inUnit(Subgroup.of(nanos), segment.shown()),
        moved);
  }

  private Subgroup inUnit(Subgroup shown, Unit from) {
    return from == unit
        ? shown
        : new Subgroup(
            shown.moments().affine(from.factorTo(unit), from.offsetTo(unit)),
            shown.exactRange().multiply(from.factorTo(unit).abs()));
  }

  private Point.@Nullable Moved moved(@Nullable Row before, Row row) {
    if (before == null) {
      return null;
    }
    long nanos = Math.absExact(Math.subtractExact(row.nanos(), before.nanos()));
    Moments size = Moments.of(new long[] {nanos});
    return new Point.Moved(
        row.unit() == unit ? size : size.affine(row.unit().factorTo(unit), BigFraction.ZERO),
        before.measuredAt());
  }
}
