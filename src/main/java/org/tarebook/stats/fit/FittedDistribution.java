package org.tarebook.stats.fit;

import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.Map;
import org.apache.commons.statistics.distribution.ContinuousDistribution;
import org.apache.commons.statistics.distribution.LogNormalDistribution;
import org.apache.commons.statistics.distribution.NormalDistribution;
import org.apache.commons.statistics.distribution.WeibullDistribution;
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
      // A Rayleigh distribution is Weibull of shape 2.
      case RAYLEIGH -> WeibullDistribution.of(2, first * Math.sqrt(2));
      case GAMMA, RICE -> throw new IllegalStateException(family + " has its own functions");
    };
  }

  private Rice rice() {
    return new Rice(first, second);
  }

  private Gamma gamma() {
    return new Gamma(first * second, first);
  }

  /**
   * Returns the parameters by name: of {@link Family#NORMAL} mean and sigma, of {@link
   * Family#LOGNORMAL} meanOfLogarithms and sigmaOfLogarithms, of {@link Family#WEIBULL} and {@link
   * Family#GAMMA} shape and scale, of {@link Family#RAYLEIGH} scale, of {@link Family#RICE} offset
   * and sigma.
   *
   * @return in that order; all but shape and those of logarithms in the unit of the readings
   */
  public Map<String, Double> parameters() {
    Map<String, Double> named = new LinkedHashMap<>();
    switch (family) {
      case NORMAL -> named.put("mean", first);
      case LOGNORMAL -> named.put("meanOfLogarithms", first);
      case WEIBULL, GAMMA -> named.put("shape", first);
      case RAYLEIGH -> named.put("scale", first);
      case RICE -> named.put("offset", first);
    }
    switch (family) {
      case NORMAL, RICE -> named.put("sigma", second);
      case LOGNORMAL -> named.put("sigmaOfLogarithms", second);
      case WEIBULL, GAMMA -> named.put("scale", second);
      case RAYLEIGH -> {}
    }
    return Collections.unmodifiableMap(named);
  }

  /**
   * Returns the density at a value.
   *
   * @param x in the unit of the readings
   * @return zero or positive
   */
  public double density(double x) {
    return switch (family) {
      case RICE -> rice().density(x);
      case GAMMA -> gamma().density(x);
      default -> distribution().density(x);
    };
  }

  /**
   * Returns the share at or below a value.
   *
   * @param x in the unit of the readings
   * @return between 0 and 1
   */
  public double cumulative(double x) {
    return switch (family) {
      case RICE -> rice().cumulative(x);
      case GAMMA -> gamma().cumulative(x);
      default -> distribution().cumulativeProbability(x);
    };
  }

  /**
   * Returns the share above a value, without loss of digits far out.
   *
   * @param x in the unit of the readings
   * @return between 0 and 1
   */
  public double survival(double x) {
    return switch (family) {
      case RICE -> rice().survival(x);
      case GAMMA -> gamma().survival(x);
      default -> distribution().survivalProbability(x);
    };
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
    return switch (family) {
      case RICE -> rice().quantile(share);
      case GAMMA -> gamma().quantile(share);
      default -> distribution().inverseCumulativeProbability(share);
    };
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
