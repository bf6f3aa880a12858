package org.tarebook.control;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.function.Predicate;
import org.jspecify.annotations.Nullable;
import org.tarebook.chart.Chart;

/**
 * Which limit set is in force when: the last one of a point's stratum that has begun, else the last
 * one of the whole chart.
 */
public final class LimitsInForce {

  private final List<LimitSet> all;
  private final List<LimitSet> standing;

  /**
   * From the limit sets of one chart, in the order in which they come into force; withdrawn ones do
   * not count.
   */
  LimitsInForce(List<LimitSet> sets) {
    this(sets, set -> set.withdrawal() == null);
  }

  private LimitsInForce(List<LimitSet> sets, Predicate<LimitSet> stands) {
    this.all = List.copyOf(sets);
    this.standing = sets.stream().filter(stands).toList();
  }

  /** Those that were frozen and stood at a version of the chart's lock. */
  public LimitsInForce asOf(long version) {
    return new LimitsInForce(all, set -> set.stoodAt(version));
  }

  /** A signal and the set whose limits it broke. */
  record Broken(LimitSet set, Found found) {}

  /** The set in force for a stratum at a moment. */
  public Optional<LimitSet> at(String stratum, Instant moment) {
    LimitSet ofChart = null;
    LimitSet own = null;
    for (LimitSet set : standing) {
      if (!set.inForceFrom().isAfter(moment)) {
        own = set.stratum().equals(stratum) ? set : own;
        ofChart = set.stratum().isEmpty() ? set : ofChart;
      }
    }
    return Optional.ofNullable(own != null ? own : ofChart);
  }

  /** The set in force for a point. */
  public Optional<LimitSet> at(Point point) {
    return at(point.stratum(), point.at());
  }

  /** The limits of the set of a code, or others where none is named. */
  public Limits by(@Nullable String code, Limits others) {
    return standing.stream()
        .filter(set -> set.code().equals(code))
        .map(LimitSet::limits)
        .findFirst()
        .orElse(others);
  }

  /** Those that stand, in the order in which they come into force. */
  public List<LimitSet> standing() {
    return standing;
  }

  /** When the first of those that stand comes into force; absent without any. */
  @Nullable Instant begin() {
    return standing.isEmpty() ? null : standing.get(0).inForceFrom();
  }

  /** Judges the points of one stratum, in order; a run ends where another set comes into force. */
  List<Broken> broken(Chart.Cut cut, List<Point> ofStratum) {
    List<Broken> broken = new ArrayList<>();
    int start = 0;
    while (start < ofStratum.size()) {
      LimitSet set = at(ofStratum.get(start)).orElse(null);
      int end = start + 1;
      while (end < ofStratum.size() && Objects.equals(at(ofStratum.get(end)).orElse(null), set)) {
        end++;
      }
      if (set != null) {
        for (Found found : Found.in(cut, ofStratum.subList(start, end), set.limits())) {
          broken.add(new Broken(set, found));
        }
      }
      start = end;
    }
    return broken;
  }
}
