package org.tarebook.control;

import java.time.Instant;
import java.util.Comparator;
import java.util.List;
import java.util.stream.Stream;

/**
 * A part of a window, and what its readings come to.
 *
 * @param even whether it consists of whole shifts and nothing was asked to be kept apart inside
 * @param points its points, where it is not even; none otherwise
 * @param begunBefore points that a reading of it completes, whose first readings lie before it
 * @param kept whether its summary was kept; otherwise its readings were read
 */
public record Part(
    Instant from,
    Instant before,
    Summary summary,
    boolean even,
    List<Point> points,
    List<Point> begunBefore,
    boolean kept) {

  /** The points that its readings complete, in order; none where it is even. */
  public List<Point> completed() {
    return Stream.concat(begunBefore.stream(), points.stream()).toList();
  }

  /** When the first of the points that its readings complete began. */
  public Instant firstBegun() {
    return begunBefore.stream()
        .map(point -> point.span().earliest())
        .min(Comparator.naturalOrder())
        .orElse(from);
  }

  Part ofStratum(String stratum) {
    return new Part(
        from,
        before,
        summary.ofStratum(stratum),
        even,
        ofStratum(stratum, points),
        ofStratum(stratum, begunBefore),
        kept);
  }

  private static List<Point> ofStratum(String stratum, List<Point> points) {
    return points.stream().filter(point -> point.stratum().equals(stratum)).toList();
  }
}
