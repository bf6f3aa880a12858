package org.tarebook.stats.change;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.stream.IntStream;
import org.apache.commons.numbers.gamma.LogGamma;
import org.tarebook.stats.Arguments;
import org.tarebook.stats.ChiSquared;
import org.tarebook.stats.Proportion;

/**
 * The most likely moment of one step in a series, and the moments that are nearly as likely.
 *
 * <p>The confidence set holds every moment that a test at the stated level does not reject. The
 * test of a moment asks how far below the greatest likelihood its own lies. Its distribution is
 * that of series with a step at this moment and the levels and spreads found there, the rest being
 * chance: it does not depend on the size of the step. The set need not be unbroken.
 *
 * <p>It does not test whether there is a step: ask that of a chart, or of {@link #likelihoodRatio}
 * against a simulated series without a step.
 *
 * <p><b>Accuracy:</b> {@value #ROUNDS} simulated series for a moment, from a fixed seed, so the
 * same points give the same set. A moment that lies too far below for any chance is left out
 * without simulation. In a series of more than {@value #LONGEST_SIMULATED} points ({@value
 * #LONGEST_SIMULATED_SHARES} of shares), or above a confidence of 0.99, every other moment is kept,
 * so that the set is larger than needed. Coverage by simulation is in {@code
 * simulated/change_point_coverage.csv} of the test resources.
 *
 * <p><b>Source:</b> D. V. Hinkley, Biometrika 57 (1970) 1-17, for the likelihood; K. J. Worsley,
 * Biometrika 73 (1986) 91-104, for the set by conditional tests. From memory.
 *
 * @param at index, from 0, of the first point after the most likely step
 * @param before level before it: a mean, a standard deviation or a share
 * @param after level after it
 * @param likelihoodRatio twice the logarithm of the greatest likelihood over that without a step
 * @param set possible values of {@code at}, ascending, {@code at} among them
 */
