package org.tarebook.stats;

/**
 * The mean of a sample standard deviation, for any real number of degrees of freedom, and its
 * inverse.
 */
final class ChiMean {

  /** Where the asymptotic series below is good to 1e-19. */
  private static final double SERIES_FROM = 20;

  private ChiMean() {}

  /**
   * Returns the logarithm of \( E(\chi_\nu) / \sqrt\nu \), which for \( \nu = n - 1 \) is \( \ln
   * c_4(n) \).
   *
   * <p>With \( x = \nu / 2 \) and \( h(x) = \Gamma(x + 1/2) / (\Gamma(x) \sqrt x) \): the series
   *
   * <p>\[ \ln h(x) = -\frac{1}{8x} + \frac{1}{192x^3} - \frac{1}{640x^5} + \frac{17}{14336x^7} -
   * \frac{31}{18432x^9} + \dots \]
   *
   * <p>from \( x = 20 \) up, and \( h(x) = h(x+1) \sqrt{x(x+1)} / (x + 1/2) \) below. No difference
   * of large numbers is formed, so the relative accuracy holds for any number of degrees.
   *
   * @param degrees \( \nu \), positive
   * @return negative
   */
  static double log(double degrees) {
    double x = degrees / 2;
    double shifted = 0;
    while (x < SERIES_FROM) {
      // ln( sqrt(x(x+1)) / (x + 1/2) ), where the square of the fraction is 1 - 1 / (2x + 1)^2
      double odd = 2 * x + 1;
      shifted += Math.log1p(-1 / (odd * odd)) / 2;
      x++;
    }
    double y = 1 / (x * x);
    double series =
        -1.0 / 8 + y * (1.0 / 192 + y * (-1.0 / 640 + y * (17.0 / 14336 - y * 31.0 / 18432)));
    return shifted + series / x;
  }

  /**
   * Returns the degrees of freedom of the root of a chi-square over its degrees whose relative
   * scatter equals that of an estimate of sigma.
   *
   * <p>Solves \( c_4(\nu + 1)^{-2} = 1 + v \), where \( v \) is the variance of the estimate over
   * its mean squared. For one subgroup's standard deviation the answer is \( n - 1 \).
   *
   * <p><b>Source:</b> two-moment fit of P. B. Patnaik, Biometrika 37 (1950) 78-87, as used for \(
   * d_2^* \).
   *
   * @param relativeVariance \( v \), positive
   * @return \( \nu \), positive
   */
  static double degreesFor(double relativeVariance) {
    double wanted = -Math.log1p(relativeVariance) / 2;
    double low = 0.25 / -wanted;
    while (log(low) > wanted) {
      low /= 2;
    }
    double high = low;
    while (log(high) < wanted) {
      high *= 2;
    }
    for (double middle = (low + high) / 2; middle > low && middle < high; ) {
      if (log(middle) < wanted) {
        low = middle;
      } else {
        high = middle;
      }
      middle = (low + high) / 2;
    }
    return low;
  }
}
