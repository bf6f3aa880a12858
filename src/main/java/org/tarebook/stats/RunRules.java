package org.tarebook.stats;

import java.util.ArrayList;
import java.util.Collection;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Applies run rules to a series of points.
 *
 * <p>Zone rules judge each half of the chart by itself. A signal marks the point that completes the
 * run, and that point itself must count: two points beyond two sigma followed by a quiet one signal
 * at the second, not again at the quiet one. Runs overlap: the ninth point on one side signals as
 * the eighth did.
 *
 * <p>A series begins with fewer points than a window holds. A zone rule that asks for some of its
 * window signals as soon as so many have counted: two of the first two signal as two of three.
 * Rules that ask for all of a window wait until it is full. Neither looks back beyond the series.
 *
 * <p>A band, trend or alternation signals at every point that completes its window of points, and a
 * {@link MemoryRule} at every point at which its figure lies beyond.
 */
public final class RunRules {

  private RunRules() {}

  /**
   * Returns the signals of a series.
   *
   * @param z the points in time order, each as its distance from the centre line over the sigma of
   *     the plotted figure (for unequal subgroups each over its own); trends and alternations look
   *     at the order of values only; not kept, not modified
   * @param rules the rules asked for, of any kind, in the order in which signals at one point are
   *     listed
   * @return by completing point, then by rule; a rule signals at most once at a point
   * @throws IllegalArgumentException if a point is not a finite number; the message names its index
   */
  public static List<RunSignal> signals(double[] z, Collection<? extends RunRule> rules) {
    List<RunSignal> signals = new ArrayList<>();
    for (int i = 0; i < z.length; i++) {
      Arguments.requireFinite("point " + i, z[i]);
      for (RunRule rule : rules) {
        RunSignal signal = signal(z, i, rule);
        if (signal != null) {
          signals.add(signal);
        }
      }
    }
    return List.copyOf(signals);
  }

  private static @Nullable RunSignal signal(double[] z, int newest, RunRule rule) {
    if (rule instanceof ZoneRule zone) {
      Side side = z[newest] > 0 ? Side.ABOVE : Side.BELOW;
      return ofZone(z, newest, rule, zone, side);
    } else if (rule instanceof OneSideRule oneSide) {
      return ofZone(z, newest, rule, oneSide.rule(), oneSide.side());
    } else if (rule instanceof MemoryRule memory) {
      return memory.signal(z, newest);
    }
    int first = newest - rule.window() + 1;
    if (first < 0) {
      return null;
    } else if (rule instanceof BandRule band) {
      return inBand(z, first, newest, band) ? new RunSignal(rule, null, first, newest) : null;
    }
    double move = move(z, first, newest, rule instanceof AlternationRule);
    if (move == 0) {
      return null;
    }
    Side side = rule instanceof AlternationRule ? null : move > 0 ? Side.ABOVE : Side.BELOW;
    return new RunSignal(rule, side, first, newest);
  }

  private static @Nullable RunSignal ofZone(
      double[] z, int newest, RunRule shown, ZoneRule rule, Side side) {
    if (!rule.counts(z[newest], side)) {
      return null;
    }
    int counted = 0;
    int first = newest;
    for (int i = newest; i >= 0 && i > newest - rule.window(); i--) {
      if (rule.counts(z[i], side)) {
        counted++;
        first = i;
      }
    }
    return counted >= rule.count() ? new RunSignal(shown, side, first, newest) : null;
  }

  private static boolean inBand(double[] z, int first, int last, BandRule band) {
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

  /** The sign of the last of steady, or of alternating, moves; 0 where they are neither. */
  private static double move(double[] z, int first, int last, boolean alternates) {
    double before = Math.signum(z[first + 1] - z[first]);
    for (int i = first + 2; i <= last && before != 0; i++) {
      double move = Math.signum(z[i] - z[i - 1]);
      before = move == (alternates ? -before : before) ? move : 0;
    }
    return before;
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
