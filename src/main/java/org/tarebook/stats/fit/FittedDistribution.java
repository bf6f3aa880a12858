package org.tarebook.stats.fit;

import org.apache.commons.statistics.distribution.ContinuousDistribution;
import org.apache.commons.statistics.distribution.GammaDistribution;
import org.apache.commons.statistics.distribution.LogNormalDistribution;
import org.apache.commons.statistics.distribution.NormalDistribution;
import org.apache.commons.statistics.distribution.WeibullDistribution;
import org.jspecify.annotations.Nullable;
import org.tarebook.stats.SharesOutside;
import org.tarebook.stats.Tolerance;

/**
 * A distribution fitted to readings.
 *
 * @param family which
 * @param first first parameter, as {@link Family} names them
 * @param second second parameter; 0 for {@link Family#RAYLEIGH}, which has one
 * @param logLikelihood natural logarithm of the likelihood at these parameters
 * @param readings how many were fitted
 */
public record FittedDistribution(
    Family family, double first, double second, double logLikelihood, long readings) {

  private ContinuousDistribution distribution() {
    return switch (family) {
      case NORMAL -> NormalDistribution.of(first, second);
      case LOGNORMAL -> LogNormalDistribution.of(first, second);
      case WEIBULL -> WeibullDistribution.of(first, second);
      case GAMMA -> GammaDistribution.of(first, second);
      // A Rayleigh distribution is Weibull of shape 2.
      case RAYLEIGH -> WeibullDistribution.of(2, first * Math.sqrt(2));
      case RICE -> throw new IllegalStateException("Rice has its own functions");
    };
  }

  private @Nullable Rice rice() {
    return family == Family.RICE ? new Rice(first, second) : null;
  }

  /**
   * Returns the density at a value.
   *
   * @param x in the unit of the readings
   * @return zero or positive
   */
  public double density(double x) {
    Rice rice = rice();
    return rice == null ? distribution().density(x) : rice.density(x);
  }

  /**
   * Returns the share at or below a value.
   *
   * @param x in the unit of the readings
   * @return between 0 and 1
   */
  public double cumulative(double x) {
    Rice rice = rice();
    return rice == null ? distribution().cumulativeProbability(x) : rice.cumulative(x);
  }

  /**
   * Returns the share above a value, without loss of digits far out.
   *
   * @param x in the unit of the readings
   * @return between 0 and 1
   */
  public double survival(double x) {
    Rice rice = rice();
    return rice == null ? distribution().survivalProbability(x) : rice.survival(x);
  }

  /**
   * Returns the value below which a share lies.
   *
   * @param share between 0 and 1, exclusive
   * @return in the unit of the readings
   * @throws IllegalArgumentException if the share lies outside
   */
  public double quantile(double share) {
    org.tarebook.stats.Arguments.requireShare("share", share);
    Rice rice = rice();
    return rice == null ? distribution().inverseCumulativeProbability(share) : rice.quantile(share);
  }

  /**
   * Returns the shares outside a tolerance.
   *
   * @param tolerance the limits
   * @return by this distribution, not counted
   */
  public SharesOutside outside(Tolerance tolerance) {
    Double lower = tolerance.lower();
    Double upper = tolerance.upper();
    return new SharesOutside(
        lower == null ? 0 : cumulative(lower), upper == null ? 0 : survival(upper));
  }

  /**
   * Returns Akaike's criterion, \( 2 k - 2 \ln L \), for choosing between families fitted to the
   * same readings: the smaller fits better. It says nothing of the tails; {@link TailAgreement}
   * does.
   *
   * @return dimensionless, comparable for the same readings only
   */
  public double akaike() {
    return 2 * (family == Family.RAYLEIGH ? 1 : 2) - 2 * logLikelihood;
  }
}
