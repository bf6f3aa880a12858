package org.tarebook.stats.measuring;

import java.util.function.DoubleUnaryOperator;
import org.apache.commons.statistics.distribution.NormalDistribution;
import org.tarebook.stats.Arguments;
import org.tarebook.stats.GaussLegendre;
import org.tarebook.stats.Tolerance;

/**
 * How often a decision by measured values is wrong, over all items of a process: true values
 * normal, measuring errors normal.
 *
 * <p>\[ R_C = \int_{\eta \notin T} P(A \mid \eta) g_0(\eta) d\eta, \qquad R_P = \int_{\eta \in T}
 * (1 - P(A \mid \eta)) g_0(\eta) d\eta \]
 *
 * <p>with \( T \) the tolerance, \( A \) the acceptance interval and \( g_0 \) the density of true
 * values.
 *
 * <p><b>Accuracy:</b> error below 1e-10.
 *
 * <p><b>Source:</b> JCGM 106:2012, clause 9 and annex A.
 *
 * @param mean \( y_0 \), of the true values
 * @param sd \( u_0 \), of the true values, positive
 * @param uncertainty \( u_m \), standard uncertainty of measuring, positive
 * @param tolerance what an item must be
 * @param acceptance what a reading must be for the item to be accepted
 */
public record DecisionRisk(
    double mean, double sd, double uncertainty, Tolerance tolerance, Tolerance acceptance) {

  private static final NormalDistribution NORMAL = NormalDistribution.of(0, 1);
  private static final GaussLegendre RULE = GaussLegendre.of(20);
  private static final double REACH = 10;
  private static final int MOST_PANELS = 20_000;

  /**
   * Checks the figures.
   *
   * @throws IllegalArgumentException if a figure lies outside
   */
  public DecisionRisk {
    Arguments.requireFinite("mean", mean);
    Arguments.requirePositive("sd", sd);
    Arguments.requirePositive("uncertainty", uncertainty);
    if (sd / uncertainty * 2 * REACH > MOST_PANELS) {
      throw new IllegalArgumentException(
          "uncertainty %s is too small beside sd %s: decisions are hardly ever wrong"
              .formatted(uncertainty, sd));
    }
  }

  /**
   * Returns the chance that an item with a given reading conforms, if nothing else is known of it.
   *
   * <p>\[ p_c = \Phi((U - y) / u) - \Phi((L - y) / u) \]
   *
   * @param y the reading
   * @param u its standard uncertainty, positive
   * @param tolerance the limits
   * @return between 0 and 1
   * @throws IllegalArgumentException if a figure lies outside
   */
  public static double conformance(double y, double u, Tolerance tolerance) {
    Arguments.requireFinite("reading", y);
    Arguments.requirePositive("uncertainty", u);
    return inside(y, u, tolerance);
  }

  private static double inside(double from, double sd, Tolerance limits) {
    Double lower = limits.lower();
    Double upper = limits.upper();
    return NORMAL.probability(
        lower == null ? Double.NEGATIVE_INFINITY : (lower - from) / sd,
        upper == null ? Double.POSITIVE_INFINITY : (upper - from) / sd);
  }

  private static double outside(double from, double sd, Tolerance limits) {
    Double lower = limits.lower();
    Double upper = limits.upper();
    return (lower == null ? 0 : NORMAL.cumulativeProbability((lower - from) / sd))
        + (upper == null ? 0 : NORMAL.survivalProbability((upper - from) / sd));
  }

  /**
   * Returns the consumer's risk \( R_C \): the share of all items that do not conform and are
   * accepted.
   *
   * @return between 0 and 1
   */
  public double consumers() {
    Double lower = tolerance.lower();
    Double upper = tolerance.upper();
    DoubleUnaryOperator accepted = eta -> inside(eta, uncertainty, acceptance);
    return (lower == null ? 0 : overItems(accepted, Double.NEGATIVE_INFINITY, lower))
        + (upper == null ? 0 : overItems(accepted, upper, Double.POSITIVE_INFINITY));
  }

  /**
   * Returns the producer's risk \( R_P \): the share of all items that conform and are not
   * accepted.
   *
   * @return between 0 and 1
   */
  public double producers() {
    Double lower = tolerance.lower();
    Double upper = tolerance.upper();
    return overItems(
        eta -> outside(eta, uncertainty, acceptance),
        lower == null ? Double.NEGATIVE_INFINITY : lower,
        upper == null ? Double.POSITIVE_INFINITY : upper);
  }

  private double overItems(DoubleUnaryOperator chance, double from, double to) {
    double low = Math.max(from, mean - REACH * sd);
    double high = Math.min(to, mean + REACH * sd);
    if (low >= high) {
      return 0;
    }
    double width = 2 * Math.min(sd, uncertainty);
    int panels = (int) Math.ceil((high - low) / width);
    double sum = 0;
    for (int i = 0; i < panels; i++) {
      double start = low + (high - low) * i / panels;
      double end = low + (high - low) * (i + 1) / panels;
      sum +=
          RULE.integrate(
              eta -> NORMAL.density((eta - mean) / sd) / sd * chance.applyAsDouble(eta),
              start,
              end);
    }
    return sum;
  }

  /**
   * Returns the share of items that conform.
   *
   * @return between 0 and 1
   */
  public double conforming() {
    return inside(mean, sd, tolerance);
  }

  /**
   * Returns the share of items that are accepted.
   *
   * @return between 0 and 1
   */
  public double accepted() {
    return inside(mean, Math.hypot(sd, uncertainty), acceptance);
  }
}
