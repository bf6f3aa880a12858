package org.tarebook.stats;

import java.util.Arrays;
import java.util.Collection;

/** Follows a series point by point under rules of any kind. Starts fresh after {@link #reset}. */
final class RunRuleWatch {

  private final RunRule[] rules;
  private final long[] patterns;
  private final int[] runs;
  private final double[] last = new double[RunRule.LONGEST_WINDOW];
  private final boolean remembers;
  private int seen;
  private double before = Double.NaN;
  private double move = Double.NaN;

  RunRuleWatch(Collection<? extends RunRule> rules) {
    this.rules = rules.toArray(RunRule[]::new);
    this.patterns = new long[2 * this.rules.length];
    this.runs = new int[this.rules.length];
    this.remembers = rules.stream().anyMatch(MemoryRule.class::isInstance);
  }

  void reset() {
    Arrays.fill(patterns, 0);
    Arrays.fill(runs, 0);
    seen = 0;
    before = Double.NaN;
    move = Double.NaN;
  }

  /** Takes one more point and tells whether any rule signals at it. */
  boolean next(double z) {
    // NaN, and so equal to nothing, until there are two points.
    double newMove = Math.signum(z - before);
    if (remembers) {
      remember(z);
    }
    boolean signals = false;
    for (int i = 0; i < rules.length; i++) {
      RunRule rule = rules[i];
      if (rule instanceof ZoneRule zone) {
        signals |= zone(zone, 2 * i, z, Side.ABOVE);
        signals |= zone(zone, 2 * i + 1, z, Side.BELOW);
      } else if (rule instanceof OneSideRule oneSide) {
        signals |= zone(oneSide.rule(), 2 * i, z, oneSide.side());
      } else if (rule instanceof BandRule band) {
        signals |= band(band, i, z);
      } else if (rule instanceof MemoryRule memory) {
        signals |= memory.signal(last, seen - 1) != null;
      } else {
        double wanted = rule instanceof TrendRule ? move : -move;
        boolean moves = newMove == 1 || newMove == -1;
        runs[i] = !moves ? 1 : newMove == wanted ? runs[i] + 1 : 2;
        signals |= runs[i] >= rule.window();
      }
    }
    before = z;
    move = newMove;
    return signals;
  }

  private void remember(double z) {
    if (seen == last.length) {
      System.arraycopy(last, 1, last, 0, seen - 1);
      seen--;
    }
    last[seen++] = z;
  }

  private boolean zone(ZoneRule rule, int slot, double z, Side side) {
    boolean counts = rule.counts(z, side);
    long kept = -1L >>> (Long.SIZE - rule.window());
    patterns[slot] = (patterns[slot] << 1 | (counts ? 1 : 0)) & kept;
    return counts && Long.bitCount(patterns[slot]) >= rule.count();
  }

  private boolean band(BandRule rule, int i, double z) {
    runs[i] = rule.counts(z) ? runs[i] + 1 : 0;
    long kept = -1L >>> (Long.SIZE - rule.window());
    patterns[2 * i] = (patterns[2 * i] << 1 | (z > 0 ? 1 : 0)) & kept;
    patterns[2 * i + 1] = (patterns[2 * i + 1] << 1 | (z < 0 ? 1 : 0)) & kept;
    return runs[i] >= rule.window()
        && (!rule.bothSides() || (patterns[2 * i] != 0 && patterns[2 * i + 1] != 0));
  }
}
