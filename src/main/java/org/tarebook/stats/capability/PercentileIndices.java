package org.tarebook.stats.capability;

import java.util.Optional;
import java.util.function.DoubleUnaryOperator;
import org.tarebook.stats.Arguments;
import org.tarebook.stats.CapabilityIndices;
import org.tarebook.stats.Tolerance;

/**
 * Indices of readings that are not normal, from percentiles of any distribution, fitted or
 * empirical.
 *
 * <p>\[ P_p = \frac{U - L}{x_{1-t} - x_t}, \qquad P_{pU} = \frac{U - x_{50\%}}{x_{1-t} - x_{50\%}},
 * \qquad P_{pL} = \frac{x_{50\%} - L}{x_{50\%} - x_t} \]
 */
public final class PercentileIndices {

  /** The tail of ISO 22514-2: percentiles at 0.135 % and 99.865 %, as of a normal ±3 sigma. */
  public static final double ISO_22514_TAIL = 0.00135;

  /** The tail of NIST/SEMATECH e-Handbook, section 6.1.6, which gives larger indices. */
  public static final double HANDBOOK_TAIL = 0.005;

  private PercentileIndices() {}

  /**
   * Returns the indices of a distribution.
   *
   * @param quantile gives the value below which a share between 0 and 1 lies; asked for {@code
   *     tail}, one half and {@code 1 - tail}
   * @param tolerance the limits; a natural bound, such as 0 of a run-out, is no limit
   * @param tail \( t \), below one half, such as {@link #ISO_22514_TAIL}
   * @return Pp, Ppk, PpU and PpL; empty when the percentiles coincide
   * @throws IllegalArgumentException if the tail lies outside or a percentile is not finite
   */
  public static Optional<CapabilityIndices> of(
      DoubleUnaryOperator quantile, Tolerance tolerance, double tail) {
    if (!(Arguments.requireShare("tail", tail) < 0.5)) {
      throw new IllegalArgumentException("tail is %s, must be below 0.5".formatted(tail));
    }
    double low = Arguments.requireFinite("low percentile", quantile.applyAsDouble(tail));
    double median = Arguments.requireFinite("median", quantile.applyAsDouble(0.5));
    double high = Arguments.requireFinite("high percentile", quantile.applyAsDouble(1 - tail));
    if (!(low < median && median < high)) {
      return Optional.empty();
    }
    Double l = tolerance.lower();
    Double u = tolerance.upper();
    Double upper = u == null ? null : (Double) ((u - median) / (high - median));
    Double lower = l == null ? null : (Double) ((median - l) / (median - low));
    Double potential = l == null || u == null ? null : (Double) ((u - l) / (high - low));
    double minimum =
        Math.min(
            upper == null ? Double.POSITIVE_INFINITY : upper,
            lower == null ? Double.POSITIVE_INFINITY : lower);
    return Optional.of(new CapabilityIndices(potential, minimum, upper, lower));
  }
}
