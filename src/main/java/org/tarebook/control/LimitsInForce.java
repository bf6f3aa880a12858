package org.tarebook.control;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.tarebook.chart.Chart;

/**
 * Which limit set is in force when: the last one of a point's stratum that has begun, else the last
 * one of the whole chart.
 */
public final class LimitsInForce {

  private final List<LimitSet> sets;

  /** From the limit sets of one chart, in the order in which they come into force. */
  LimitsInForce(List<LimitSet> sets) {
    this.sets = List.copyOf(sets);
  }

  /** Only what was frozen by a version of the chart's lock. */
  public LimitsInForce asOf(long version) {
    return new LimitsInForce(
        sets.stream().filter(set -> set.baseline().version() <= version).toList());
  }

  /** A signal and the set whose limits it broke. */
  record Broken(LimitSet set, Found found) {}

  /** The set in force for a stratum at a moment. */
  public Optional<LimitSet> at(String stratum, Instant moment) {
    LimitSet ofChart = null;
    LimitSet own = null;
    for (LimitSet set : sets) {
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
    return sets.stream()
        .filter(set -> set.code().equals(code))
        .map(LimitSet::limits)
        .findFirst()
        .orElse(others);
  }

  /** Every set, in the order in which they come into force. */
  public List<LimitSet> all() {
    return sets;
  }

  /** When the first of them comes into force; absent without any. */
  @Nullable Instant begin() {
    return sets.isEmpty() ? null : sets.get(0).inForceFrom();
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
