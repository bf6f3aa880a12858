package org.tarebook.stats;

import org.apache.commons.statistics.distribution.NormalDistribution;

/**
 * Mean and standard deviation of the range of {@code n} independent standard normal values.
 *
 * @param mean \( d_2 \)
 * @param sd \( d_3 \)
 */
record RangeMoments(double mean, double sd) {

  private static final NormalDistribution NORMAL = NormalDistribution.of(0, 1);
  private static final double STEP = 1.0 / 12;
  private static final double LOG_RANGE_FROM = -40;
  private static final double LOG_RANGE_TO = 3;
  private static final double MIDDLE_TO = 7.5;

  /**
   * Integrates the moments of the range.
   *
   * <p>With the range \( w \) and the middle \( u \) of the two extremes,
   *
   * <p>\[ E(W^k) = \frac{n(n-1)}{2\pi} \int_0^\infty w^k e^{-w^2/4} \int_{-\infty}^{\infty}
   * e^{-u^2} \left[\Phi(u + w/2) - \Phi(u - w/2)\right]^{n-2} du\, dw \]
   *
   * <p>Both integrals by the trapezoidal rule, over \( u \) and over \( \ln w \), where it
   * converges exponentially because the integrand is smooth and vanishes at both ends. The moment
   * of order 0, which is 1, is integrated as well and divided out.
   *
   * @param n number of values, 2 to 100
   */
  static RangeMoments ofNormal(int n) {
    double m0 = 0;
    double m1 = 0;
    double m2 = 0;
    for (int i = 0; LOG_RANGE_FROM + i * STEP < LOG_RANGE_TO; i++) {
      double w = Math.exp(LOG_RANGE_FROM + i * STEP);
      double weight = w * Math.exp(-w * w / 4) * middleIntegral(n, w);
      m0 += weight;
      m1 += weight * w;
      m2 += weight * w * w;
    }
    double mean = m1 / m0;
    return new RangeMoments(mean, Math.sqrt(m2 / m0 - mean * mean));
  }

  /** The inner integral, up to a constant; even in the middle, so half of it is summed. */
  private static double middleIntegral(int n, double w) {
    double sum = 0;
    for (int i = 0; i * STEP < MIDDLE_TO; i++) {
      double u = i * STEP;
      double between = NORMAL.probability(u - w / 2, u + w / 2);
      double term = Math.exp(-u * u) * Math.pow(between, n - 2);
      sum += i == 0 ? term / 2 : term;
    }
    return sum;
  }
}
