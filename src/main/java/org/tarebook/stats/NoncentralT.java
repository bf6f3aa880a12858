package org.tarebook.stats;

import org.apache.commons.statistics.distribution.GammaDistribution;
import org.apache.commons.statistics.distribution.NormalDistribution;

/**
 * The noncentral t distribution, by quadrature, and its inverse in the noncentrality.
 *
 * <p>\( T = (Z + \delta) / S \) with \( Z \) standard normal and \( \nu S^2 \) an independent
 * chi-square with \( \nu \) degrees of freedom. Series in the noncentrality lose all digits for
 * large \( \delta \); these integrals do not.
 */
final class NoncentralT {

  private static final NormalDistribution NORMAL = NormalDistribution.of(0, 1);

  /** Weights below e to this power are left out. */
  private static final double NEGLIGIBLE = -42;

  /** Step of the trapezoidal rule, in units of the width of the narrower factor. */
  private static final double STEP = 0.25;

  /** From this ratio of t to the root of the degrees on, the normal side is the smoother one. */
  private static final double STEEP = 30;

  private static final int MOST_STEPS = 60;
  private static final double AGREEMENT = 1e-13;

  private static final double NORMAL_REACH = 9;
  private static final double NORMAL_STEP = 1.0 / 16;

  private NoncentralT() {}

  /**
   * Returns \( P(T \le t) \).
   *
   * <p>Averages \( \Phi(t s - \delta) \) over the distribution of \( S \), over \( \ln s \); for
   * steep \( t \) instead \( P(S \ge (z + \delta) / t) \) over the distribution of \( Z \).
   *
   * <p><b>Accuracy:</b> absolute error below 1e-11.
   *
   * @param t any finite number
   * @param degrees \( \nu \), positive
   * @param delta \( \delta \), any finite number
   */
  static double cumulative(double t, double degrees, double delta) {
    if (t < 0) {
      return 1 - cumulative(-t, degrees, -delta);
    }
    return t > STEEP * Math.sqrt(degrees)
        ? overNormal(t, degrees, delta)
        : overChi(t, degrees, delta);
  }

  private static double overChi(double t, double degrees, double delta) {
    double step = STEP / Math.sqrt(t * t + 2 * degrees + 1);
    double weights = 0;
    double sum = 0;
    for (int direction = -1; direction <= 1; direction += 2) {
      for (int i = direction < 0 ? 1 : 0; ; i++) {
        double logS = direction * i * step;
        // The density of ln S, against its peak at 0.
        double log = degrees * (logS - Math.expm1(2 * logS) / 2);
        if (log < NEGLIGIBLE) {
          break;
        }
        double weight = Math.exp(log);
        weights += weight;
        sum += weight * NORMAL.cumulativeProbability(t * Math.exp(logS) - delta);
      }
    }
    return sum / weights;
  }

  private static double overNormal(double t, double degrees, double delta) {
    GammaDistribution squares = GammaDistribution.of(degrees / 2, 2 / degrees);
    double weights = 0;
    double sum = 0;
    for (double z = -NORMAL_REACH; z <= NORMAL_REACH; z += NORMAL_STEP) {
      double weight = Math.exp(-z * z / 2);
      double s = Math.max(0, (z + delta) / t);
      weights += weight;
      sum += weight * squares.survivalProbability(s * s);
    }
    return sum / weights;
  }

  /**
   * Returns the noncentrality for which \( P(T \le t) \) is {@code probability}.
   *
   * <p><b>Accuracy:</b> the root of {@link #cumulative}, to 1e-12 of its size.
   *
   * @param t any finite number
   * @param degrees \( \nu \), positive
   * @param probability between 0 and 1, exclusive
   */
  static double noncentralityFor(double t, double degrees, double probability) {
    double width = 1 + Math.abs(t) / Math.sqrt(degrees);
    double low = t - width;
    while (cumulative(t, degrees, low) < probability) {
      width *= 2;
      low = t - width;
    }
    width = 1 + Math.abs(t) / Math.sqrt(degrees);
    double high = t + width;
    while (cumulative(t, degrees, high) > probability) {
      width *= 2;
      high = t + width;
    }
    return root(t, degrees, probability, low, high);
  }

  /** Ridders' method: stays between the ends, where the probability falls from low to high. */
  private static double root(double t, double degrees, double probability, double a, double b) {
    double low = a;
    double high = b;
    double atLow = cumulative(t, degrees, low) - probability;
    double atHigh = cumulative(t, degrees, high) - probability;
    double root = Double.NaN;
    for (int i = 0; i < MOST_STEPS; i++) {
      double middle = (low + high) / 2;
      double atMiddle = cumulative(t, degrees, middle) - probability;
      double bend = Math.sqrt(atMiddle * atMiddle - atLow * atHigh);
      double next = bend == 0 ? middle : middle + (middle - low) * atMiddle / bend;
      if (Math.abs(next - root) <= AGREEMENT * (1 + Math.abs(next))) {
        return next;
      }
      root = next;
      double atRoot = cumulative(t, degrees, root) - probability;
      if (atRoot == 0) {
        return root;
      }
      // Keep the two nearest points that lie on either side of the root.
      if ((atMiddle > 0) != (atRoot > 0)) {
        boolean middleIsLow = atMiddle > 0;
        low = middleIsLow ? middle : root;
        atLow = middleIsLow ? atMiddle : atRoot;
        high = middleIsLow ? root : middle;
        atHigh = middleIsLow ? atRoot : atMiddle;
      } else if (atRoot > 0) {
        low = root;
        atLow = atRoot;
      } else {
        high = root;
        atHigh = atRoot;
      }
    }
    return root;
  }
}
