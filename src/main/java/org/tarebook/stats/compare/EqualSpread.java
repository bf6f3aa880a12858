package org.tarebook.stats.compare;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import org.apache.commons.statistics.distribution.ChiSquaredDistribution;
import org.tarebook.stats.Arguments;
import org.tarebook.stats.Moments;
import org.tarebook.stats.OneWayAnova;

/**
 * Whether strata have one spread.
 *
 * @param statistic Bartlett's chi-square or Levene's F
 * @param p chance of a statistic at least this large if all strata had one spread
 */
public record EqualSpread(double statistic, double p) {

  /**
   * Compares variances by their likelihood: sharp for normal readings, misled by others.
   *
   * <p>\[ T = \frac{(N - k) \ln s_p^2 - \sum (n_i - 1) \ln s_i^2}{1 + \frac{1}{3 (k - 1)}
   * \left(\sum \frac{1}{n_i - 1} - \frac{1}{N - k}\right)} \]
   *
   * <p><b>Source:</b> NIST/SEMATECH e-Handbook, section 1.3.5.7 (M. S. Bartlett).
   *
   * @param strata moments of each, at least two readings each, in one unit
   * @return empty with fewer than two strata, with a stratum of fewer than two readings, or when
   *     nothing varies inside one
   */
  public static Optional<EqualSpread> bartlett(List<Moments> strata) {
    int k = strata.size();
    if (k < 2
        || strata.stream()
            .anyMatch(s -> s.count() < 2 || s.exactSquaredDeviations().signum() == 0)) {
      return Optional.empty();
    }
    double degrees = 0;
    double squares = 0;
    double inverse = 0;
    for (Moments stratum : strata) {
      double own = stratum.count() - 1.0;
      degrees += own;
      squares += own * stratum.variance();
      inverse += 1 / own;
    }
    double pooled = squares / degrees;
    double logs = 0;
    for (Moments stratum : strata) {
      logs -= (stratum.count() - 1) * Math.log(stratum.variance() / pooled);
    }
    double t = Math.max(0, logs) / (1 + (inverse - 1 / degrees) / (3 * (k - 1)));
    return Optional.of(
        new EqualSpread(t, ChiSquaredDistribution.of(k - 1.0).survivalProbability(t)));
  }

  /**
   * Compares distances from the median of each stratum, by an analysis of variance: holds for
   * readings that are not normal.
   *
   * <p><b>Source:</b> NIST/SEMATECH e-Handbook, section 1.3.5.10 (H. Levene; medians by M. B. Brown
   * and A. B. Forsythe).
   *
   * @param strata readings of each, in one unit; not kept
   * @return empty when {@link OneWayAnova} of the distances is
   * @throws IllegalArgumentException if a reading is not finite
   */
  public static Optional<EqualSpread> levene(List<double[]> strata) {
    List<Moments> distances = new ArrayList<>();
    for (int i = 0; i < strata.size(); i++) {
      double[] x = Arguments.requireSeries("stratum " + i + " reading", strata.get(i), 0).clone();
      Arrays.sort(x);
      int n = x.length;
      double median = n == 0 ? 0 : (x[(n - 1) / 2] + x[n / 2]) / 2;
      distances.add(
          Moments.of(
              Arrays.stream(x)
                  .mapToObj(value -> java.math.BigDecimal.valueOf(Math.abs(value - median)))
                  .toList()));
    }
    return OneWayAnova.of(distances).map(anova -> new EqualSpread(anova.f(), anova.p()));
  }
}
