package org.tarebook.stats;

import java.util.ArrayList;
import java.util.Collection;
import java.util.Collections;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeSet;
import org.apache.commons.statistics.distribution.NormalDistribution;

/**
 * What a set of zone and band rules remembers of the points seen, and how one more point changes
 * it.
 *
 * <p>A past is a few bit patterns for each rule; bit 0 tells whether the newest point counted. A
 * zone rule has one pattern for each side it is judged on. A band rule has one for the points that
 * count and, if it asks for both sides, one for each side.
 */
final class RunRuleChain {

  /** The most different pasts that are followed; the four zone rules have a few thousand. */
  static final int MOST_STATES = 100_000;

  /** Says that some rules have no chain, or none that can be followed. */
  static final class NoChain extends IllegalArgumentException {
    private static final long serialVersionUID = 1;

    NoChain(String message) {
      super(message);
    }
  }

  /** A stretch of the chart in which all points count for the same rules. */
  record Zone(double inside, double chance) {}

  private final List<RunRule> rules;
  private final List<Zone> zones;

  RunRuleChain(Collection<? extends RunRule> rules, double shift) {
    this.rules = List.copyOf(rules);
    TreeSet<Double> cuts = new TreeSet<>();
    cuts.add(0.0);
    for (RunRule rule : rules) {
      cuts.add(zone(rule));
      cuts.add(0 - zone(rule));
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

  private static double zone(RunRule rule) {
    if (rule instanceof ZoneRule zone) {
      return zone.zone();
    } else if (rule instanceof OneSideRule oneSide) {
      return oneSide.rule().zone();
    } else if (rule instanceof BandRule band) {
      return band.zone();
    }
    throw new NoChain("rule %s has no exact chain, simulate it".formatted(rule.code()));
  }

  int longestWindow() {
    return rules.stream().mapToInt(RunRule::window).max().orElse(0);
  }

  List<Long> nothingSeen() {
    return Collections.nCopies(rules.stream().mapToInt(RunRuleChain::patterns).sum(), 0L);
  }

  private static int patterns(RunRule rule) {
    return rule instanceof ZoneRule ? 2 : rule instanceof BandRule band && band.bothSides() ? 3 : 1;
  }

  /** The past with one more point, as far back as the windows reach. */
  List<Long> after(List<Long> past, Zone zone) {
    double z = zone.inside();
    List<Long> seen = new ArrayList<>(past.size());
    for (RunRule rule : rules) {
      if (rule instanceof ZoneRule zoneRule) {
        for (Side side : Side.values()) {
          add(seen, past, zoneRule.counts(z, side));
        }
      } else if (rule instanceof OneSideRule oneSide) {
        add(seen, past, oneSide.rule().counts(z, oneSide.side()));
      } else if (rule instanceof BandRule band) {
        add(seen, past, band.counts(z));
        if (band.bothSides()) {
          add(seen, past, z > 0);
          add(seen, past, z < 0);
        }
      }
    }
    return seen;
  }

  private static void add(List<Long> seen, List<Long> past, boolean counts) {
    seen.add(past.get(seen.size()) << 1 | (counts ? 1 : 0));
  }

  /** Whether the newest point completes a run. */
  boolean signals(List<Long> seen) {
    int next = 0;
    for (RunRule rule : rules) {
      long pattern = seen.get(next);
      boolean signals;
      if (rule instanceof ZoneRule zone) {
        signals = completes(zone, pattern) || completes(zone, seen.get(next + 1));
      } else if (rule instanceof OneSideRule oneSide) {
        signals = completes(oneSide.rule(), pattern);
      } else {
        signals = pattern == newest(rule.window());
        if (patterns(rule) == 3) {
          signals = signals && seen.get(next + 1) != 0 && seen.get(next + 2) != 0;
        }
      }
      if (signals) {
        return true;
      }
      next += patterns(rule);
    }
    return false;
  }

  private static boolean completes(ZoneRule rule, long pattern) {
    return (pattern & 1) == 1 && Long.bitCount(pattern) >= rule.count();
  }

  private static long newest(int points) {
    return points == Long.SIZE ? -1L : (1L << points) - 1;
  }

  /**
   * What the next point can still be joined to: the newest points but one window's last, and of an
   * unbroken run only what follows its last break.
   */
  List<Long> remembered(List<Long> seen) {
    List<Long> past = new ArrayList<>(seen.size());
    for (RunRule rule : rules) {
      long kept = newest(rule.window() - 1);
      int first = past.size();
      for (int i = first; i < first + patterns(rule); i++) {
        long pattern = seen.get(i) & kept;
        if (unbroken(rule) && (rule instanceof ZoneRule || i == first)) {
          long run = newest(Long.numberOfTrailingZeros(~pattern));
          pattern &= run;
          kept = rule instanceof BandRule ? kept & run : kept;
        }
        past.add(pattern);
      }
    }
    return past;
  }

  /** Whether the rule asks for every point of its window. */
  private static boolean unbroken(RunRule rule) {
    ZoneRule zone =
        rule instanceof OneSideRule oneSide
            ? oneSide.rule()
            : rule instanceof ZoneRule both ? both : null;
    return zone == null || zone.count() == zone.window();
  }

  static void requireFollowable(int states) {
    if (states > MOST_STATES) {
      throw new NoChain(
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

    /** The chance that the next point signals, from the chances of each past. */
    double signalling(double[] now) {
      double signalling = 0;
      for (int i = 0; i < now.length; i++) {
        int[] row = followers.get(i);
        for (int j = 0; j < row.length; j++) {
          signalling += row[j] == SIGNAL ? now[i] * chances[j] : 0;
        }
      }
      return signalling;
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
