package org.tarebook.capability;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;
import org.tarebook.chart.Chart;
import org.tarebook.control.LimitSet;
import org.tarebook.control.Limits;
import org.tarebook.control.LimitsInForce;
import org.tarebook.control.Part;
import org.tarebook.control.Point;
import org.tarebook.control.PointSums;
import org.tarebook.control.Signals;
import org.tarebook.control.SummarisedWindow;
import org.tarebook.reading.ReadingWindow;
import org.tarebook.stats.SubgroupSums;

/** What the limits of a chart found in a window, by stratum. */
record Evidence(LimitsInForce limits, Map<String, OfStratum> byStratum) {

  /** Whether limits in force judged any point of a stratum. */
  boolean judges(String stratum) {
    return of(stratum).points() > 0;
  }

  /** Of one stratum, or of all together. */
  OfStratum of(@Nullable String stratum) {
    return stratum == null
        ? byStratum.values().stream().reduce(OfStratum.NOTHING, OfStratum::plus)
        : byStratum.getOrDefault(stratum, OfStratum.NOTHING);
  }

  /**
   * What was found in one stratum.
   *
   * @param sets how many points each limit set judged
   * @param together points that no limits in force judged
   */
  record OfStratum(Signals.Counts signals, Map<LimitSet, Long> sets, List<Together> together) {

    static final OfStratum NOTHING = new OfStratum(Signals.Counts.NONE, Map.of(), List.of());

    OfStratum plus(OfStratum other) {
      Map<LimitSet, Long> all = new LinkedHashMap<>(sets);
      other.sets.forEach((set, points) -> all.merge(set, points, Long::sum));
      List<Together> both = new ArrayList<>(together);
      both.addAll(other.together);
      return new OfStratum(signals.plus(other.signals), all, both);
    }

    /** How many points limits in force judged. */
    long points() {
      return sets.values().stream().mapToLong(Long::longValue).sum();
    }

    List<Stability.Stretch> baselines(Chart.Cut cut) {
      return sets.entrySet().stream()
          .map(each -> Stability.Stretch.of(cut, each.getKey(), each.getValue()))
          .toList();
    }
  }

  /**
   * Points that were not judged one by one.
   *
   * @param points how many
   * @param meanSquare about the centre of the limits that they are held against, in squares of
   *     their sigma of a point
   * @param limits those limits
   * @param baseline points that these were computed from
   */
  record Together(long points, double meanSquare, Limits limits, long baseline) {

    static Together of(Chart.Cut cut, SubgroupSums sums, Limits limits, long baseline) {
      double sigma = limits.sigmaOfPoint() * Math.sqrt(cut.subgroupSize());
      return new Together(
          sums.subgroups(), sums.meanSquare(limits.points().centre(), sigma), limits, baseline);
    }
  }

  /**
   * Finds how many points of each stratum the limits in force judged, and what they signalled.
   * Points of a stratum from before its limits came into force are held by their scatter against
   * the first of them.
   *
   * @param limits the limit sets of the chart, as they stood
   */
  static Evidence find(Signals signals, SummarisedWindow window, LimitsInForce limits) {
    return limits.standing().isEmpty()
        ? new Evidence(limits, Map.of())
        : new Search(signals, window, limits).find();
  }

  private static final class Search {

    private final Signals signals;
    private final SummarisedWindow window;
    private final LimitsInForce limits;
    private final Map<String, OfStratum> found = new TreeMap<>();
    private final Map<String, SubgroupSums> together = new HashMap<>();

    Search(Signals signals, SummarisedWindow window, LimitsInForce limits) {
      this.signals = signals;
      this.window = window;
      this.limits = limits;
    }

    Evidence find() {
      ReadingWindow.Asked even = null;
      for (Part part : window.parts()) {
        ReadingWindow.Asked own = window.asked().over(part.from(), part.before());
        if (part.even()) {
          part.summary().points().forEach((stratum, sums) -> add(part, stratum, sums));
          even = even == null ? own : even.over(even.from(), own.before());
        } else {
          addSignals(even);
          even = null;
          addSignals(own.over(part.firstBegun(), own.before()), points(part));
        }
      }
      addSignals(even);
      together.forEach(this::addTogether);
      return new Evidence(limits, found);
    }

    private void add(Part part, String stratum, PointSums sums) {
      limits
          .at(stratum, part.from())
          .ifPresentOrElse(
              set -> add(stratum, set, sums.count()),
              () -> together.merge(stratum, sums.subgroups(), SubgroupSums::plus));
    }

    /** Adds the points of a part; the stratum of each that limits judged, by its readings. */
    private Map<Long, String> points(Part part) {
      Map<Long, String> judged = new HashMap<>();
      for (Point point : part.completed()) {
        LimitSet set = limits.at(point).orElse(null);
        if (set == null) {
          together.merge(
              point.stratum(), SubgroupSums.of(List.of(point.subgroup())), SubgroupSums::plus);
        } else {
          add(point.stratum(), set, 1);
          point.completing().forEach(id -> judged.put(id, point.stratum()));
        }
      }
      return judged;
    }

    private void add(String stratum, LimitSet set, long points) {
      add(stratum, new OfStratum(Signals.Counts.NONE, Map.of(set, points), List.of()));
    }

    private void add(String stratum, OfStratum more) {
      found.merge(stratum, more, OfStratum::plus);
    }

    private void addTogether(String stratum, SubgroupSums sums) {
      LimitSet first =
          limits.standing().stream()
              .filter(set -> set.stratum().equals(stratum) || set.stratum().isEmpty())
              .findFirst()
              .orElse(null);
      if (first != null && sums.subgroups() > 0) {
        Together held = Together.of(window.cut(), sums, first.limits(), first.baseline().points());
        add(stratum, new OfStratum(Signals.Counts.NONE, Map.of(), List.of(held)));
      }
    }

    /** Adds the signals of whole shifts to the strata that have judged points. */
    private void addSignals(ReadingWindow.@Nullable Asked even) {
      if (even != null) {
        signals
            .count(even)
            .forEach(
                (stratum, counts) ->
                    found.computeIfPresent(
                        stratum,
                        (same, judged) -> judged.plus(new OfStratum(counts, Map.of(), List.of()))));
      }
    }

    /**
     * Adds the signals of single points.
     *
     * @param judged the stratum of each point that limits judged, by its last reading
     */
    private void addSignals(ReadingWindow.Asked asked, Map<Long, String> judged) {
      Set<Long> signalled = new HashSet<>();
      for (Signals.Answered each : signals.standing(asked)) {
        String stratum = judged.get(each.signal().completedBy());
        if (stratum != null) {
          Signals.Counts counts =
              new Signals.Counts(
                  signalled.add(each.signal().completedBy()) ? 1 : 0,
                  each.open()
                      ? new Signals.Open(1, each.signal().completedAt())
                      : Signals.Open.NONE,
                  far(each));
          add(stratum, new OfStratum(counts, Map.of(), List.of()));
        }
      }
    }

    private Signals.Far far(Signals.Answered each) {
      Integer readings = each.signal().readings();
      return limits.standing().stream()
          .filter(set -> set.id() == each.signal().limitSetId())
          .map(
              set ->
                  Signals.Far.of(
                      each.signal().rule(),
                      each.signal().point(),
                      readings == null ? window.cut().subgroupSize() : readings,
                      set.limits(),
                      window.cut()))
          .findFirst()
          .orElse(Signals.Far.NONE);
    }
  }
}
