package org.tarebook.stats.capability;

import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.tarebook.stats.Arguments;
import org.tarebook.stats.Moments;
import org.tarebook.stats.Tolerance;

/**
 * Indices that count the distance from the target as spread.
 *
 * <p>\[ \tau^2 = s^2 + (\bar x - T)^2, \qquad C_{pm} = \frac{U - L}{6 \tau}, \qquad C_{pmk} =
 * \frac{\min(U - \bar x, \bar x - L)}{3 \tau} \]
 *
 * <p>Books differ in the divisor inside \( s \), so it is part of the result.
 *
 * @param cpm \( C_{pm} \); null for a tolerance with one limit
 * @param cpmk \( C_{pmk} \), negative when the mean lies outside
 * @param spread \( \tau \), in the unit of the readings
 * @param divisor which \( s \)
 */
public record TargetIndices(@Nullable Double cpm, double cpmk, double spread, Divisor divisor) {

  /** How the spread about the target was averaged. */
  public enum Divisor {
    /** \( \sum (x - T)^2 / n \): R. A. Boyles, Journal of Quality Technology 23 (1991) 17-26. */
    N,
    /**
     * \( \sum (x - T)^2 / (n - 1) \): L. K. Chan, S. W. Cheng and F. A. Spiring, Journal of Quality
     * Technology 20 (1988) 162-175.
     */
    N_LESS_1,
    /** A sigma that was given, by whatever estimator. */
    GIVEN_SIGMA
  }

  /**
   * Returns the indices with a given sigma.
   *
   * @param mean \( \bar x \)
   * @param sigma \( s \), zero or positive
   * @param tolerance limits and target; without a target the middle of both limits is taken
   * @return empty when nothing varied and the mean is on target
   * @throws IllegalArgumentException if a figure is not finite, sigma is negative, or there is
   *     neither a target nor a middle
   */
  public static Optional<TargetIndices> of(double mean, double sigma, Tolerance tolerance) {
    Arguments.requireFinite("mean", mean);
    Arguments.requireNotNegative("sigma", sigma);
    double spread = Math.hypot(sigma, mean - target(tolerance));
    return of(mean, spread, tolerance, Divisor.GIVEN_SIGMA);
  }

  /**
   * Returns the indices of readings.
   *
   * @param readings at least one, at least two with {@link Divisor#N_LESS_1}
   * @param tolerance as for {@link #of(double, double, Tolerance)}
   * @param divisor {@link Divisor#N} or {@link Divisor#N_LESS_1}
   * @return empty for too few readings and when all are on target
   * @throws IllegalArgumentException if the divisor is {@link Divisor#GIVEN_SIGMA}, or there is
   *     neither a target nor a middle
   */
  public static Optional<TargetIndices> of(Moments readings, Tolerance tolerance, Divisor divisor) {
    if (divisor == Divisor.GIVEN_SIGMA) {
      throw new IllegalArgumentException("readings have no given sigma: choose N or N_LESS_1");
    }
    double target = target(tolerance);
    long n = readings.count();
    long by = divisor == Divisor.N ? n : n - 1;
    if (by < 1) {
      return Optional.empty();
    }
    double off = readings.mean() - target;
    double squares = readings.exactSquaredDeviations().doubleValue() + n * off * off;
    return of(readings.mean(), Math.sqrt(squares / by), tolerance, divisor);
  }

  private static Optional<TargetIndices> of(
      double mean, double spread, Tolerance tolerance, Divisor divisor) {
    if (spread == 0) {
      return Optional.empty();
    }
    Double lower = tolerance.lower();
    Double upper = tolerance.upper();
    double nearer =
        Math.min(
            upper == null ? Double.POSITIVE_INFINITY : upper - mean,
            lower == null ? Double.POSITIVE_INFINITY : mean - lower);
    Double cpm = lower == null || upper == null ? null : (Double) ((upper - lower) / (6 * spread));
    return Optional.of(new TargetIndices(cpm, nearer / (3 * spread), spread, divisor));
  }

  private static double target(Tolerance tolerance) {
    Double target = tolerance.target();
    if (target != null) {
      return target;
    }
    Double lower = tolerance.lower();
    Double upper = tolerance.upper();
    if (lower == null || upper == null) {
      throw new IllegalArgumentException("an index about a target needs a target");
    }
    return lower + (upper - lower) / 2;
  }
}
