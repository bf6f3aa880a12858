package org.tarebook.stats.fit;

import org.apache.commons.numbers.gamma.LogGamma;
import org.apache.commons.numbers.gamma.RegularizedGamma;
import org.apache.commons.statistics.distribution.NormalDistribution;
import org.tarebook.stats.Roots;

/**
 * The gamma distribution by its mean and its shape. Far from 0 against its spread the shape is
 * large, and differences from the mean keep the digits that products with the scale lose.
 *
 * <p>With \( u = (x - \mu) / \mu \) and \( \delta_k = \ln \Gamma(k) - (k - \frac 1 2) \ln k + k -
 * \frac 1 2 \ln 2 \pi \):
 *
 * <p>\[ \ln f(x) = -k (u - \ln(1 + u)) + \frac 1 2 \ln \frac{k}{2 \pi} - \delta_k - \ln x \]
 *
 * <p><b>Accuracy:</b> of chances 1e-11, or 1e-15 times the root of the shape where that is more.
 *
 * <p><b>Source:</b> N. M. Temme, SIAM Journal on Mathematical Analysis 10 (1979) 757-766, for
 * chances of a large shape.
 *
 * @param mean \( \mu \), positive
 * @param shape \( k \), positive
 */
record Gamma(double mean, double shape) {

  private static final NormalDistribution NORMAL = NormalDistribution.of(0, 1);

  /** From this shape on the first term of Temme's expansion leaves less than 1e-11. */
  private static final double LARGE = 1e5;

  private static final double HALF_LOG_TWO_PI = Math.log(2 * Math.PI) / 2;
  private static final double[] NEAR_THE_MEAN = {
    -1.0 / 3, 1.0 / 12, -2.0 / 135, 1.0 / 864, 1.0 / 2835, -139.0 / 777_600
  };

  /** \( \ln(x / c) \) without loss of digits where both are nearly equal. */
  static double logRatio(double x, double c) {
    double u = (x - c) / c;
    return Math.abs(u) < 0.5 ? Math.log1p(u) : Math.log(x / c);
  }

  /** \( u - \ln(1 + u) \), zero or positive, without loss of digits where u is small. */
  static double excess(double u) {
    if (Math.abs(u) > 0.1) {
      return u - Math.log1p(u);
    }
    double power = u;
    double sum = 0;
    for (int k = 2; k <= 20; k++) {
      power *= -u;
      sum -= power / k;
    }
    return sum;
  }

  /** \( \ln k - \psi(k) \), positive, without loss of digits where k is large. */
  static double logLessDigamma(double k) {
    if (k < 20) {
      return Math.log(k) - org.apache.commons.numbers.gamma.Digamma.value(k);
    }
    double y = 1 / (k * k);
    return 1 / (2 * k) + y * (1.0 / 12 - y * (1.0 / 120 - y * (1.0 / 252 - y / 240)));
  }

  /** \( \delta_k \), what Stirling's formula leaves of the logarithm of the gamma function. */
  static double stirlingRest(double k) {
    if (k < 20) {
      return LogGamma.value(k) - (k - 0.5) * Math.log(k) + k - HALF_LOG_TWO_PI;
    }
    double y = 1 / (k * k);
    return (1.0 / 12 - y * (1.0 / 360 - y * (1.0 / 1260 - y / 1680))) / k;
  }

  double density(double x) {
    if (!(x > 0)) {
      return 0;
    }
    double log = logRatio(x, mean);
    double off = Math.abs(log) < 0.4 ? excess((x - mean) / mean) : Math.expm1(log) - log;
    return Math.exp(
        Math.log(shape) / 2
            - HALF_LOG_TWO_PI
            - stirlingRest(shape)
            - shape * off
            - log
            - Math.log(mean));
  }

  double cumulative(double x) {
    if (!(x > 0)) {
      return 0;
    }
    return shape < LARGE ? RegularizedGamma.P.value(shape, shape * (x / mean)) : far(x, true);
  }

  double survival(double x) {
    if (!(x > 0)) {
      return 1;
    }
    return shape < LARGE ? RegularizedGamma.Q.value(shape, shape * (x / mean)) : far(x, false);
  }

  /** The share on one side, of a large shape. */
  private double far(double x, boolean below) {
    double u = (x - mean) / mean;
    double eta = Math.copySign(Math.sqrt(2 * excess(u)), u);
    double first = 1 / u - 1 / eta;
    if (Math.abs(eta) < 0.05) {
      first = 0;
      for (int i = NEAR_THE_MEAN.length - 1; i >= 0; i--) {
        first = first * eta + NEAR_THE_MEAN[i];
      }
    }
    double z = eta * Math.sqrt(shape);
    double more = NORMAL.density(z) / Math.sqrt(shape) * first;
    return below
        ? Math.max(0, NORMAL.cumulativeProbability(z) - more)
        : Math.max(0, NORMAL.survivalProbability(z) + more);
  }

  /** The value below which a share lies, between 0 and 1, exclusive. */
  double quantile(double share) {
    double low = -800 / shape - 50 / Math.sqrt(shape);
    double high = 50 / Math.sqrt(shape) + Math.log1p(800 / shape);
    double log =
        share <= 0.5
            ? Roots.increasing(w -> cumulative(at(w)) - share, low, high)
            : Roots.increasing(w -> (1 - share) - survival(at(w)), low, high);
    return at(log);
  }

  private double at(double log) {
    return log < -0.5 ? mean * Math.exp(log) : mean + mean * Math.expm1(log);
  }
}
