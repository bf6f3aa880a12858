package org.tarebook.control;

import java.time.Instant;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Predicate;
import java.util.stream.Stream;
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
   * The reading under which each sample has signalled already.
   *
   * @param readings that completed signals
   * @return by the last reading of the sample; those that have not signalled are left out
   */
  static Map<Long, Long> signalled(List<Point> samples, Set<Long> readings) {
    Map<Long, Long> signalled = new HashMap<>();
    for (Point sample : samples) {
      sample.completing().stream()
          .filter(readings::contains)
          .findFirst()
          .ifPresent(reading -> signalled.put(sample.lastReading(), reading));
    }
    return signalled;
  }

  /**
   * The last reading of the sample that waits, if one does: the newest of a shift that runs, with
   * fewer readings than planned, unless it has signalled.
   *
   * @param series of a stratum, in order
   */
  static Optional<Long> waiting(
      List<Point> series, Chart.Cut cut, Instant now, Map<Long, Long> signalled) {
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
