package org.tarebook.stats;

import java.util.Optional;
import org.apache.commons.statistics.distribution.NormalDistribution;

/**
 * Shares of a normal process that lie outside a tolerance. Estimates by a model, not counts.
 *
 * @param below share under the lower limit, 0 to 1; 0 without a lower limit
 * @param above share over the upper limit, 0 to 1; 0 without an upper limit
 */
public record SharesOutside(double below, double above) {

  /**
   * Returns the shares of a normal process, \( \Phi((L - \mu) / \sigma) \) and \( \Phi((\mu - U) /
   * \sigma) \).
   *
   * <p><b>Accuracy:</b> relative error below 1e-12 for shares down to 1e-88.
   *
   * @param mean \( \mu \), in the unit of the tolerance
   * @param sigma \( \sigma \), in that unit, zero or positive
   * @param tolerance the limits
   * @return the shares; empty when sigma is 0, as no normal process has that
   * @throws IllegalArgumentException if a figure is not finite or sigma is negative
   */
  public static Optional<SharesOutside> ofNormal(double mean, double sigma, Tolerance tolerance) {
    Arguments.requireFinite("mean", mean);
    Arguments.requireNotNegative("sigma", sigma);
    if (sigma == 0) {
      return Optional.empty();
    }
    NormalDistribution normal = NormalDistribution.of(mean, sigma);
    Double lower = tolerance.lower();
    Double upper = tolerance.upper();
    return Optional.of(
        new SharesOutside(
            lower == null ? 0 : normal.cumulativeProbability(lower),
            upper == null ? 0 : normal.survivalProbability(upper)));
  }

  /**
   * Returns the share outside on either side.
   *
   * @return {@code below + above}, 0 to 1
   */
  public double total() {
    return below + above;
  }
}
