package org.tarebook.control;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import org.tarebook.chart.Chart;
import org.tarebook.http.Faults;
import org.tarebook.http.ProblemType;
import org.tarebook.stats.Estimator;

/**
 * Limits found in rounds: those of the baseline as it came, then again after each round of points
 * set aside. Points are set aside by a person who names a cause, never by the computer because they
 * lie beyond.
 */
final class Rounds {

  private final Chart.Cut cut;
  private final Estimator estimator;
  private final List<Point> points;
  private final Map<Long, Point> byLastReading = new HashMap<>();

  /**
   * Starts from a baseline.
   *
   * @param points of the baseline, in order
   */
  Rounds(Chart.Cut cut, Estimator estimator, List<Point> points) {
    this.cut = cut;
    this.estimator = estimator;
    this.points = points;
    points.forEach(point -> byLastReading.put(point.lastReading(), point));
  }

  /**
   * Where it ends.
   *
   * @param kept the points left in the end
   * @param limits theirs; absent without spread to estimate sigma from
   * @param rounds each round that has limits with a sigma above 0
   */
  record Outcome(List<Point> kept, Optional<Limits> limits, List<Round> rounds) {}

  /** Computes every round. */
  Outcome run(List<SetAside> asked) {
    check(asked);
    int last = asked.stream().mapToInt(SetAside::round).max().orElse(0);
    Set<Long> aside = new HashSet<>();
    List<Round> rounds = new ArrayList<>();
    List<Point> kept = points;
    Optional<Limits> limits = Limits.of(cut, estimator, kept);
    limits.ifPresent(found -> add(rounds, 0, List.of(), points, found));
    for (int number = 1; number <= last; number++) {
      int now = number;
      List<SetAside> ofRound = asked.stream().filter(each -> each.round() == now).toList();
      ofRound.forEach(each -> aside.add(each.lastReading()));
      List<Point> left = without(aside);
      limits = Limits.of(cut, estimator, left);
      limits.ifPresent(found -> add(rounds, now, ofRound, left, found));
      kept = left;
    }
    return new Outcome(kept, limits, List.copyOf(rounds));
  }

  private void add(
      List<Round> rounds, int number, List<SetAside> ofRound, List<Point> left, Limits limits) {
    if (limits.apart()) {
      rounds.add(
          new Round(
              number,
              ofRound.stream().map(this::aside).toList(),
              left.size(),
              limits.sigma().subgroups(),
              limits.points().centre(),
              limits.points().lower(),
              limits.points().upper(),
              limits.sigma().sigma(),
              Found.beyond(cut, left, limits).stream()
                  .map(found -> found.completing().lastReading())
                  .distinct()
                  .count()));
    }
  }

  private Round.Aside aside(SetAside asked) {
    Point point = Objects.requireNonNull(byLastReading.get(asked.lastReading()));
    return new Round.Aside(asked.lastReading(), point.at(), point.value(), asked.cause());
  }

  /** The points not set aside; a moving range that touches one that is goes with it. */
  private List<Point> without(Set<Long> aside) {
    Map<Point.Segment, Point> before = new HashMap<>();
    List<Point> left = new ArrayList<>();
    for (Point point : points) {
      Point previous = before.put(point.segment(), point);
      if (!aside.contains(point.lastReading())) {
        boolean touches = previous != null && aside.contains(previous.lastReading());
        left.add(touches ? point.withoutMoved() : point);
      }
    }
    return left;
  }

  private void check(List<SetAside> asked) {
    Faults faults = new Faults();
    Set<Integer> numbers = asked.stream().map(SetAside::round).collect(Collectors.toSet());
    Map<Long, Integer> places = new HashMap<>();
    for (int i = 0; i < asked.size(); i++) {
      SetAside each = asked.get(i);
      String at = "/setAside/" + i;
      faults.require(
          each.round() == 1 || numbers.contains(each.round() - 1),
          at + "/round",
          "is %d, but nothing is set aside in round %d; count rounds from 1 without a gap"
              .formatted(each.round(), each.round() - 1));
      Integer earlier = places.putIfAbsent(each.lastReading(), i);
      faults.require(
          earlier == null,
          at + "/lastReading",
          "is named at /setAside/%d already; set a point aside once".formatted(earlier));
      if (!byLastReading.containsKey(each.lastReading())) {
        faults.add(at + "/lastReading", unknown(each.lastReading()));
      }
    }
    faults.throwIfAny(ProblemType.RULE_BROKEN);
  }

  private String unknown(long reading) {
    return points.stream()
        .filter(point -> point.readings().stream().anyMatch(row -> row.id() == reading))
        .findFirst()
        .map(
            point ->
                "reading %d lies within a point; name the point by its last reading, %d"
                    .formatted(reading, point.lastReading()))
        .orElse(
            "no point of the baseline ends with reading %d; take lastReading from beyond in the"
                    .formatted(reading)
                + " preview, or from the points of the chart");
  }
}
