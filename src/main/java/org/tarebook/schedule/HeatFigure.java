package org.tarebook.schedule;

import java.util.Map;
import java.util.Set;
import org.apache.commons.statistics.distribution.TDistribution;
import org.jspecify.annotations.Nullable;
import org.tarebook.thermal.Rule;

/**
 * Equivalents at one place of the rubber, or of a medium.
 *
 * @param layer absent of a medium
 * @param depthMillimetres from the inner face of the rubber; absent of a medium
 * @param minutes equivalent minutes by the rule
 * @param otherRule by the other of log-mean and trapezoid
 * @param celsius its temperature at the end of that time, in degrees Celsius
 * @param bounds without the sources of doubt
 * @param contributions relative standard uncertainty by each source of doubt
 * @param ofLeast the same of the least, in its own course
 * @param ofMost the same of the most
 */
public record HeatFigure(
    @Nullable String layer,
    @Nullable Double depthMillimetres,
    double minutes,
    Rule rule,
    double otherRule,
    double celsius,
    Bounds bounds,
    Map<Guard, Double> contributions,
    Map<Guard, Double> ofLeast,
    Map<Guard, Double> ofMost) {

  /** The part of a normal distribution more than 2 standard deviations above its mean. */
  private static final double ONE_SIDE = 0.022750131948179195;

  /** Degrees of freedom beyond which the quantile of t is 2 to six digits. */
  private static final double MANY = 1e6;

  /** By how much the logarithm of the least may be too high, see {@link #expanded}. */
  public double doubtOfLeast(Set<Guard> held, double energyFreedom) {
    return expanded(ofLeast, held, energyFreedom);
  }

  /** By how much the logarithm of the most may be too low, see {@link #expanded}. */
  public double doubtOfMost(Set<Guard> held, double energyFreedom) {
    return expanded(ofMost, held, energyFreedom);
  }

  /**
   * By how much ln(minutes) may be wrong at a level of confidence of 95.45 %: the standard
   * uncertainties of independent sources added in squares, times the quantile of Student's t for
   * the effective degrees of freedom (JCGM 100:2008, 5.1.2, 6.2 and G.4.1, the Welch-Satterthwaite
   * formula). With unlimited degrees of freedom the factor is 2. Never less than by the energy
   * alone: more doubt of the sensors adds degrees of freedom, and would else narrow the interval.
   *
   * @param doubts relative standard uncertainty by each source
   * @param held sources that the minimum holds already
   * @param energyFreedom degrees of freedom of the activation energy's uncertainty; the other
   *     sources are largest errors and have unlimited ones (G.4.3)
   */
  static double expanded(Map<Guard, Double> doubts, Set<Guard> held, double energyFreedom) {
    double square = 0;
    for (Map.Entry<Guard, Double> one : doubts.entrySet()) {
      if (!held.contains(one.getKey())) {
        square += one.getValue() * one.getValue();
      }
    }
    Double energy =
        held.contains(Guard.ACTIVATION_ENERGY) ? null : doubts.get(Guard.ACTIVATION_ENERGY);
    if (energy == null || energy == 0) {
      return 2 * Math.sqrt(square);
    }
    double freedom = energyFreedom * Math.pow(square / (energy * energy), 2);
    return Math.max(factor(freedom) * Math.sqrt(square), factor(energyFreedom) * energy);
  }

  private static double factor(double freedom) {
    return freedom > MANY ? 2 : TDistribution.of(freedom).inverseSurvivalProbability(ONE_SIDE);
  }

  /**
   * Bounds of equivalents, in minutes.
   *
   * @param least by the coldest course, with no credit outside the range of the kinetics
   * @param leastExtrapolated by the coldest course, the kinetics extrapolated
   * @param most by the hottest course, where rubber colder than the range cures as fast as at its
   *     lower end; absent where rubber was hotter than the range, and where nothing states how hot
   *     a gap can have been
   * @param mostExtrapolated by the hottest course, the kinetics extrapolated; absent where nothing
   *     states how hot a gap can have been
   */
  public record Bounds(
      double least,
      double leastExtrapolated,
      @Nullable Double most,
      @Nullable Double mostExtrapolated) {}
}
