package org.tarebook.stats;

import java.util.Arrays;
import java.util.function.DoubleUnaryOperator;
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

  /** Step of the trapezoidal rule, in units of the width of the narrower factor at the peak. */
  private static final double STEP = 0.5;

  /** Of few degrees S reaches far above its peak, where the normal factor is narrower. */
  private static final double FEW_DEGREES = 10;

  private static final double STEP_OF_FEW = 0.125;

  /** The longest step: of few degrees the density is analytic in a narrow strip only. */
  private static final double LONGEST_STEP = 0.1;

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
    return cumulative(t, degrees).applyAsDouble(delta);
  }

  /** The same as a function of the noncentrality; what does not depend on it is done once. */
  private static DoubleUnaryOperator cumulative(double t, double degrees) {
    if (Math.abs(t) <= STEEP * Math.sqrt(degrees)) {
      return overChi(t, degrees);
    }
    return t > 0
        ? delta -> overNormal(t, degrees, delta)
        : delta -> 1 - overNormal(-t, degrees, -delta);
  }

  private static DoubleUnaryOperator overChi(double t, double degrees) {
    double widths = degrees < FEW_DEGREES ? STEP_OF_FEW : STEP;
    double step = Math.min(LONGEST_STEP, widths / Math.sqrt(t * t + 2 * degrees + 1));
    int below = reach(degrees, -step);
    int above = reach(degrees, step);
    double[] places = new double[below + 1 + above];
    double[] weights = new double[places.length];
    for (int i = 0; i < places.length; i++) {
      double logS = (i - below) * step;
      places[i] = t * Math.exp(logS);
      weights[i] = Math.exp(logDensity(degrees, logS));
    }
    double all = Arrays.stream(weights).sum();
    return delta -> {
      double sum = 0;
      for (int i = 0; i < places.length; i++) {
        sum += weights[i] * NORMAL.cumulativeProbability(places[i] - delta);
      }
      return sum / all;
    };
  }

  /** How many steps from the peak the density of ln S is worth counting. */
  private static int reach(double degrees, double step) {
    int steps = 0;
    while (logDensity(degrees, (steps + 1) * step) >= NEGLIGIBLE) {
      steps++;
    }
    return steps;
  }

  /** Logarithm of the density of ln S, against its peak at 0. */
  private static double logDensity(double degrees, double logS) {
    return degrees * (logS - Math.expm1(2 * logS) / 2);
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
    DoubleUnaryOperator cumulative = cumulative(t, degrees);
    DoubleUnaryOperator excess = delta -> cumulative.applyAsDouble(delta) - probability;
    double spread = Math.sqrt(1 + t * t / (2 * degrees));
    double near = t - spread * NORMAL.inverseCumulativeProbability(probability);
    double width = spread / 8;
    double low = near - width;
    while (excess.applyAsDouble(low) < 0) {
      width *= 2;
      low = near - width;
    }
    width = spread / 8;
    double high = near + width;
    while (excess.applyAsDouble(high) > 0) {
      width *= 2;
      high = near + width;
    }
    return root(excess, low, high);
  }

  /** Ridders' method: stays between the ends, where the function falls from low to high. */
  private static double root(DoubleUnaryOperator falling, double a, double b) {
    double low = a;
    double high = b;
    double atLow = falling.applyAsDouble(low);
    double atHigh = falling.applyAsDouble(high);
    double root = Double.NaN;
    for (int i = 0; i < MOST_STEPS; i++) {
      double middle = (low + high) / 2;
      double atMiddle = falling.applyAsDouble(middle);
      double bend = Math.sqrt(atMiddle * atMiddle - atLow * atHigh);
      double next = bend == 0 ? middle : middle + (middle - low) * atMiddle / bend;
      if (Math.abs(next - root) <= AGREEMENT * (1 + Math.abs(next))) {
        return next;
      }
      root = next;
      double atRoot = falling.applyAsDouble(root);
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
