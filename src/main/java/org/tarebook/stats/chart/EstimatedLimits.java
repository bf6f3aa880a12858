package org.tarebook.stats.chart;

import org.apache.commons.statistics.distribution.ChiSquaredDistribution;
import org.apache.commons.statistics.distribution.NormalDistribution;
import org.apache.commons.statistics.distribution.TDistribution;
import org.tarebook.stats.Arguments;
import org.tarebook.stats.GaussLegendre;
import org.tarebook.stats.Roots;

/**
 * What limits cost that were estimated from a baseline: how often the chart then signals falsely,
 * for good, because its centre and sigma are off.
 *
 * <p>With \( Z \) the error of the centre in sigma of a point and \( W = \hat\sigma / \sigma \),
 * the chance of a false signal is \( \Phi(-L W + Z) + \Phi(-L W - Z) \), where \( Z \) is normal
 * with variance {@code 1 / points} and \( \nu W^2 \) a chi-square.
 *
 * <p><b>Source:</b> C. P. Quesenberry, Journal of Quality Technology 25 (1993) 237-247, by
 * quadrature instead of simulation.
 *
 * @param points points of the baseline that gave the centre, at least 1
 * @param degrees \( \nu \) of the sigma estimate on the chi scale, positive
 * @param reach \( L \), distance of the limits from the centre, such as 3
 */
public record EstimatedLimits(long points, double degrees, double reach) {

  private static final NormalDistribution NORMAL = NormalDistribution.of(0, 1);
  private static final GaussLegendre RULE = GaussLegendre.of(60);
  private static final double FARTHEST = 8;

  /**
   * Checks the figures.
   *
   * @throws IllegalArgumentException if a figure lies outside
   */
  public EstimatedLimits {
    Arguments.requireAtLeast("points of the baseline", points, 1);
    Arguments.requirePositive("degrees of freedom", degrees);
    Arguments.requirePositive("reach", reach);
  }

  /**
   * Returns the chance of a false signal, averaged over all baselines: the share of false signals
   * that many charts together will give.
   *
   * <p>\[ 2 P\left(T_\nu > L / \sqrt{1 + 1 / m}\right) \]
   *
   * @return between 0 and 1; 0.0027 for a baseline without end and {@code reach} 3
   */
  public double meanFalseSignals() {
    double t = reach / Math.sqrt(1 + 1.0 / points);
    return 2 * TDistribution.of(degrees).survivalProbability(t);
  }

  /**
   * Returns the chance of a false signal that only a share of baselines keeps below.
   *
   * <p><b>Accuracy:</b> relative error below 1e-6 while {@code degrees} is at most 100 times {@code
   * points}.
   *
   * @param share of baselines, between 0 and 1, such as 0.9
   * @return between 0 and 1
   * @throws IllegalArgumentException if the share lies outside
   */
  public double falseSignals(double share) {
    Arguments.requireShare("share of baselines", share);
    double log = Roots.increasing(x -> shareBelow(Math.exp(x)) - share, -200, -1e-9);
    return Math.exp(log);
  }

  /**
   * Returns the mean run length in control that only a share of baselines falls below.
   *
   * @param share of baselines, between 0 and 1, such as 0.1
   * @return at least 1
   * @throws IllegalArgumentException if the share lies outside
   */
  public double meanRunLength(double share) {
    return 1 / falseSignals(1 - Arguments.requireShare("share of baselines", share));
  }

  /** Share of baselines whose chance of a false signal is below p: their sigma is large enough. */
  private double shareBelow(double p) {
    ChiSquaredDistribution chiSquared = ChiSquaredDistribution.of(degrees);
    double sd = 1 / Math.sqrt((double) points);
    return 2
        * RULE.integrate(
            u -> {
              double needed = needed(p, u * sd);
              return NORMAL.density(u) * chiSquared.survivalProbability(degrees * needed * needed);
            },
            0,
            FARTHEST);
  }

  /** The ratio of sigmas at which the chance of a false signal is p, for an error of the centre. */
  private double needed(double p, double z) {
    double low = 0;
    double high = (z + 40) / reach;
    for (int i = 0; i < 60; i++) {
      double w = (low + high) / 2;
      double chance =
          NORMAL.cumulativeProbability(-reach * w + z)
              + NORMAL.cumulativeProbability(-reach * w - z);
      if (chance > p) {
        low = w;
      } else {
        high = w;
      }
    }
    return (low + high) / 2;
  }
}
