package org.tarebook.stats.change;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.function.IntPredicate;
import java.util.function.Supplier;
import java.util.stream.IntStream;
import org.tarebook.stats.Arguments;
import org.tarebook.stats.ChiSquared;

/**
 * The most likely moment of one step in a series, and the moments that are nearly as likely.
 *
 * <p>The confidence set holds every moment that a test at the stated level does not reject. The
 * test of a moment asks how far below the greatest likelihood its own lies. Its distribution is
 * that of series with a step at this moment and the levels and spreads found there, the rest being
 * chance: it does not depend on the size of the step. The set need not be unbroken.
 *
 * <p>It does not test whether there is a step: {@link StepTest} does. Where the points on either
 * side of a moment are all equal, the step is certain by its likelihood: the set holds one moment
 * and the ratio is infinite.
 *
 * <p><b>Accuracy:</b> {@value #ROUNDS} simulated series for a moment. All moments share the draws
 * of chance, whose seed is the order of the points by size: the same points give the same set, in
 * whatever unit, and what the draws of one series have too much or too little is not the same in
 * all. A moment that lies too far below for any chance is left out without simulation. In a series
 * of more than {@value #LONGEST_SIMULATED} points, or above a confidence of 0.99, every other
 * moment is kept, so that the set is larger than needed. Coverage by simulation is in {@code
 * simulated/change_point_coverage.csv} of the test resources.
 *
 * <p><b>Source:</b> D. V. Hinkley, Biometrika 57 (1970) 1-17, for the likelihood; K. J. Worsley,
 * Biometrika 73 (1986) 91-104, for the set by conditional tests. From memory.
 *
 * @param at index, from 0, of the first point after the most likely step
 * @param before level before it: a mean or a standard deviation
 * @param after level after it
 * @param likelihoodRatio twice the logarithm of the greatest likelihood over that without a step;
 *     infinite where nothing varies on a side, or of means on either
 * @param set possible values of {@code at}, ascending, {@code at} among them
 */
