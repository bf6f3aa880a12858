package org.tarebook.control;

import java.util.List;
import org.tarebook.stats.Moments;
import org.tarebook.stats.SubgroupSums;

/**
 * What points come to, exact, in the chart's unit: all that limits and sigma within are made of,
 * except where means move by themselves.
 *
 * @param subgroups sums of their subgroups
 * @param moved moments of their moving ranges
 * @param movedSeries how many segments gave a moving range
 */
public record PointSums(SubgroupSums subgroups, Moments moved, long movedSeries) {

  static final PointSums EMPTY = new PointSums(SubgroupSums.EMPTY, Moments.EMPTY, 0);

  static PointSums of(List<Point> points) {
    Moments moved = Moments.EMPTY;
    for (Point point : points) {
      Point.Moved one = point.moved();
      moved = one == null ? moved : moved.plus(one.size());
    }
    return new PointSums(
        SubgroupSums.of(points.stream().map(Point::subgroup).toList()),
        moved,
        points.stream()
            .filter(point -> point.moved() != null)
            .map(Point::segment)
            .distinct()
            .count());
  }

  /** The sums of both together; a segment lies wholly in one of them. */
  PointSums plus(PointSums other) {
    return new PointSums(
        subgroups.plus(other.subgroups),
        moved.plus(other.moved),
        Math.addExact(movedSeries, other.movedSeries));
  }

  /** How many points there are. */
  public long count() {
    return subgroups.subgroups();
  }
}
