package org.tarebook.stats;

import java.util.ArrayList;
import java.util.Collection;
import java.util.List;

/**
 * Applies zone rules to a series of points.
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
}
