package org.tarebook.truth;

import java.math.BigDecimal;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import org.tarebook.truth.Facts.Row;

/**
 * Points of a chart, cut anew: shift by shift, stratum by stratum, unit by unit; in the order of
 * the device's clock, but those of a station no earlier than those of lower counters in the shift.
 */
final class Points {

  private final Facts facts;

  Points(Facts facts) {
    this.facts = facts;
  }

  /**
   * A point.
   *
   * @param moved difference from the reading before in the segment, of a chart of single readings
   * @param since when that reading was measured
   */
  record Point(
      String stratum,
      Instant at,
      List<Row> rows,
      @Nullable BigDecimal moved,
      @Nullable Instant since) {

    /** Whether all its readings were measured in a window. */
    boolean within(Instant from, Instant before) {
      return rows.stream().allMatch(row -> in(row.at(), from, before));
    }
  }

  static boolean in(Instant at, Instant from, Instant before) {
    return !at.isBefore(from) && at.isBefore(before);
  }

  private record Taken(Row row, Instant at) {}

  /** Cuts the readings of whole shifts. */
  List<Point> cut(List<Row> counted, Shiftwork shifts) {
    Map<Instant, List<Row>> byShift = new TreeMap<>();
    for (Row row : counted) {
      byShift.computeIfAbsent(shifts.from(row.at()), start -> new ArrayList<>()).add(row);
    }
    List<Point> points = new ArrayList<>();
    for (List<Row> shift : byShift.values()) {
      List<Point> own = new ArrayList<>();
      cutShift(ordered(shift), own);
      points.addAll(own);
    }
    return points;
  }

  private static List<Taken> ordered(List<Row> shift) {
    List<Taken> taken = new ArrayList<>();
    for (Row row : shift) {
      Instant at = row.at();
      for (Row other : shift) {
        if (row.counter() != null
            && other.counter() != null
            && other.station() == row.station()
            && other.counter() < row.counter()
            && other.at().isAfter(at)) {
          at = other.at();
        }
      }
      taken.add(new Taken(row, at));
    }
    taken.sort(
        Comparator.comparing(Taken::at)
            .thenComparing(
                each -> each.row().counter() == null ? Long.MAX_VALUE : each.row().counter())
            .thenComparing(each -> each.row().id()));
    return taken;
  }

  private void cutShift(List<Taken> shift, List<Point> points) {
    record Segment(String stratum, String unit) {}
    Map<Segment, List<Taken>> waiting = new HashMap<>();
    record Sample(Segment segment, String name) {}
    Map<Sample, List<Taken>> samples = new LinkedHashMap<>();
    for (Taken each : shift) {
      String stratum = stratum(each.row());
      String name = each.row().sample();
      if (name != null && !facts.chart().individuals()) {
        samples
            .computeIfAbsent(
                new Sample(new Segment(stratum, each.row().unit()), name), key -> new ArrayList<>())
            .add(each);
        continue;
      }
      List<Taken> open =
          waiting.computeIfAbsent(
              new Segment(stratum, each.row().unit()), key -> new ArrayList<>());
      open.add(each);
      if (facts.chart().individuals()) {
        Row before = open.size() == 1 ? null : open.remove(0).row();
        points.add(
            new Point(
                stratum,
                each.at(),
                List.of(each.row()),
                before == null ? null : Exact.base(each.row()).subtract(Exact.base(before)).abs(),
                before == null ? null : before.at()));
      } else if (open.size() == facts.chart().size()) {
        points.add(
            new Point(stratum, each.at(), open.stream().map(Taken::row).toList(), null, null));
        open.clear();
      }
    }
    samples.forEach(
        (sample, taken) ->
            points.add(
                new Point(
                    sample.segment().stratum(),
                    taken.get(taken.size() - 1).at(),
                    taken.stream().map(Taken::row).toList(),
                    null,
                    null)));
    points.sort(
        Comparator.comparingInt(point -> place(shift, point.rows().get(point.rows().size() - 1))));
  }

  private static int place(List<Taken> shift, Row row) {
    return shift.stream().map(Taken::row).toList().indexOf(row);
  }

  /** The name of a reading's stratum; no code here needs quotes. */
  String stratum(Row row) {
    return Stream.of(facts.chart().strata().split(" "))
        .filter(name -> !name.isEmpty())
        .sorted()
        .map(
            name ->
                switch (name) {
                  case "DIE" -> "DIE=" + (row.die() == null ? "" : row.die());
                  case "STATION" -> "STATION=" + facts.stations().get(row.station());
                  default -> throw new IllegalArgumentException(name);
                })
        .reduce((a, b) -> a + " " + b)
        .orElse("");
  }
}
