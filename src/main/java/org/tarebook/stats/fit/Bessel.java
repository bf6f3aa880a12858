package org.tarebook.stats.fit;

/** Modified Bessel functions of the first kind, without their exponential growth. */
final class Bessel {

  private static final double SERIES_TO = 30;
  private static final int MOST_TERMS = 200;

  /** Terms of the continued fraction, beside one for each unit of the argument. */
  private static final int FRACTION_TERMS = 20;

  private static final double FAR = 500;

  private Bessel() {}

  /**
   * Returns \( \ln I_0(z) - z \): the power series up to 30, the asymptotic series beyond.
   *
   * @param z zero or positive
   */
  static double logScaledI0(double z) {
    if (z <= SERIES_TO) {
      double term = 1;
      double sum = 1;
      double quarter = z * z / 4;
      for (int k = 1; k < MOST_TERMS && term > 1e-18 * sum; k++) {
        term *= quarter / k / k;
        sum += term;
      }
      return Math.log(sum) - z;
    }
    return Math.log(asymptotic(z, 0)) - Math.log(2 * Math.PI * z) / 2;
  }

  /**
   * Returns \( I_1(z) / I_0(z) \), by Gauss' continued fraction up to 30.
   *
   * @param z zero or positive
   */
  static double ratio(double z) {
    if (z == 0) {
      return 0;
    }
    if (z > SERIES_TO) {
      return asymptotic(z, 1) / asymptotic(z, 0);
    }
    double fraction = 0;
    for (int k = FRACTION_TERMS + (int) z; k >= 1; k--) {
      fraction = 1 / (2 * k / z + fraction);
    }
    return fraction;
  }

  /**
   * Returns \( 1 - I_1(z) / I_0(z) \), without loss of digits where it is small.
   *
   * @param z positive
   */
  static double deficit(double z) {
    if (z < FAR) {
      return 1 - ratio(z);
    }
    double y = 1 / z;
    return y * (1.0 / 2 + y * (1.0 / 8 + y * (1.0 / 8 + y * (25.0 / 128 + y * 13.0 / 32))));
  }

  /** The asymptotic series of order 0 or 1, cut off where its terms no longer shrink. */
  private static double asymptotic(double z, int order) {
    double mu = 4.0 * order * order;
    double term = 1;
    double sum = 1;
    for (int k = 1; k < 60; k++) {
      double odd = 2 * k - 1;
      double next = -term * (mu - odd * odd) / (8 * k * z);
      if (Math.abs(next) >= Math.abs(term) || Math.abs(next) < 1e-18) {
        break;
      }
      term = next;
      sum += term;
    }
    return sum;
  }
}
