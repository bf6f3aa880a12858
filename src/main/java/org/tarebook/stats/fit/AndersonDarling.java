package org.tarebook.stats.fit;

import java.util.Arrays;
import java.util.Optional;
import org.apache.commons.statistics.distribution.NormalDistribution;
import org.tarebook.stats.Arguments;

/**
 * The Anderson-Darling test whether readings are normal, mean and sigma unknown.
 *
 * <p>\[ A^2 = -n - \frac 1 n \sum_{i=1}^n (2i - 1) \left[\ln \Phi(z_{(i)}) + \ln(1 -
 * \Phi(z_{(n+1-i)}))\right], \qquad z = (x - \bar x) / s \]
 *
 * <p>Books print three figures and hold each against other critical values: \( A^2 \) itself, the
 * modified one of 1974 against 0.787 at 5 %, and that of 1986 against 0.752. The chance here
 * belongs to the one of 1986.
 *
 * <p><b>Source:</b> R. B. D'Agostino and M. A. Stephens, Goodness-of-Fit Techniques (1986), section
 * 4.8, tables 4.7 and 4.9, both parameters unknown.
 *
 * @param statistic \( A^2 \)
 * @param modified \( A^2 (1 + 0.75 / n + 2.25 / n^2) \), of 1986
 * @param p chance of a {@code modified} at least this large of normal readings; not below 3.7e-24
 * @param readings \( n \)
 */
public record AndersonDarling(double statistic, double modified, double p, int readings) {

  private static final NormalDistribution NORMAL = NormalDistribution.of(0, 1);

  /**
   * Tests readings.
   *
   * <p>Rounded readings are less normal the coarser they are; with thousands of them any difference
   * is found, see {@link TailAgreement}.
   *
   * @param x at least 8 readings for the chance to hold, in any order; not kept
   * @return empty when nothing varied
   * @throws IllegalArgumentException if there are fewer or one is not finite
   */
  public static Optional<AndersonDarling> of(double[] x) {
    double[] z = Arguments.requireSeries("reading", x, 8).clone();
    Arrays.sort(z);
    int n = z.length;
    if (z[0] == z[n - 1]) {
      return Optional.empty();
    }
    double mean = Shape.mean(z, v -> v);
    double sd = Math.sqrt(Shape.mean(z, v -> (v - mean) * (v - mean)) * n / (n - 1));
    double sum = 0;
    for (int i = 0; i < n; i++) {
      double below = logBelow((z[i] - mean) / sd);
      double above = logBelow(-(z[n - 1 - i] - mean) / sd);
      sum += (2 * i + 1) * (below + above);
    }
    double statistic = -n - sum / n;
    double modified = statistic * (1 + 0.75 / n + 2.25 / n / n);
    return Optional.of(new AndersonDarling(statistic, modified, chance(modified), n));
  }

  /**
   * Logarithm of the normal chance below; beyond 37 sigma to 1e-3, where a double has no chance.
   */
  static double logBelow(double z) {
    return z > -37
        ? Math.log(NORMAL.cumulativeProbability(z))
        : -z * z / 2 - Math.log(-z * Math.sqrt(2 * Math.PI));
  }

  /**
   * Returns the modified statistic of 1974, \( A^2 (1 + 4 / n - 25 / n^2) \), which the case
   * studies of the NIST/SEMATECH e-Handbook print and hold against 0.787.
   *
   * @return positive for 4 readings and more
   */
  public double modifiedOf1974() {
    return statistic * (1 + 4.0 / readings - 25.0 / readings / readings);
  }

  /**
   * The four printed pieces. They do not quite join: at 0.34 the chance falls by 0.003, at 0.6 it
   * rises by 0.003. The last one turns upward far out and is cut off before.
   */
  static double chance(double modified) {
    double a = modified;
    if (a < 0.2) {
      return -Math.expm1(-13.436 + 101.14 * a - 223.73 * a * a);
    } else if (a < 0.34) {
      return -Math.expm1(-8.318 + 42.796 * a - 59.938 * a * a);
    } else if (a < 0.6) {
      return Math.exp(0.9177 - 4.279 * a - 1.38 * a * a);
    } else if (a < 10) {
      return Math.exp(1.2937 - 5.709 * a + 0.0186 * a * a);
    }
    return 3.7e-24;
  }
}
