package org.tarebook.stats;

import java.util.Optional;
import org.jspecify.annotations.Nullable;

/**
 * How the tolerance compares with the spread of the process.
 *
 * <p>The same four ratios are called Cp, CpU, CpL, Cpk with a within-subgroup sigma and Pp, PpU,
 * PpL, Ppk with the total one; {@link SigmaEstimate#estimator()} says which was used.
 * Dimensionless.
 *
 * @param potential \( (U - L) / 6\sigma \), Cp or Pp; null for a one-sided tolerance
 * @param minimum the smaller of {@code upper} and {@code lower}, or the only one: Cpk or Ppk;
 *     negative when the mean lies outside
 * @param upper \( (U - \mu) / 3\sigma \), CpU or PpU; null without an upper limit
 * @param lower \( (\mu - L) / 3\sigma \), CpL or PpL; null without a lower limit
 */
public record CapabilityIndices(
    @Nullable Double potential, double minimum, @Nullable Double upper, @Nullable Double lower) {

  /**
   * Returns the indices of a process.
   *
   * <p><b>Source:</b> NIST/SEMATECH e-Handbook, section 6.1.6; Montgomery, Introduction to
   * Statistical Quality Control, chapter 8.
   *
   * @param mean \( \mu \), in the unit of the tolerance
   * @param sigma \( \sigma \), in that unit, zero or positive
   * @param tolerance the limits \( L \) and \( U \); its target plays no part
   * @return the indices; empty when sigma is 0 (nothing varied), or so small that an index exceeds
   *     the range of a double
   * @throws IllegalArgumentException if a figure is not finite or sigma is negative
   */
  public static Optional<CapabilityIndices> of(double mean, double sigma, Tolerance tolerance) {
    Arguments.requireFinite("mean", mean);
    Arguments.requireNotNegative("sigma", sigma);
    if (sigma == 0) {
      return Optional.empty();
    }
    Double l = tolerance.lower();
    Double u = tolerance.upper();
    Double upper = u == null ? null : (Double) ((u - mean) / (3 * sigma));
    Double lower = l == null ? null : (Double) ((mean - l) / (3 * sigma));
    Double potential = l == null || u == null ? null : (Double) ((u - l) / (6 * sigma));
    double minimum =
        Math.min(
            upper == null ? Double.POSITIVE_INFINITY : upper,
            lower == null ? Double.POSITIVE_INFINITY : lower);
    CapabilityIndices indices = new CapabilityIndices(potential, minimum, upper, lower);
    return indices.finite() ? Optional.of(indices) : Optional.empty();
  }

  private boolean finite() {
    return isFinite(potential) && isFinite(upper) && isFinite(lower);
  }

  private static boolean isFinite(@Nullable Double index) {
    return index == null || Double.isFinite(index);
  }
}