public record ChangePoint(
    int at, double before, double after, double likelihoodRatio, List<Integer> set) {

  /** The fewest points on each side from which a spread is taken. */
  private static final int LEAST_FOR_SPREAD = 3;

  static final int ROUNDS = 99;
  static final int LONGEST_SIMULATED = 1000;

  /** The same of shares, whose counts take longer to draw. */
  static final int LONGEST_SIMULATED_SHARES = 200;

  private static final long SEED = 19;
  private static final double MANY = 30;

  /** Copies the set. */
  public ChangePoint {
    set = List.copyOf(set);
  }

  /**
   * Finds a step in the mean of normal points with one spread.
   *
   * @param x in time order; not kept
   * @param confidence of the set, between 0 and 1, such as 0.95
   * @return empty for fewer than four points and when points do not vary on either side of some
   *     moment, which then is certain or does not exist
   * @throws IllegalArgumentException if a point is not finite or the confidence lies outside
   */
  public static Optional<ChangePoint> ofMean(double[] x, double confidence) {
    Arguments.requireSeries("point", x, 0);
    int n = x.length;
    if (n < 4) {
      return Optional.empty();
    }
    Sums sums = new Sums(x);
    double[] logs = ofMeans(sums, n);
    double none = -n / 2.0 * Math.log(sums.squares(0, n));
    Alike alike =
        (at, random) -> {
          double[] chance = chance(n, random);
          Sums own = new Sums(chance);
          double scale =
              Math.sqrt(
                  (sums.squares(0, at) + sums.squares(at, n))
                      / (own.squares(0, at) + own.squares(at, n)));
          double[] series = new double[n];
          for (int i = 0; i < n; i++) {
            int from = i < at ? 0 : at;
            int to = i < at ? at : n;
            series[i] = sums.mean(from, to) + scale * (chance[i] - own.mean(from, to));
          }
          return ofMeans(new Sums(series), n);
        };
    return of(logs, 1, n - 1, none, confidence, LONGEST_SIMULATED, alike)
        .map(found -> found.with(sums.mean(0, found.at()), sums.mean(found.at(), n)));
  }

  private static double[] chance(int n, Random random) {
    double[] chance = new double[n];
    for (int i = 0; i < n; i++) {
      chance[i] = random.nextGaussian();
    }
    return chance;
  }

  private static double[] ofMeans(Sums sums, int n) {
    double[] logs = new double[n];
    for (int at = 1; at < n; at++) {
      logs[at] = -n / 2.0 * Math.log(sums.squares(0, at) + sums.squares(at, n));
    }
    return logs;
  }

  /**
   * Finds a step in the spread of normal points with one mean.
   *
   * @param x in time order; not kept
   * @param confidence of the set, between 0 and 1
   * @return levels are standard deviations about the common mean; empty for fewer than six points
   *     and when points do not vary on either side of some moment
   * @throws IllegalArgumentException if a point is not finite or the confidence lies outside
   */
  public static Optional<ChangePoint> ofSpread(double[] x, double confidence) {
    Arguments.requireSeries("point", x, 0);
    int n = x.length;
    if (n < 2 * LEAST_FOR_SPREAD) {
      return Optional.empty();
    }
    Sums sums = new Sums(x);
    double[] squares = squares(x, sums.mean(0, n), 1, 1, n);
    int last = n - LEAST_FOR_SPREAD;
    double[] logs = ofSpreads(squares, n);
    double none = ofVariance(squares[n], n);
    Alike alike =
        (at, random) -> {
          double[] chance = chance(n, random);
          double[] own = squares(chance, 0, 1, 1, n);
          return ofSpreads(
              squares(
                  chance,
                  0,
                  squares[at] / own[at],
                  (squares[n] - squares[at]) / (own[n] - own[at]),
                  at),
              n);
        };
    return of(logs, LEAST_FOR_SPREAD, last, none, confidence, LONGEST_SIMULATED, alike)
        .map(
            found -> {
              int at = found.at();
              return found.with(
                  Math.sqrt(squares[at] / at), Math.sqrt((squares[n] - squares[at]) / (n - at)));
            });
  }

  /** Sums of squares about a level, those before a moment times one factor, the rest another. */
  private static double[] squares(double[] x, double level, double before, double after, int at) {
    double[] squares = new double[x.length + 1];
    for (int i = 0; i < x.length; i++) {
      double off = x[i] - level;
      squares[i + 1] = squares[i] + (i < at ? before : after) * off * off;
    }
    return squares;
  }

  private static double[] ofSpreads(double[] squares, int n) {
    double[] logs = new double[n];
    for (int at = LEAST_FOR_SPREAD; at <= n - LEAST_FOR_SPREAD; at++) {
      logs[at] = ofVariance(squares[at], at) + ofVariance(squares[n] - squares[at], n - at);
    }
    return logs;
  }

  private static double ofVariance(double squares, int n) {
    return -n / 2.0 * Math.log(squares / n);
  }

  /**
   * Finds a step in a share, such as a reject rate by shifts.
   *
   * @param counts in time order; items are taken as independent
   * @param confidence of the set, between 0 and 1
   * @return empty for fewer than two points, and when nothing or everything was counted
   * @throws IllegalArgumentException if the confidence lies outside
   */
  public static Optional<ChangePoint> ofShare(List<Proportion.Count> counts, double confidence) {
    int n = counts.size();
    double[] counted = new double[n + 1];
    double[] total = new double[n + 1];
    for (int i = 0; i < n; i++) {
      counted[i + 1] = counted[i] + counts.get(i).counted();
      total[i + 1] = total[i] + counts.get(i).total();
    }
    if (n < 2 || counted[n] == 0 || counted[n] == total[n]) {
      return Optional.empty();
    }
    double[] logs = ofShares(counted, total);
    Alike alike =
        (at, random) -> {
          double[] series = new double[n + 1];
          drawn(series, counted, total, 0, at, random);
          drawn(series, counted, total, at, n, random);
          return ofShares(series, total);
        };
    double none = binomial(counted[n], total[n]);
    return of(logs, 1, n - 1, none, confidence, LONGEST_SIMULATED_SHARES, alike)
        .map(
            found -> {
              int at = found.at();
              return found.with(
                  counted[at] / total[at], (counted[n] - counted[at]) / (total[n] - total[at]));
            });
  }

  private static double[] ofShares(double[] counted, double[] total) {
    int n = counted.length - 1;
    double[] logs = new double[n];
    for (int at = 1; at < n; at++) {
      logs[at] =
          binomial(counted[at], total[at])
              + binomial(counted[n] - counted[at], total[n] - total[at]);
    }
    return logs;
  }

  /** Spreads what was counted from one moment to another over all that was looked at there. */
  private static void drawn(
      double[] series, double[] counted, double[] total, int from, int to, Random random) {
    double left = counted[to] - counted[from];
    for (int i = from; i < to; i++) {
      double here = total[i + 1] - total[i];
      double rest = total[to] - total[i];
      double drawn = i == to - 1 ? left : hypergeometric(left, here, rest, random);
      left -= drawn;
      series[i + 1] = series[i] + drawn;
    }
  }

  /** How many of so many counted fall here; rounded normal where there are many. */
  private static double hypergeometric(double left, double here, double rest, Random random) {
    double share = here / rest;
    double least = Math.max(0, left - (rest - here));
    double most = Math.min(left, here);
    if (left * share > MANY) {
      double sd = Math.sqrt(left * share * (1 - share) * (rest - left) / Math.max(1, rest - 1));
      double drawn = Math.rint(left * share + sd * random.nextGaussian());
      return Math.max(least, Math.min(most, drawn));
    }
    double log = ways(here, least) + ways(rest - here, left - least) - ways(rest, left);
    double chance = Math.exp(log);
    double to = random.nextDouble() - chance;
    double drawn = least;
    while (to > 0 && drawn < most) {
      chance *= (left - drawn) * (here - drawn) / ((drawn + 1) * (rest - left - here + drawn + 1));
      drawn++;
      to -= chance;
    }
    return drawn;
  }

  /** Logarithm of the number of ways to choose. */
  private static double ways(double from, double chosen) {
    return LogGamma.value(from + 1)
        - LogGamma.value(chosen + 1)
        - LogGamma.value(from - chosen + 1);
  }

  private static double binomial(double x, double n) {
    double rest = n - x;
    return (x == 0 ? 0 : x * Math.log(x / n)) + (rest == 0 ? 0 : rest * Math.log(rest / n));
  }

  private ChangePoint with(double before, double after) {
    return new ChangePoint(at, before, after, likelihoodRatio, set);
  }

  /** Draws a series that differs by chance only and has a step at a moment; its likelihoods. */
  private interface Alike {
    double[] logs(int at, Random random);
  }

  private static Optional<ChangePoint> of(
      double[] logs,
      int first,
      int last,
      double none,
      double confidence,
      int longest,
      Alike alike) {
    Arguments.requireConfidence(confidence);
    int best = first;
    for (int at = first; at <= last; at++) {
      if (!Double.isFinite(logs[at])) {
        return Optional.empty();
      }
      best = logs[at] > logs[best] ? at : best;
    }
    Random random = new Random(SEED);
    List<Integer> set = new ArrayList<>();
    for (int at = first; at <= last; at++) {
      double gap = logs[best] - logs[at];
      if (at == best
          || possible(gap, at, logs.length, first, last, confidence, longest, alike, random)) {
        set.add(at);
      }
    }
    double ratio = Math.max(0, 2 * (logs[best] - none));
    return Optional.of(new ChangePoint(best, 0, 0, ratio, set));
  }

  /** Whether a step at a moment leaves another moment so much more likely often enough. */
  private static boolean possible(
      double gap,
      int at,
      int n,
      int first,
      int last,
      double confidence,
      int longest,
      Alike alike,
      Random random) {
    // A chi-square bound over all moments, doubled for few points, where it is not exact.
    double tooFar = ChiSquared.upperRatio(1, (1 - confidence) / n / 100) * (1 + 10.0 / n);
    if (2 * gap > tooFar || n > longest) {
      return 2 * gap <= tooFar;
    }
    double needed = (1 - confidence) * (ROUNDS + 1);
    int further = 1;
    for (int i = 0; i < ROUNDS; i++) {
      double[] logs = alike.logs(at, random);
      double most = Double.NEGATIVE_INFINITY;
      for (int each = first; each <= last; each++) {
        most = Math.max(most, logs[each]);
      }
      further += most - logs[at] >= gap ? 1 : 0;
      if (further > needed) {
        return true;
      }
    }
    return false;
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

    double mean(int from, int to) {
      return origin + (sums[to] - sums[from]) / (to - from);
    }

    /** Squared deviations of a part from its own mean; 0 if what is left is rounding. */
    double squares(int from, int to) {
      double sum = sums[to] - sums[from];
      double all = squares[to] - squares[from];
      double left = all - sum * sum / (to - from);
      return left > 1e-14 * squares[squares.length - 1] ? left : 0;
    }
  }
}
