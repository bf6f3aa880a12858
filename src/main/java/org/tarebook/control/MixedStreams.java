package org.tarebook.control;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.EnumSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;
import org.tarebook.chart.Chart;
import org.tarebook.quantity.Unit;
import org.tarebook.reading.ReadingWindow.Row;
import org.tarebook.stats.SigmaEstimate;
import org.tarebook.stats.Spread;
import org.tarebook.stats.baseline.Doubt;
import org.tarebook.stats.baseline.SpreadDoubts;

/**
 * Doubts whether subgroups come from one stream. Streams are looked for by the place in the
 * subgroup, and by every stratum that the chart does not keep apart, where each subgroup holds the
 * same ones.
 */
final class MixedStreams {

  private static final int FEWEST = 5;

  private MixedStreams() {}

  /** A doubt, and what the streams are told apart by; absent: by their place. */
  private record Found(Chart.@Nullable Stratum by, Doubt doubt) {}

  static Optional<Flag> flag(SummarisedWindow window, Optional<SigmaEstimate> sigma) {
    Chart.Cut cut = window.cut();
    if (!cut.kind().repeats() || sigma.isEmpty()) {
      return Optional.empty();
    }
    Set<Chart.Stratum> others = EnumSet.allOf(Chart.Stratum.class);
    others.removeAll(cut.strata());
    List<List<Point>> strata =
        window.latestByStratum().values().stream()
            .map(points -> ofSize(points, cut.subgroupSize()))
            .filter(points -> points.size() >= FEWEST)
            .toList();
    double bound = SpreadFlags.SURE / Math.max(1, strata.size());
    List<Found> found = new ArrayList<>();
    for (List<Point> points : strata) {
      test(window.unit(), points, null, bound).ifPresent(found::add);
      for (Chart.Stratum by : others) {
        test(window.unit(), points, by, bound).ifPresent(found::add);
      }
    }
    // Of equal doubts the named stream tells more than the place.
    return found.stream()
        .filter(each -> each.doubt().raised())
        .min(
            Comparator.comparingDouble((Found each) -> each.doubt().figure())
                .thenComparing(each -> each.by() == null))
        .map(each -> flag(window, sigma.get().sigma(), each));
  }

  /** The points whose readings all count; those of others have no place that can be compared. */
  private static List<Point> ofSize(List<Point> points, int size) {
    return points.stream().filter(point -> point.subgroup().count() == size).toList();
  }

  private static Optional<Found> test(
      Unit unit, List<Point> points, Chart.@Nullable Stratum by, double bound) {
    double[][] rows = new double[points.size()][];
    List<String> labels = null;
    for (int i = 0; i < rows.length; i++) {
      List<Row> readings = new ArrayList<>(points.get(i).readings());
      if (by != null) {
        Function<Row, String> label = label(by);
        readings.sort(Comparator.comparing(label));
        List<String> own = readings.stream().map(label).toList();
        if (own.stream().distinct().count() < 2 || (labels != null && !labels.equals(own))) {
          return Optional.empty();
        }
        labels = own;
      }
      rows[i] = readings.stream().mapToDouble(row -> ChartedWindow.inUnit(row, unit)).toArray();
    }
    return SpreadDoubts.streamsMixed(rows, bound).map(doubt -> new Found(by, doubt));
  }

  private static Function<Row, String> label(Chart.Stratum by) {
    return switch (by) {
      case STATION -> row -> String.valueOf(row.stationId());
      case INSTRUMENT -> row -> String.valueOf(row.instrumentId());
      case DIE -> row -> String.valueOf(row.die());
      case LOT -> row -> String.valueOf(row.lot());
      case OPERATOR -> row -> String.valueOf(row.operator());
    };
  }

  private static Flag flag(SummarisedWindow window, double within, Found found) {
    double total = Spread.total(window.moments()).map(SigmaEstimate::sigma).orElse(0.0);
    Chart.Stratum by = found.by();
    return new Flag(
        Flag.Code.MIXED_STREAMS,
        "Readings inside a subgroup differ by %s (chance %s; sigma within %s, of all readings %s %s): the spread inside subgroups is not that of one stream, and limits from it are too wide. %s"
            .formatted(
                by == null ? "their place in it" : by.name(),
                Words.chance(found.doubt().figure()),
                Words.number(within, within),
                Words.number(total, within),
                window.unit().label(),
                by == null
                    ? "Find which stream (cavity, die, lane) each place is, and chart the streams apart."
                    : "Make a chart that keeps " + by.name() + " apart."),
        "Told below a chance of 0.01, shared among the strata, of the differences between places or streams in a two-way analysis of variance; the bound is common practice.",
        Map.of(
            "p",
            found.doubt().figure(),
            "bound",
            found.doubt().bound(),
            "sigmaWithin",
            within,
            "sigmaTotal",
            total));
  }
}
