package org.tarebook.stats.change;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.stream.IntStream;
import org.tarebook.stats.Arguments;
import org.tarebook.stats.Proportion;

/**
 * The most likely moment of one step in a series, and the moments that are nearly as likely.
 *
 * <p>Given that there is a step, each moment has a likelihood, with the levels before and after
 * estimated. The confidence set takes moments from the most likely on until they hold the stated
 * share of all likelihood. It need not be unbroken.
 *
 * <p>It does not test whether there is a step: ask that of a chart, or of {@link #likelihoodRatio}
 * against a simulated series without a step.
 *
 * <p><b>Accuracy:</b> in simulation a set of 90 % held the moment in 89 to 99 % of series of 60
 * points, for steps of half a sigma to four sigma after the 10th to the 50th point. A small step
 * gives a large set: of half a sigma 37 moments of 59, of two sigma three or four.
 *
 * <p><b>Source:</b> D. V. Hinkley, Biometrika 57 (1970) 1-17; normalised likelihood as in A. F. M.
 * Smith, Biometrika 62 (1975) 407-416, with maximised levels.
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
    double[] logs = new double[n];
    for (int at = 1; at < n; at++) {
      double rest = sums.squares(0, at) + sums.squares(at, n);
      logs[at] = -n / 2.0 * Math.log(rest);
    }
    double none = -n / 2.0 * Math.log(sums.squares(0, n));
    return of(logs, 1, n - 1, none, confidence)
        .map(found -> found.with(sums.mean(0, found.at()), sums.mean(found.at(), n)));
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
    double[] squares = new double[n + 1];
    for (int i = 0; i < n; i++) {
      double off = x[i] - sums.mean(0, n);
      squares[i + 1] = squares[i] + off * off;
    }
    double[] logs = new double[n];
    int last = n - LEAST_FOR_SPREAD;
    for (int at = LEAST_FOR_SPREAD; at <= last; at++) {
      logs[at] = ofVariance(squares[at], at) + ofVariance(squares[n] - squares[at], n - at);
    }
    double none = ofVariance(squares[n], n);
    return of(logs, LEAST_FOR_SPREAD, last, none, confidence)
        .map(
            found -> {
              int at = found.at();
              return found.with(
                  Math.sqrt(squares[at] / at), Math.sqrt((squares[n] - squares[at]) / (n - at)));
            });
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
    double[] logs = new double[n];
    for (int at = 1; at < n; at++) {
      logs[at] =
          binomial(counted[at], total[at])
              + binomial(counted[n] - counted[at], total[n] - total[at]);
    }
    return of(logs, 1, n - 1, binomial(counted[n], total[n]), confidence)
        .map(
            found -> {
              int at = found.at();
              return found.with(
                  counted[at] / total[at], (counted[n] - counted[at]) / (total[n] - total[at]));
            });
  }

  private static double binomial(double x, double n) {
    double rest = n - x;
    return (x == 0 ? 0 : x * Math.log(x / n)) + (rest == 0 ? 0 : rest * Math.log(rest / n));
  }

  private ChangePoint with(double before, double after) {
    return new ChangePoint(at, before, after, likelihoodRatio, set);
  }

  private static Optional<ChangePoint> of(
      double[] logs, int first, int last, double none, double confidence) {
    Arguments.requireConfidence(confidence);
    int best = first;
    for (int at = first; at <= last; at++) {
      if (!Double.isFinite(logs[at])) {
        return Optional.empty();
      }
      best = logs[at] > logs[best] ? at : best;
    }
    double greatest = logs[best];
    double all = 0;
    for (int at = first; at <= last; at++) {
      all += Math.exp(logs[at] - greatest);
    }
    List<Integer> byLikelihood =
        IntStream.rangeClosed(first, last)
            .boxed()
            .sorted(Comparator.comparingDouble(at -> -logs[at]))
            .toList();
    List<Integer> set = new ArrayList<>();
    double held = 0;
    for (int at : byLikelihood) {
      set.add(at);
      held += Math.exp(logs[at] - greatest);
      if (held >= confidence * all) {
        break;
      }
    }
    set.sort(Comparator.naturalOrder());
    return Optional.of(new ChangePoint(best, 0, 0, Math.max(0, 2 * (greatest - none)), set));
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
