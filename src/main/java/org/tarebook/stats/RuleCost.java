package org.tarebook.stats;

import java.util.Collection;
import java.util.Random;
import org.jspecify.annotations.Nullable;

/**
 * What a choice of run rules costs and finds, exactly where the rules have a chain that can be
 * followed ({@link RunRuleChances}), else by simulation with a fixed seed.
 *
 * @param runLength points from a fresh start to the first signal
 * @param standardError of the simulated mean; null where the figure is exact
 * @param runs how many were simulated; 0 where the figure is exact
 */
public record RuleCost(RunLength runLength, @Nullable Double standardError, int runs) {

  private static final int PILOT = 50;
  private static final int MOST_RUNS = 20_000;
  private static final int POINTS = 400_000;
  private static final long SEED = 36;

  /**
   * Returns the run length of some rules.
   *
   * <p>Simulated runs are {@value #MOST_RUNS}, or so many as take some twenty million points.
   *
   * @param rules of any kind, at least one
   * @param shift lasting shift of the mean in sigma of the plotted figure
   * @return exact or simulated
   * @throws IllegalArgumentException as {@link SimulatedRunLength#of}, where rules without a chain
   *     hardly ever signal
   */
  public static RuleCost of(Collection<? extends RunRule> rules, double shift) {
    try {
      return new RuleCost(RunRuleChances.runLength(rules, shift), null, 0);
    } catch (RunRuleChain.NoChain simulate) {
      double length = SimulatedRunLength.of(rules, shift, PILOT, SEED + 1).runLength().mean();
      int runs = (int) Math.min(MOST_RUNS, 50.0 * POINTS / length);
      SimulatedRunLength simulated = SimulatedRunLength.of(rules, shift, Math.max(2, runs), SEED);
      return new RuleCost(simulated.runLength(), simulated.standardError(), simulated.runs());
    }
  }

  /**
   * Returns the chance that a point completes a signal while the process is in control, long after
   * the series began.
   *
   * <p><b>Accuracy:</b> that of {@link RunRuleChances#perPoint} where the rules have a chain; else
   * the share of marked points in 400,000 simulated ones: of a chance of 0.01 that is known to some
   * 2 % or, where signals come in clusters, 5 %.
   *
   * @param rules of any kind
   * @return between 0 and 1; 0 for no rule
   */
  public static double perPoint(Collection<? extends RunRule> rules) {
    try {
      return RunRuleChances.perPoint(rules);
    } catch (RunRuleChain.NoChain simulate) {
      return simulatedPerPoint(rules);
    }
  }

  private static double simulatedPerPoint(Collection<? extends RunRule> rules) {
    Random random = new Random(SEED);
    RunRuleWatch watch = new RunRuleWatch(rules);
    for (int i = 0; i < RunRule.LONGEST_WINDOW; i++) {
      watch.next(random.nextGaussian());
    }
    int marked = 0;
    for (int i = 0; i < POINTS; i++) {
      marked += watch.next(random.nextGaussian()) ? 1 : 0;
    }
    return (double) marked / POINTS;
  }
}
