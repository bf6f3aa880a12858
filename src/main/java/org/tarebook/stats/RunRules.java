package org.tarebook.stats;

import java.util.ArrayList;
import java.util.Collection;
import java.util.List;

/**
 * Applies run rules to a series of points.
 *
 * <p>Each half of the chart is judged by itself. A signal marks the point that completes the run,
 * and that point itself must count: two points beyond two sigma followed by a quiet one signal at
 * the second, not again at the quiet one. Runs overlap: the ninth point on one side signals as the
 * eighth did.
 */
public final class RunRules {

  private RunRules() {}

  /**
   * Returns the signals of a series.
   *
   * @param z the points in time order, each as its distance from the centre line over the sigma of
   *     the plotted figure (for unequal subgroups each over its own); not kept, not modified
   * @param rules the rules asked for, in the order in which signals at one point are listed
   * @return by completing point, then by rule; a rule signals at most once at a point
   * @throws IllegalArgumentException if a point is not a finite number; the message names its index
   */
  public static List<RunSignal> signals(double[] z, Collection<ZoneRule> rules) {
    List<RunSignal> signals = new ArrayList<>();
    for (int i = 0; i < z.length; i++) {
      Arguments.requireFinite("point " + i, z[i]);
      for (ZoneRule rule : rules) {
        for (Side side : Side.values()) {
          if (rule.counts(z[i], side)) {
            addIfComplete(signals, z, i, rule, side);
          }
        }
      }
    }
    return List.copyOf(signals);
  }

  private static void addIfComplete(
      List<RunSignal> signals, double[] z, int newest, ZoneRule rule, Side side) {
    int counted = 0;
    int first = newest;
    for (int i = newest; i >= 0 && i > newest - rule.window(); i--) {
      if (rule.counts(z[i], side)) {
        counted++;
        first = i;
      }
    }
    if (counted >= rule.count()) {
      signals.add(new RunSignal(rule, side, first, newest));
    }
  }

  /**
   * Returns the signals of a series under rules of any kind.
   *
   * <p>Zone rules signal as in {@link #signals}. A band, trend or alternation signals at every
   * point that completes its window of points.
   *
   * @param z as for {@link #signals}; trends and alternations look at the order of values only
   * @param rules the rules asked for, in the order in which signals at one point are listed
   * @return by completing point, then by rule
   * @throws IllegalArgumentException if a point is not a finite number; the message names its index
   */
  public static List<PatternSignal> patterns(double[] z, Collection<? extends RunRule> rules) {
    List<PatternSignal> found = new ArrayList<>();
    for (int i = 0; i < z.length; i++) {
      Arguments.requireFinite("point " + i, z[i]);
      for (RunRule rule : rules) {
        int first = i - rule.window() + 1;
        if (rule instanceof ZoneRule zone) {
          for (Side side : Side.values()) {
            addIfComplete(found, z, i, zone, zone, side);
          }
        } else if (rule instanceof OneSideRule oneSide) {
          addIfComplete(found, z, i, oneSide, oneSide.rule(), oneSide.side());
        } else if (first >= 0 && complete(z, first, i, rule)) {
          found.add(new PatternSignal(rule, null, first, i));
        }
      }
    }
    return List.copyOf(found);
  }

  private static void addIfComplete(
      List<PatternSignal> found, double[] z, int newest, RunRule shown, ZoneRule rule, Side side) {
    List<RunSignal> signals = new ArrayList<>();
    if (rule.counts(z[newest], side)) {
      addIfComplete(signals, z, newest, rule, side);
    }
    for (RunSignal signal : signals) {
      found.add(new PatternSignal(shown, side, signal.first(), newest));
    }
  }

  private static boolean complete(double[] z, int first, int last, RunRule rule) {
    if (rule instanceof BandRule band) {
      boolean above = false;
      boolean below = false;
      for (int i = first; i <= last; i++) {
        if (!band.counts(z[i])) {
          return false;
        }
        above |= z[i] > 0;
        below |= z[i] < 0;
      }
      return !band.bothSides() || (above && below);
    }
    double before = Math.signum(z[first + 1] - z[first]);
    boolean alternates = rule instanceof AlternationRule;
    for (int i = first + 2; i <= last && before != 0; i++) {
      double move = Math.signum(z[i] - z[i - 1]);
      before = move == (alternates ? -before : before) ? move : 0;
    }
    return before != 0;
  }

  /** Refuses a blank code and a window that is too short or too long. */
  static void require(String code, int window, int least) {
    if (code.isBlank()) {
      throw new IllegalArgumentException("code of a run rule is blank");
    }
    if (window < least || window > RunRule.LONGEST_WINDOW) {
      throw new IllegalArgumentException(
          "rule %s asks for %d points, must be %d to %d"
              .formatted(code, window, least, RunRule.LONGEST_WINDOW));
    }
  }
}
