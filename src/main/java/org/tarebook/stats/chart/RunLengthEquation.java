package org.tarebook.stats.chart;

import java.util.function.DoubleUnaryOperator;
import org.apache.commons.statistics.distribution.NormalDistribution;
import org.tarebook.stats.GaussLegendre;
import org.tarebook.stats.LinearEquations;

/**
 * Integral equations of a chart whose plotted figure moves as \( y' = a y + m + s Z \), with \( Z
 * \) standard normal, and stops at the first figure outside an interval.
 *
 * <p>\[ f(y) = g(y) + \int_l^h f(y') \frac{1}{s} \varphi\left(\frac{y' - a y - m}{s}\right) dy' \]
 *
 * <p>is solved at the places of a Gauss-Legendre rule (E. J. Nystrom's method). With \( g = 1 \) it
 * is the mean number of points to the stop; with \( g \) the chance to go beyond the upper end at
 * the next point it is the chance to stop there.
 */
final class RunLengthEquation {

  private static final NormalDistribution NORMAL = NormalDistribution.of(0, 1);
  private static final int FEWEST = 48;
  private static final int MOST = 400;
  private static final double PER_WIDTH = 4;

  private final double follow;
  private final double drift;
  private final double spread;
  private final double low;
  private final double high;
  private final GaussLegendre rule;

  /**
   * Describes the movement.
   *
   * @param follow \( a \)
   * @param drift \( m \)
   * @param spread \( s \), positive
   * @param low \( l \)
   * @param high \( h \)
   */
  RunLengthEquation(double follow, double drift, double spread, double low, double high) {
    this.follow = follow;
    this.drift = drift;
    this.spread = spread;
    this.low = low;
    this.high = high;
    double wanted = FEWEST + PER_WIDTH * (high - low) / spread;
    this.rule = GaussLegendre.of((int) Math.min(MOST, wanted));
  }

  /** Mean number of points to the first figure outside, from a figure inside. */
  DoubleUnaryOperator points() {
    return solve(y -> 1);
  }

  /** Chance that the first figure outside lies above, from a figure inside. */
  DoubleUnaryOperator above() {
    return solve(y -> NORMAL.survivalProbability((high - follow * y - drift) / spread));
  }

  private DoubleUnaryOperator solve(DoubleUnaryOperator given) {
    int n = rule.size();
    double[][] a = new double[n][n];
    double[] b = new double[n];
    for (int i = 0; i < n; i++) {
      double from = rule.place(i, low, high);
      for (int j = 0; j < n; j++) {
        a[i][j] = (i == j ? 1 : 0) - chance(from, j);
      }
      b[i] = given.applyAsDouble(from);
    }
    double[] solution = LinearEquations.solve(a, b);
    return from -> {
      double value = given.applyAsDouble(from);
      for (int j = 0; j < n; j++) {
        value += chance(from, j) * solution[j];
      }
      return value;
    };
  }

  /** Weight of the place {@code j} one point after the figure was {@code from}. */
  private double chance(double from, int j) {
    double z = (rule.place(j, low, high) - follow * from - drift) / spread;
    return rule.weight(j, low, high) * NORMAL.density(z) / spread;
  }

  /** One point, and the mean of a function over a first figure that is normal and inside. */
  double afterNormalStart(DoubleUnaryOperator function) {
    return 1 + rule.integrate(y -> NORMAL.density(y) * function.applyAsDouble(y), low, high);
  }
}
