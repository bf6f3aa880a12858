package org.tarebook.stats;

import java.util.Collection;
import java.util.Random;

/**
 * A run length found by simulation, for rules that have no exact chain: trends and alternations.
 *
 * <p>Independent normal points about known limits. The same arguments give the same digits.
 *
 * @param runLength mean and standard deviation of the simulated runs
 * @param standardError of the mean: two runs of other seeds differ by about one and a half of it
 * @param runs how many were simulated
 */
public record SimulatedRunLength(RunLength runLength, double standardError, int runs) {

  private static final int LONGEST = 1_000_000;

  /**
   * Simulates runs from a fresh start to the first signal.
   *
   * @param rules of any kind, at least one
   * @param shift distance of the process mean from the centre line in sigma of the plotted figure
   * @param runs how many, at least 2
   * @param seed of the random numbers
   * @return the result
   * @throws IllegalArgumentException if an argument lies outside, or a run goes on for a million
   *     points
   */
  public static SimulatedRunLength of(
      Collection<? extends RunRule> rules, double shift, int runs, long seed) {
    if (rules.isEmpty()) {
      throw new IllegalArgumentException("no rule, so there is no signal to wait for");
    }
    Arguments.requireFinite("shift", shift);
    Arguments.requireAtLeast("runs", runs, 2);
    Random random = new Random(seed);
    RunRuleWatch watch = new RunRuleWatch(rules);
    double sum = 0;
    double squares = 0;
    for (int i = 0; i < runs; i++) {
      watch.reset();
      long length = 1;
      while (!watch.next(shift + random.nextGaussian())) {
        length++;
        if (length > LONGEST) {
          throw new IllegalArgumentException(
              "no signal in %d points, the rules hardly ever signal".formatted(LONGEST));
        }
      }
      sum += length;
      squares += (double) length * length;
    }
    double mean = sum / runs;
    double sd = Math.sqrt(Math.max(0, squares - sum * mean) / (runs - 1));
    return new SimulatedRunLength(new RunLength(mean, sd), sd / Math.sqrt(runs), runs);
  }
}
