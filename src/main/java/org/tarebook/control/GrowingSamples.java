package org.tarebook.control;

import java.time.Instant;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Predicate;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import org.tarebook.chart.Chart;

/** Samples that grow strip by strip while they are judged. */
final class GrowingSamples {

  private GrowingSamples() {}

  /** The points of two lists that are samples. */
  static List<Point> of(List<Point> own, List<Point> later) {
    return Stream.concat(own.stream(), later.stream())
        .filter(point -> point.sample() != null)
        .toList();
  }

  /** The readings that signals of some points may have been completed by. */
  static List<Long> completing(List<Point> points) {
    return points.stream().flatMap(point -> point.completing().stream()).toList();
  }

  /**
   * What each sample has signalled already.
   *
   * @return by the last reading of the sample; those that have not signalled are left out
   */
  static Map<Long, List<Signal>> signalled(List<Point> samples, List<Signal> signals) {
    Map<Long, List<Signal>> byReading =
        signals.stream().collect(Collectors.groupingBy(Signal::completedBy));
    Map<Long, List<Signal>> signalled = new HashMap<>();
    for (Point sample : samples) {
      List<Signal> own =
          sample.completing().stream()
              .flatMap(reading -> byReading.getOrDefault(reading, List.of()).stream())
              .toList();
      if (!own.isEmpty()) {
        signalled.put(sample.lastReading(), own);
      }
    }
    return signalled;
  }

  /** The reading that a signal of a point stands under: that of the one that stands already. */
  static long completedBy(Point point, List<Signal> before, long limitSetId, String rule) {
    return before.stream()
        .filter(signal -> signal.limitSetId() == limitSetId && signal.rule().equals(rule))
        .mapToLong(Signal::completedBy)
        .findFirst()
        .orElse(point.lastReading());
  }

  /** The reading under which a sample signalled first; absent where it was cut by count. */
  static @Nullable Long firstBy(Point point, List<Signal> before) {
    if (point.sample() == null) {
      return null;
    }
    if (before.isEmpty()) {
      return point.lastReading();
    }
    Long first = before.get(0).firstBy();
    return first == null ? (Long) before.get(0).completedBy() : first;
  }

  /**
   * The last reading of the sample that waits, if one does: the newest of a shift that runs, with
   * fewer readings than planned, unless it has signalled.
   *
   * @param series of a stratum, in order
   */
  static Optional<Long> waiting(
      List<Point> series, Chart.Cut cut, Instant now, Map<Long, List<Signal>> signalled) {
    if (series.isEmpty() || !endShort(cut).test(series)) {
      return Optional.empty();
    }
    Point last = series.get(series.size() - 1);
    return now.isBefore(last.segment().shift().before())
            && !signalled.containsKey(last.lastReading())
        ? Optional.of(last.lastReading())
        : Optional.empty();
  }

  /** Whether the last of some points is a sample with fewer readings than planned. */
  static Predicate<List<Point>> endShort(Chart.Cut cut) {
    return points -> {
      Point last = points.get(points.size() - 1);
      return last.sample() != null && last.subgroup().count() < cut.subgroupSize();
    };
  }
}