public record ChangePoint(
    int at, double before, double after, double likelihoodRatio, List<Integer> set) {

  /** The fewest points of which a step in the mean is sought. */
  static final int LEAST = 4;

  /** The fewest degrees of freedom on each side from which a spread is taken. */
  private static final double LEAST_FOR_SPREAD = 3;

  /** Squares below this share of all squares are nothing but rounding: what lies there is equal. */
  private static final double NOTHING = 1e-14;

  static final int ROUNDS = 99;

  /** Points beyond which moments are not simulated. */
  public static final int LONGEST_SIMULATED = 1000;

  private static final long SEED = 19;

  /** Copies the set. */
  public ChangePoint {
    set = List.copyOf(set);
  }

  /**
   * Finds a step in the mean of normal points with one spread.
   *
   * @param x in time order; not kept
   * @param confidence of the set, between 0 and 1, such as 0.95
   * @return empty for fewer than four points and when nothing varies
   * @throws IllegalArgumentException if a point is not finite or the confidence lies outside
   */
  public static Optional<ChangePoint> ofMean(double[] x, double confidence) {
    Arguments.requireSeries("point", x, 0);
    int n = x.length;
    Sums sums = new Sums(x);
    if (n < LEAST || sums.squares(0, n) == 0) {
      return Optional.empty();
    }
    double[] logs = ofMeans(sums, n);
    double none = ofVariance(sums.squares(0, n), n, sums.squares(0, n));
    IntPredicate certain = at -> sums.squares(0, at) + sums.squares(at, n) == 0;
    return of(logs, 1, n - 1, none, confidence, certain, () -> means(sums, random(x)))
        .map(found -> found.with(sums.mean(0, found.at()), sums.mean(found.at(), n)));
  }

  /** Series with a step in the mean. They are likelier there, the more they differ in the mean. */
  private static Alike means(Sums sums, Random random) {
    int n = sums.count();
    double[][] drawn = new double[ROUNDS][];
    double[][] squares = new double[ROUNDS][];
    for (int round = 0; round < ROUNDS; round++) {
      double[] chance = new double[n];
      double[] square = new double[n];
      for (int i = 0; i < n; i++) {
        chance[i] = random.nextGaussian();
        square[i] = chance[i] * chance[i];
      }
      drawn[round] = sums(chance);
      squares[round] = sums(square);
    }
    return (at, round, gap) -> {
      double[] own = drawn[round];
      double before = own[at] / at;
      double after = (own[n] - own[at]) / (n - at);
      double within = sums.squares(0, at) + sums.squares(at, n);
      double scale =
          Math.sqrt(within / (squares[round][n] - before * before * at - after * after * (n - at)));
      double step = sums.mean(at, n) - sums.mean(0, at);
      double all = within + step * step * at * (n - at) / n;
      double enough = (all - within * Math.exp(-2 * gap / n)) / n;
      double slopeBefore = -step * (n - at) / n - scale * before;
      double slopeAfter = step * at / n - scale * after;
      for (int each = 1; each < n; each++) {
        double sum =
            scale * own[each]
                + (each <= at ? slopeBefore * each : slopeBefore * at + slopeAfter * (each - at));
        if (sum * sum >= enough * each * (n - each)) {
          return true;
        }
      }
      return false;
    };
  }

  private static double[] ofMeans(Sums sums, int n) {
    double[] logs = new double[n];
    for (int at = 1; at < n; at++) {
      logs[at] = ofVariance(sums.squares(0, at) + sums.squares(at, n), n, sums.squares(0, n));
    }
    return logs;
  }

  /**
   * Finds a step in the spread of normal points about one mean.
   *
   * @param x in time order; not kept
   * @param confidence of the set, between 0 and 1
   * @return levels are standard deviations about the common mean; empty for fewer than six points
   *     and when nothing varies
   * @throws IllegalArgumentException if a point is not finite or the confidence lies outside
   */
  public static Optional<ChangePoint> ofSpread(double[] x, double confidence) {
    Arguments.requireSeries("point", x, 0);
    double[] squares = new double[x.length];
    double mean = x.length == 0 ? 0 : new Sums(x).mean(0, x.length);
    for (int i = 0; i < x.length; i++) {
      squares[i] = (x[i] - mean) * (x[i] - mean);
    }
    double[] degrees = new double[x.length];
    Arrays.fill(degrees, 1);
    return ofSpread(squares, degrees, confidence);
  }

  /**
   * Finds a step in the spread of normal points, each of which has a variance of its own estimate,
   * such as that inside a subgroup.
   *
   * @param squares of each point about what it scatters about, zero or positive; not kept
   * @param degrees of freedom of each, whole numbers, zero or more; not kept
   * @param confidence of the set, between 0 and 1
   * @return levels are standard deviations; empty where no moment has three degrees of freedom on
   *     either side and when nothing varies
   * @throws IllegalArgumentException if a figure is not finite or the confidence lies outside
   */
  public static Optional<ChangePoint> ofSpread(
      double[] squares, double[] degrees, double confidence) {
    Arguments.requireSeries("squares", squares, 0);
    double[] sums = sums(squares);
    double[] free = sums(Arguments.requireSeries("degrees", degrees, 0));
    int n = squares.length;
    Optional<Moments> moments = spreadMoments(degrees);
    if (moments.isEmpty() || !(sums[n] > 0)) {
      return Optional.empty();
    }
    int first = moments.get().first();
    int last = moments.get().last();
    double[] logs = ofSpreads(sums, free, first, last);
    double none = ofVariance(sums[n], free[n], sums[n]);
    return of(
            logs,
            first,
            last,
            none,
            confidence,
            at -> Math.min(sums[at], sums[n] - sums[at]) <= NOTHING * sums[n],
            () -> spreads(logs, sums, free, degrees, moments.get(), random(squares)))
        .map(
            found -> {
              int at = found.at();
              return found.with(
                  Math.sqrt(sums[at] / free[at]),
                  Math.sqrt((sums[n] - sums[at]) / (free[n] - free[at])));
            });
  }

  /** Series with a step in the spread. */
  private static Alike spreads(
      double[] logs,
      double[] sums,
      double[] free,
      double[] degrees,
      Moments moments,
      Random random) {
    int n = degrees.length;
    double[][] drawn = new double[ROUNDS][];
    for (int round = 0; round < ROUNDS; round++) {
      drawn[round] = sums(chance(degrees, random));
    }
    return (at, round, gap) -> {
      double[] own = drawn[round];
      double before = sums[at] / own[at];
      double after = (sums[n] - sums[at]) / (own[n] - own[at]);
      double wanted = logs[at] + gap;
      for (int each = moments.first(); each <= moments.last(); each++) {
        double until = each <= at ? own[each] * before : sums[at] + (own[each] - own[at]) * after;
        double log =
            ofVariance(until, free[each], sums[n])
                + ofVariance(sums[n] - until, free[n] - free[each], sums[n]);
        if (log >= wanted) {
          return true;
        }
      }
      return false;
    };
  }

  /** The first and the last moment with enough degrees of freedom on either side. */
  record Moments(int first, int last) {}

  static Optional<Moments> spreadMoments(double[] degrees) {
    double[] free = sums(degrees);
    int n = degrees.length;
    int first = 1;
    while (first < n && free[first] < LEAST_FOR_SPREAD) {
      first++;
    }
    int last = n - 1;
    while (last > 0 && free[n] - free[last] < LEAST_FOR_SPREAD) {
      last--;
    }
    return first > last || first >= n ? Optional.empty() : Optional.of(new Moments(first, last));
  }

  static double greatestOfSpread(double[] squares, double[] degrees) {
    Moments moments = spreadMoments(degrees).orElse(new Moments(1, 0));
    double[] logs = ofSpreads(sums(squares), sums(degrees), moments.first(), moments.last());
    double greatest = Double.NEGATIVE_INFINITY;
    for (int at = moments.first(); at <= moments.last(); at++) {
      greatest = Math.max(greatest, logs[at]);
    }
    return greatest;
  }

  private static double[] sums(double[] of) {
    double[] sums = new double[of.length + 1];
    for (int i = 0; i < of.length; i++) {
      sums[i + 1] = sums[i] + of[i];
    }
    return sums;
  }

  /** Chance of one series of points only: its seed is their order by size. */
  private static Random random(double[] points) {
    int[] order =
        IntStream.range(0, points.length)
            .boxed()
            .sorted(Comparator.comparingDouble(i -> points[i]))
            .mapToInt(Integer::intValue)
            .toArray();
    return new Random(SEED + Arrays.hashCode(order));
  }

  /** Chi-squares of the degrees of freedom. */
  private static double[] chance(double[] degrees, Random random) {
    double[] chance = new double[degrees.length];
    for (int i = 0; i < chance.length; i++) {
      for (int j = 0; j < degrees[i]; j++) {
        double z = random.nextGaussian();
        chance[i] += z * z;
      }
    }
    return chance;
  }

  private static double[] ofSpreads(double[] squares, double[] free, int first, int last) {
    int n = squares.length - 1;
    double[] logs = new double[n];
    for (int at = first; at <= last; at++) {
      logs[at] =
          ofVariance(squares[at], free[at], squares[n])
              + ofVariance(squares[n] - squares[at], free[n] - free[at], squares[n]);
    }
    return logs;
  }

  /** The logarithm of a likelihood; of squares that are nothing beside all it is finite too. */
  private static double ofVariance(double squares, double n, double all) {
    return -n / 2 * Math.log(Math.max(squares, NOTHING * all) / n);
  }

  private ChangePoint with(double before, double after) {
    return new ChangePoint(at, before, after, likelihoodRatio, set);
  }

  /** Series that have a step at a moment, as large as the points have it, and chance besides. */
  private interface Alike {

    /** Whether the series of a round has a moment that is likelier than the step's by a gap. */
    boolean further(int at, int round, double gap);
  }

  private static Optional<ChangePoint> of(
      double[] logs,
      int first,
      int last,
      double none,
      double confidence,
      IntPredicate certain,
      Supplier<Alike> simulated) {
    Arguments.requireConfidence(confidence);
    int best = first;
    for (int at = first; at <= last; at++) {
      best = logs[at] > logs[best] ? at : best;
    }
    if (certain.test(best)) {
      return Optional.of(new ChangePoint(best, 0, 0, Double.POSITIVE_INFINITY, List.of(best)));
    }
    // A chi-square bound over all moments, doubled for few points, where it is not exact.
    int n = logs.length;
    double tooFar = ChiSquared.upperRatio(1, (1 - confidence) / n / 100) * (1 + 10.0 / n);
    Alike alike = n > LONGEST_SIMULATED ? null : simulated.get();
    List<Integer> set = new ArrayList<>();
    for (int at = first; at <= last; at++) {
      double gap = logs[best] - logs[at];
      if (at == best
          || (2 * gap <= tooFar && (alike == null || possible(gap, at, confidence, alike)))) {
        set.add(at);
      }
    }
    double ratio = Math.max(0, 2 * (logs[best] - none));
    return Optional.of(new ChangePoint(best, 0, 0, ratio, set));
  }

  /** Whether a step at a moment leaves another moment so much more likely often enough. */
  private static boolean possible(double gap, int at, double confidence, Alike alike) {
    double needed = (1 - confidence) * (ROUNDS + 1);
    int further = 1;
    for (int round = 0; round < ROUNDS && further <= needed; round++) {
      further += alike.further(at, round, gap) ? 1 : 0;
    }
    return further > needed;
  }

  /** Sums of a series and its squares, taken from about its mean so as to keep digits. */
  private static final class Sums {

    private final double origin;
    private final double[] sums;
    private final double[] squares;

    Sums(double[] x) {
      origin = IntStream.range(0, x.length).mapToDouble(i -> x[i] / x.length).sum();
      sums = new double[x.length + 1];
      squares = new double[x.length + 1];
      for (int i = 0; i < x.length; i++) {
        double value = x[i] - origin;
        sums[i + 1] = sums[i] + value;
        squares[i + 1] = squares[i] + value * value;
      }
    }

    int count() {
      return sums.length - 1;
    }

    double mean(int from, int to) {
      return origin + (sums[to] - sums[from]) / (to - from);
    }

    /** Squared deviations of a part from its own mean; 0 if what is left is rounding. */
    double squares(int from, int to) {
      double sum = sums[to] - sums[from];
      double all = squares[to] - squares[from];
      double left = all - sum * sum / (to - from);
      return left > NOTHING * squares[squares.length - 1] ? left : 0;
    }
  }
}
