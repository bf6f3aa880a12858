package org.tarebook.stats.compare;

import java.util.List;
import java.util.Optional;
import org.apache.commons.statistics.distribution.FDistribution;
import org.tarebook.stats.Moments;

/**
 * Whether means of strata differ when their spreads may differ as well. Normal readings.
 *
 * <p>\[ F = \frac{\sum w_i (\bar x_i - \tilde x)^2 / (k - 1)}{1 + \frac{2 (k - 2)}{k^2 - 1}
 * \Lambda}, \quad w_i = \frac{n_i}{s_i^2}, \quad \Lambda = \sum \frac{(1 - w_i / W)^2}{n_i - 1},
 * \quad \nu = \frac{k^2 - 1}{3 \Lambda} \]
 *
 * <p><b>Source:</b> B. L. Welch, Biometrika 38 (1951) 330-336.
 *
 * @param f the ratio
 * @param degreesBetween \( k - 1 \)
 * @param degreesWithin \( \nu \), not whole
 * @param p chance of a ratio at least this large if all strata had one mean
 */
public record WelchAnova(double f, long degreesBetween, double degreesWithin, double p) {

  /**
   * Compares the means of strata.
   *
   * @param strata moments of each, at least two readings each, in one unit
   * @return empty with fewer than two strata, with a stratum of fewer than two readings, or when
   *     nothing varies inside one
   */
  public static Optional<WelchAnova> of(List<Moments> strata) {
    int k = strata.size();
    if (k < 2
        || strata.stream()
            .anyMatch(s -> s.count() < 2 || s.exactSquaredDeviations().signum() == 0)) {
      return Optional.empty();
    }
    double origin = strata.get(0).mean();
    double weights = 0;
    double sum = 0;
    for (Moments stratum : strata) {
      double weight = weight(stratum);
      weights += weight;
      sum += weight * (stratum.mean() - origin);
    }
    double mean = sum / weights;
    double between = 0;
    double lambda = 0;
    for (Moments stratum : strata) {
      double off = stratum.mean() - origin - mean;
      between += weight(stratum) * off * off;
      double rest = 1 - weight(stratum) / weights;
      lambda += rest * rest / (stratum.count() - 1);
    }
    double square = (double) k * k - 1;
    double f = between / (k - 1) / (1 + 2 * (k - 2) * lambda / square);
    double degrees = square / (3 * lambda);
    double p = FDistribution.of(k - 1.0, degrees).survivalProbability(f);
    return Optional.of(new WelchAnova(f, k - 1, degrees, p));
  }

  private static double weight(Moments stratum) {
    return stratum.count() / stratum.variance();
  }
}
