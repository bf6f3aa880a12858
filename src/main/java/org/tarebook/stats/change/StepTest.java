package org.tarebook.stats.change;

import java.util.SplittableRandom;
import java.util.function.DoubleSupplier;
import org.tarebook.stats.Arguments;

/**
 * Whether a series has a step at all: the chance of so large a greatest likelihood of a step if the
 * points came in any other order just as well.
 *
 * <p>It is the share of random orders of the same points that give as large a likelihood, the order
 * that came counted with them. So it holds for points of any distribution, and whatever the spread;
 * not for points that follow each other, or drift.
 *
 * <p><b>Accuracy:</b> {@value #MOST_ORDERS} orders from a fixed seed, in long series fewer, but
 * {@value #FEWEST_ORDERS} at least: never below one over one more than that, and a chance of 0.05
 * is known to 0.007, of {@value #FEWEST_ORDERS} orders to 0.022.
 *
 * <p><b>Source:</b> E. J. G. Pitman's tests by permutation; B. Phipson and G. K. Smyth, Statistical
 * Applications in Genetics and Molecular Biology 9 (2010), article 39, for counting the order that
 * came.
 */
public final class StepTest {

  static final int MOST_ORDERS = 999;
  static final int FEWEST_ORDERS = 99;
  private static final long POINTS = 20_000_000;
  private static final long SEED = 23;

  /** Likelihoods that differ by less than this share of themselves count as equal. */
  private static final double TIE = 1e-10;

  private StepTest() {}

  /**
   * Returns the chance of so clear a step in the mean without one.
   *
   * @param x points in time order; not kept
   * @return above 0, at most 1; 1 for fewer than four points and when nothing varied
   * @throws IllegalArgumentException if a point is not finite
   */
  public static double ofMean(double[] x) {
    Arguments.requireSeries("point", x, 0);
    if (x.length < ChangePoint.LEAST) {
      return 1;
    }
    double mean = 0;
    for (double value : x) {
      mean += (value - x[0]) / x.length;
    }
    double[] off = new double[x.length];
    for (int i = 0; i < x.length; i++) {
      off[i] = x[i] - x[0] - mean;
    }
    return chance(off, new double[x.length], () -> between(off));
  }

  /** The greatest sum of squares between both sides of a moment. */
  private static double between(double[] off) {
    double n = off.length;
    double sum = 0;
    double most = 0;
    for (int at = 1; at < off.length; at++) {
      sum += off[at - 1];
      most = Math.max(most, sum * sum * n / (at * (n - at)));
    }
    return most;
  }

  /**
   * Returns the chance of so clear a step in the spread without one.
   *
   * @param squares of each point about what it scatters about, in time order; not kept
   * @param degrees of freedom of each; not kept
   * @return above 0, at most 1; 1 where {@link ChangePoint#ofSpread(double[], double[], double)} is
   *     empty
   * @throws IllegalArgumentException if a figure is not finite
   */
  public static double ofSpread(double[] squares, double[] degrees) {
    double[] own = Arguments.requireSeries("squares", squares, 0).clone();
    double[] free = Arguments.requireSeries("degrees", degrees, 0).clone();
    return ChangePoint.spreadMoments(free).isEmpty()
        ? 1
        : chance(own, free, () -> ChangePoint.greatestOfSpread(own, free));
  }

  private static double chance(double[] first, double[] second, DoubleSupplier figure) {
    double came = figure.getAsDouble();
    int orders =
        (int) Math.max(FEWEST_ORDERS, Math.min(MOST_ORDERS, POINTS / Math.max(1, first.length)));
    SplittableRandom random = new SplittableRandom(SEED);
    int asLarge = 1;
    for (int i = 0; i < orders; i++) {
      for (int j = first.length - 1; j > 0; j--) {
        int other = random.nextInt(j + 1);
        swap(first, j, other);
        swap(second, j, other);
      }
      asLarge += figure.getAsDouble() >= came - TIE * Math.abs(came) ? 1 : 0;
    }
    return asLarge / (orders + 1.0);
  }

  private static void swap(double[] of, int i, int j) {
    double kept = of[i];
    of[i] = of[j];
    of[j] = kept;
  }
}
