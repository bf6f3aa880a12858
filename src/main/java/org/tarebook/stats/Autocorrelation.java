package org.tarebook.stats;

import java.math.BigDecimal;
import java.math.BigInteger;
import java.util.List;
import java.util.Optional;

/**
 * How closely each reading follows the one before.
 *
 * @param lag1 \( r_1 \), between -1 and 1
 * @param readings \( n \)
 */
public record Autocorrelation(double lag1, long readings) {

  /**
   * Returns the autocorrelation at lag 1 of readings in time order.
   *
   * <p>\[ r_1 = \frac{\sum_{i=1}^{n-1} (x_i - \bar x)(x_{i+1} - \bar x)}{\sum_{i=1}^n (x_i - \bar
   * x)^2} \]
   *
   * <p><b>Accuracy:</b> the double nearest to the exact ratio of sums.
   *
   * <p><b>Source:</b> NIST Statistical Reference Datasets, univariate, whose certified values are
   * met.
   *
   * @param readings in time order, in one unit
   * @return the figure; empty for fewer than two readings and when nothing varied
   * @throws IllegalArgumentException as {@link Moments#of(List)} does
   */
  public static Optional<Autocorrelation> of(List<BigDecimal> readings) {
    Moments moments = Moments.of(readings);
    if (readings.size() < 2 || moments.exactSquaredDeviations().signum() == 0) {
      return Optional.empty();
    }
    int scale = readings.stream().mapToInt(BigDecimal::scale).max().orElse(0);
    BigInteger[] x =
        readings.stream()
            .map(reading -> reading.setScale(Math.max(scale, 0)).unscaledValue())
            .toArray(BigInteger[]::new);
    return Optional.of(new Autocorrelation(ofSteps(x), x.length));
  }

  private static double ofSteps(BigInteger[] x) {
    BigInteger sum = BigInteger.ZERO;
    BigInteger squares = BigInteger.ZERO;
    BigInteger products = BigInteger.ZERO;
    for (int i = 0; i < x.length; i++) {
      sum = sum.add(x[i]);
      squares = squares.add(x[i].multiply(x[i]));
      products = i == 0 ? products : products.add(x[i].multiply(x[i - 1]));
    }
    BigInteger n = BigInteger.valueOf(x.length);
    // Both sums times n squared, with the mean S / n multiplied out.
    BigInteger ends = sum.shiftLeft(1).subtract(x[0]).subtract(x[x.length - 1]);
    BigInteger follow =
        n.multiply(n)
            .multiply(products)
            .subtract(n.multiply(sum).multiply(ends))
            .add(n.subtract(BigInteger.ONE).multiply(sum).multiply(sum));
    BigInteger vary = n.multiply(n.multiply(squares).subtract(sum.multiply(sum)));
    return ExactRounding.quotient(follow, vary);
  }

  /**
   * Returns how far from 0 the figure of independent readings may lie: \( z_{1-\alpha/2} / \sqrt n
   * \), an approximation for some 30 readings and more.
   *
   * <p><b>Source:</b> M. S. Bartlett's large-sample variance of a serial correlation.
   *
   * @param confidence between 0 and 1, such as 0.95
   * @return positive
   * @throws IllegalArgumentException if the confidence lies outside
   */
  public double chanceReach(double confidence) {
    double tail = (1 - Arguments.requireConfidence(confidence)) / 2;
    return org.apache.commons.statistics.distribution.NormalDistribution.of(0, 1)
            .inverseSurvivalProbability(tail)
        / Math.sqrt((double) readings);
  }

  /**
   * Returns the expected moving-range sigma of such a process over its true sigma, \( \sqrt{1 -
   * r_1} \): 0.71 for a correlation of one half, so limits that are much too narrow.
   *
   * <p><b>Source:</b> elementary for a stationary normal series; H. D. Maragah and W. H. Woodall,
   * Journal of Statistical Computation and Simulation 40 (1992) 29-42.
   *
   * @return 0 to 1.42; 1 without correlation
   */
  public double movingRangeBias() {
    return Math.sqrt(1 - lag1);
  }
}
