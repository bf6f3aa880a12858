package org.tarebook.stats;

import java.util.ArrayList;
import java.util.Collection;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeSet;
import org.apache.commons.statistics.distribution.NormalDistribution;

/**
 * What a set of zone rules remembers of the points seen, and how one more point changes it.
 *
 * <p>A past is one bit pattern for each rule and side; bit 0 tells whether the newest point
 * counted.
 */
final class RunRuleChain {

  /** The most different pasts that are followed; the four zone rules have a few thousand. */
  static final int MOST_STATES = 100_000;

  /** A stretch of the chart in which all points count for the same rules. */
  record Zone(double inside, double chance) {}

  private final List<ZoneRule> rules;
  private final List<Zone> zones;

  RunRuleChain(Collection<ZoneRule> rules, double shift) {
    this.rules = List.copyOf(rules);
    TreeSet<Double> cuts = new TreeSet<>();
    cuts.add(0.0);
    for (ZoneRule rule : rules) {
      cuts.add(rule.zone());
      cuts.add(0 - rule.zone());
    }
    NormalDistribution points = NormalDistribution.of(shift, 1);
    this.zones = new ArrayList<>();
    double lower = Double.NEGATIVE_INFINITY;
    for (double upper : cuts) {
      double inside = zones.isEmpty() ? upper - 1 : (lower + upper) / 2;
      zones.add(new Zone(inside, points.probability(lower, upper)));
      lower = upper;
    }
    zones.add(new Zone(lower + 1, points.survivalProbability(lower)));
  }

  List<Zone> zones() {
    return zones;
  }

  int longestWindow() {
    return rules.stream().mapToInt(ZoneRule::window).max().orElse(0);
  }

  List<Long> nothingSeen() {
    return rules.stream().flatMap(rule -> List.of(0L, 0L).stream()).toList();
  }

  /** The past with one more point, as far back as the windows reach. */
  List<Long> after(List<Long> past, Zone zone) {
    List<Long> seen = new ArrayList<>(past.size());
    for (ZoneRule rule : rules) {
      for (Side side : Side.values()) {
        long counts = rule.counts(zone.inside(), side) ? 1 : 0;
        seen.add(past.get(seen.size()) << 1 | counts);
      }
    }
    return seen;
  }

  /** Whether the newest point completes a run. */
  boolean signals(List<Long> seen) {
    for (int i = 0; i < seen.size(); i++) {
      long pattern = seen.get(i);
      if ((pattern & 1) == 1 && Long.bitCount(pattern) >= rules.get(i / 2).count()) {
        return true;
      }
    }
    return false;
  }

  /** What the next point can still be joined to: the newest points but one window's last. */
  List<Long> remembered(List<Long> seen) {
    List<Long> past = new ArrayList<>(seen.size());
    for (int i = 0; i < seen.size(); i++) {
      past.add(seen.get(i) & ((1L << (rules.get(i / 2).window() - 1)) - 1));
    }
    return past;
  }

  static void requireFollowable(int states) {
    if (states > MOST_STATES) {
      throw new IllegalArgumentException(
          "rules remember more than %d different pasts, shorten their windows"
              .formatted(MOST_STATES));
    }
  }

  /** Every past that can be reached without a signal, the empty one first. */
  Table quietTable() {
    Map<List<Long>, Integer> numbers = new HashMap<>();
    List<List<Long>> pasts = new ArrayList<>();
    numbers.put(nothingSeen(), 0);
    pasts.add(nothingSeen());
    List<int[]> followers = new ArrayList<>();
    for (int i = 0; i < pasts.size(); i++) {
      int[] row = new int[zones.size()];
      for (int j = 0; j < row.length; j++) {
        List<Long> seen = after(pasts.get(i), zones.get(j));
        if (signals(seen)) {
          row[j] = Table.SIGNAL;
          continue;
        }
        List<Long> past = remembered(seen);
        Integer number = numbers.putIfAbsent(past, pasts.size());
        row[j] = number == null ? pasts.size() : number;
        if (number == null) {
          pasts.add(past);
        }
      }
      followers.add(row);
      requireFollowable(pasts.size());
    }
    double[] chances = zones.stream().mapToDouble(Zone::chance).toArray();
    return new Table(followers, chances);
  }

  /** Numbered pasts and where each zone leads from them. */
  static final class Table {

    private static final int SIGNAL = -1;

    private final List<int[]> followers;
    private final double[] chances;

    private Table(List<int[]> followers, double[] chances) {
      this.followers = followers;
      this.chances = chances;
    }

    int states() {
      return followers.size();
    }

    /** The chances of each past one point later; what is missing to 1 has signalled. */
    double[] step(double[] now) {
      double[] next = new double[now.length];
      for (int i = 0; i < now.length; i++) {
        int[] row = followers.get(i);
        for (int j = 0; j < row.length; j++) {
          if (row[j] != SIGNAL) {
            next[row[j]] += now[i] * chances[j];
          }
        }
      }
      return next;
    }
  }
}
