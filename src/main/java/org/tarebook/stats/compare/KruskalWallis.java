package org.tarebook.stats.compare;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import org.apache.commons.statistics.distribution.ChiSquaredDistribution;
import org.tarebook.stats.Arguments;

/**
 * Whether strata lie at different levels, by the ranks of their readings: for any distribution, and
 * hardly moved by a wild reading. If strata differ in spread as well, a difference of levels and
 * one of spreads are not told apart.
 *
 * <p>\[ H = \frac{\frac{12}{N (N + 1)} \sum n_i (\bar r_i - \frac{N + 1}{2})^2}{1 - \sum (t^3 - t)
 * / (N^3 - N)} \]
 *
 * <p>Equal readings share their mean rank; \( t \) are the sizes of such ties.
 *
 * <p><b>Source:</b> W. H. Kruskal and W. A. Wallis, Journal of the American Statistical Association
 * 47 (1952) 583-621; chance by chi-square, which is good from five readings in each stratum.
 *
 * @param h the statistic
 * @param degrees strata less one
 * @param p chance of an {@code h} at least this large if all strata had one distribution
 */
public record KruskalWallis(double h, int degrees, double p) {

  private record Ranked(double value, int stratum) {}

  /**
   * Compares strata.
   *
   * @param strata readings of each, in one unit; empty ones are left out; not kept
   * @return empty with fewer than two strata or when all readings are equal
   * @throws IllegalArgumentException if a reading is not finite
   */
  public static Optional<KruskalWallis> of(List<double[]> strata) {
    List<Ranked> all = new ArrayList<>();
    for (int i = 0; i < strata.size(); i++) {
      for (double value : Arguments.requireSeries("stratum " + i + " reading", strata.get(i), 0)) {
        all.add(new Ranked(value, i));
      }
    }
    all.sort(Comparator.comparingDouble(Ranked::value));
    int total = all.size();
    double[] ranks = new double[strata.size()];
    double ties = 0;
    for (int i = 0; i < total; ) {
      int end = i;
      while (end < total && all.get(end).value() == all.get(i).value()) {
        end++;
      }
      double size = end - i;
      ties += size * size * size - size;
      // Against the mean rank of all, so that sums stay small.
      double rank = (i + 1 + end) / 2.0 - (total + 1) / 2.0;
      for (; i < end; i++) {
        ranks[all.get(i).stratum()] += rank;
      }
    }
    double n = total;
    double correction = 1 - ties / (n * n * n - n);
    int used = 0;
    double sum = 0;
    for (int i = 0; i < ranks.length; i++) {
      int size = strata.get(i).length;
      used += size > 0 ? 1 : 0;
      sum += size > 0 ? ranks[i] * ranks[i] / size : 0;
    }
    if (used < 2 || !(correction > 0)) {
      return Optional.empty();
    }
    double h = 12 / (n * (n + 1)) * sum / correction;
    double p = ChiSquaredDistribution.of(used - 1.0).survivalProbability(h);
    return Optional.of(new KruskalWallis(h, used - 1, p));
  }
}
