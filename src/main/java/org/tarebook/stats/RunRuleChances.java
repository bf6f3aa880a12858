package org.tarebook.stats;

import java.util.Collection;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/**
 * How often a set of zone and band rules signals, for independent normal points about known limits.
 *
 * <p>Both figures follow the exact chain of what the rules remember of the last points. They are
 * the chances of the rules as {@link RunRules} applies them, not a sum over rules, which would
 * count a point twice that two rules mark.
 *
 * <p><b>Source:</b> C. W. Champ and W. H. Woodall, Technometrics 29 (1987) 393-399, whose printed
 * run lengths are reproduced.
 */
public final class RunRuleChances {

  private static final double AGREEMENT = 1e-12;
  private static final int STEADY_STEPS = 20;
  private static final double NOTHING_LEFT = 1e-18;

  /** Beyond it the square of a run length is no double. */
  private static final double LEAST_HAZARD = 1e-150;

  private RunRuleChances() {}

  /**
   * Returns the chance that a point completes at least one run while the process is in control,
   * long after the series began.
   *
   * <p>Times a number of points it is the expected number of points marked.
   *
   * <p><b>Accuracy:</b> relative error below 1e-12.
   *
   * @param rules the rules asked for
   * @return between 0 and 1; 0 for no rule
   * @throws IllegalArgumentException if the rules together remember more than {@value
   *     RunRuleChain#MOST_STATES} different pasts
   */
  public static double perPoint(Collection<? extends RunRule> rules) {
    RunRuleChain chain = new RunRuleChain(rules, 0);
    Map<List<Long>, Double> now = Map.of(chain.nothingSeen(), 1.0);
    double signalling = 0;
    // What lies further back than the longest window is forgotten, so after as many points the
    // distribution no longer changes.
    for (int i = 0; i < chain.longestWindow(); i++) {
      Map<List<Long>, Double> next = new HashMap<>();
      signalling = 0;
      for (Map.Entry<List<Long>, Double> state : now.entrySet()) {
        for (RunRuleChain.Zone zone : chain.zones()) {
          double chance = state.getValue() * zone.chance();
          List<Long> seen = chain.after(state.getKey(), zone);
          next.merge(chain.remembered(seen), chance, Double::sum);
          signalling += chain.signals(seen) ? chance : 0;
        }
      }
      RunRuleChain.requireFollowable(next.size());
      now = next;
    }
    return signalling;
  }

  /**
   * Returns the mean number of points from a fresh start to the first signal.
   *
   * <p><b>Accuracy:</b> error below 1e-8 points for the four zone rules and shifts up to 3.
   *
   * @param rules the rules asked for, at least one
   * @param shift distance of the process mean from the centre line in sigma of the plotted figure
   * @return at least 1
   * @throws IllegalArgumentException as {@link #runLength}
   */
  public static double meanRunLength(Collection<? extends RunRule> rules, double shift) {
    return runLength(rules, shift).mean();
  }

  /**
   * Returns mean and scatter of the number of points from a fresh start to the first signal.
   *
   * <p><b>Accuracy:</b> error below 1e-8 points for the four zone rules and shifts up to 3.
   *
   * @param rules zone and band rules, at least one
   * @param shift distance of the process mean from the centre line in sigma of the plotted figure
   * @return the run length
   * @throws IllegalArgumentException if there is no rule, the shift is not finite, a rule is a
   *     trend or alternation, the rules together remember more than {@value
   *     RunRuleChain#MOST_STATES} different pasts, or they hardly ever signal: less often than once
   *     in 1e150 points
   */
  public static RunLength runLength(Collection<? extends RunRule> rules, double shift) {
    if (rules.isEmpty()) {
      throw new IllegalArgumentException("no rule, so there is no signal to wait for");
    }
    RunRuleChain chain = new RunRuleChain(rules, Arguments.requireFinite("shift", shift));
    RunRuleChain.Table table = chain.quietTable();
    double[] now = new double[table.states()];
    now[0] = 1;
    double total = 0;
    double squares = 0;
    double quiet = 1;
    // The chance of a signal at the next point, of those that are still quiet.
    double hazard = 0;
    int steady = 0;
    long points = 0;
    while (quiet > NOTHING_LEFT && steady < STEADY_STEPS) {
      total += quiet;
      squares += quiet * (2 * points + 1);
      points++;
      double newHazard = table.signalling(now) / quiet;
      boolean far = points > chain.longestWindow();
      steady = far && Math.abs(newHazard - hazard) <= AGREEMENT * newHazard ? steady + 1 : 0;
      hazard = newHazard;
      now = table.step(now);
      quiet = 0;
      for (double chance : now) {
        quiet += chance;
      }
    }
    if (quiet > NOTHING_LEFT) {
      // From here on the chance of a signal is the same at every point.
      if (hazard < LEAST_HAZARD) {
        throw new IllegalArgumentException(
            "the rules hardly ever signal: a point completes a run with a chance below "
                + LEAST_HAZARD);
      }
      double rest = quiet / hazard;
      total += rest;
      squares += rest * (2 * points + 1) + 2 * (1 - hazard) * rest / hazard;
    }
    return new RunLength(total, Math.sqrt(Math.max(0, squares - total * total)));
  }
}
