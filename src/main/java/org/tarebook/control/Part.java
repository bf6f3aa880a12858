package org.tarebook.control;

import java.time.Instant;
import java.util.List;

/**
 * A part of a window, and what its readings come to.
 *
 * @param even whether it consists of whole shifts and nothing was asked to be kept apart inside
 * @param points its points, where it is not even; none otherwise
 * @param kept whether its summary was kept; otherwise its readings were read
 */
public record Part(
    Instant from, Instant before, Summary summary, boolean even, List<Point> points, boolean kept) {

  Part ofStratum(String stratum) {
    return new Part(
        from,
        before,
        summary.ofStratum(stratum),
        even,
        points.stream().filter(point -> point.stratum().equals(stratum)).toList(),
        kept);
  }
}
