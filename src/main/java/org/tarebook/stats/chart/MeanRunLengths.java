package org.tarebook.stats.chart;

import java.util.function.DoubleUnaryOperator;
import org.apache.commons.statistics.distribution.NormalDistribution;
import org.tarebook.stats.Arguments;
import org.tarebook.stats.GaussLegendre;

/**
 * Mean number of points to the first signal of EWMA, CUSUM and plain charts, for normal points with
 * known limits, by integral equations.
 *
 * <p>Shifts are lasting, from the first point on, in sigma of one plotted point.
 */
public final class MeanRunLengths {

  private static final NormalDistribution NORMAL = NormalDistribution.of(0, 1);

  /** Limits that differ from the steady ones by less than this share are taken as steady. */
  private static final double SETTLED = 1e-13;

  private MeanRunLengths() {}

  /**
   * Returns the mean run length of an EWMA chart with steady limits, started at the centre.
   *
   * <p><b>Accuracy:</b> relative error below 1e-8 for weights from 0.03 and run lengths up to 1000.
   *
   * <p><b>Source:</b> S. V. Crowder, Technometrics 29 (1987) 401-407; J. M. Lucas and M. S.
   * Saccucci, Technometrics 32 (1990) 1-12, whose table is met.
   *
   * @param ewma the chart
   * @param shift \( \delta \), any finite number
   * @return at least 1
   * @throws IllegalArgumentException if the shift is not finite
   */
  public static double ofSteady(Ewma ewma, double shift) {
    return equation(ewma, Arguments.requireFinite("shift", shift)).points().applyAsDouble(0);
  }

  private static RunLengthEquation equation(Ewma ewma, double shift) {
    double w = ewma.weight();
    double limit = ewma.steadyLimits(0, 1).upper();
    return new RunLengthEquation(1 - w, w * shift, w, -limit, limit);
  }

  /**
   * Returns the mean run length of an EWMA chart with its exact limits, which start narrow.
   *
   * <p>The density of the averages that have not signalled is followed from point to point until
   * the limits are steady; from there on the equation of {@link #ofSteady} holds.
   *
   * <p><b>Accuracy:</b> relative error below 1e-6 for weights from 0.03 and run lengths up to 1000.
   *
   * @param ewma the chart
   * @param shift \( \delta \), any finite number
   * @return at least 1
   * @throws IllegalArgumentException if the shift is not finite
   */
  public static double of(Ewma ewma, double shift) {
    Arguments.requireFinite("shift", shift);
    double w = ewma.weight();
    double steady = ewma.steadyLimits(0, 1).upper();
    GaussLegendre rule = GaussLegendre.of((int) Math.min(400, 48 + 8 * steady / w));
    int n = rule.size();
    double limit = ewma.limits(0, 1, 1).upper();
    double[] density = new double[n];
    for (int j = 0; j < n; j++) {
      density[j] = NORMAL.density((rule.place(j, -limit, limit) - w * shift) / w) / w;
    }
    double length = 1;
    for (long i = 2; steady - limit > SETTLED * steady; i++) {
      double nextLimit = ewma.limits(0, 1, i).upper();
      double[] next = new double[n];
      for (int k = 0; k < n; k++) {
        double mass = rule.weight(k, -limit, limit) * density[k];
        length += mass;
        double mean = (1 - w) * rule.place(k, -limit, limit) + w * shift;
        for (int j = 0; j < n; j++) {
          double z = (rule.place(j, -nextLimit, nextLimit) - mean) / w;
          next[j] += mass * NORMAL.density(z) / w;
        }
      }
      density = next;
      limit = nextLimit;
    }
    DoubleUnaryOperator rest = equation(ewma, shift).points();
    for (int k = 0; k < n; k++) {
      double mass = rule.weight(k, -limit, limit) * density[k];
      length += mass * rest.applyAsDouble(rule.place(k, -limit, limit));
    }
    return length;
  }

  /**
   * Returns the mean run length of the upper half of a CUSUM chart.
   *
   * <p><b>Accuracy:</b> relative error below 1e-8 for run lengths up to 1e6.
   *
   * <p><b>Source:</b> E. S. Page's integral equation; J. M. Lucas, Journal of Quality Technology 8
   * (1976) 1-12, whose table is met.
   *
   * @param k allowance in sigma, zero or positive
   * @param h decision value in sigma, positive
   * @param headStart in sigma, zero to below {@code h}
   * @param shift \( \delta \), positive towards the signal
   * @return at least 1; infinite if a signal is rarer than a double can tell
   * @throws IllegalArgumentException if an argument lies outside
   */
  public static double ofUpperCusum(double k, double h, double headStart, double shift) {
    Cusum checked = new Cusum(0, k, h, headStart);
    return Half.of(checked, Arguments.requireFinite("shift", shift)).fromHeadStart();
  }

  /**
   * One half of a CUSUM chart. From a sum \( s \) it takes \( t(s) \) points on average until it
   * signals or falls back to 0, and signals first with chance \( q(s) \). So the run length from 0
   * is \( t(0) / q(0) \), which keeps its digits however rare a signal is.
   */
  private record Half(double pointsFromZero, double pointsToEither, double chance) {

    static Half of(Cusum cusum, double shift) {
      RunLengthEquation equation =
          new RunLengthEquation(1, shift - cusum.allowance(), 1, 0, cusum.decision());
      DoubleUnaryOperator t = equation.points();
      DoubleUnaryOperator q = equation.above();
      return new Half(
          t.applyAsDouble(0) / q.applyAsDouble(0),
          t.applyAsDouble(cusum.headStart()),
          q.applyAsDouble(cusum.headStart()));
    }

    double fromHeadStart() {
      return pointsToEither + (1 - chance) * pointsFromZero;
    }
  }

  /**
   * Returns the mean run length of a two-sided CUSUM chart.
   *
   * <p>\[ L = \frac{U(s) D(0) + U(0) D(s) - U(0) D(0)}{U(0) + D(0)} \]
   *
   * <p>with \( U \) and \( D \) the run lengths of the upper and lower half from a start at \( s \)
   * and at 0. Exact, as both halves cannot signal at once, if the head start is at most {@code h /
   * 2 + k}.
   *
   * <p><b>Source:</b> J. M. Lucas and R. B. Crosier, Technometrics 24 (1982) 199-205, whose table
   * is met.
   *
   * @param k allowance in sigma, zero or positive
   * @param h decision value in sigma, positive
   * @param headStart in sigma, zero to below {@code h}
   * @param shift \( \delta \), any finite number
   * @return at least 1
   * @throws IllegalArgumentException if an argument lies outside
   */
  public static double ofCusum(double k, double h, double headStart, double shift) {
    Cusum checked = new Cusum(0, k, h, headStart);
    double towards = Math.abs(Arguments.requireFinite("shift", shift));
    Half near = Half.of(checked, towards);
    Half far = Half.of(checked, -towards);
    // Numerator and denominator divided by D(0), which may be beyond all bounds.
    double farLoss = far.pointsToEither() / far.pointsFromZero() - far.chance();
    return (near.fromHeadStart() + near.pointsFromZero() * farLoss)
        / (1 + near.pointsFromZero() / far.pointsFromZero());
  }

  /**
   * Returns the mean run length of a plain chart of single readings that follow each other, \( x_i
   * = \rho x_{i-1} + e_i \), while the process is in control.
   *
   * <p><b>Accuracy:</b> relative error below 1e-8 for correlations within ±0.9.
   *
   * @param lag1 \( \rho \), correlation of neighbours, between -1 and 1, exclusive
   * @param reach distance of the limits from the mean in sigma of the readings, such as 3, or \( 3
   *     \sqrt{1 - \rho} \) if sigma came from moving ranges
   * @return at least 1
   * @throws IllegalArgumentException if an argument lies outside
   */
  public static double ofCorrelated(double lag1, double reach) {
    Arguments.requirePositive("reach", reach);
    if (!(lag1 > -1 && lag1 < 1)) {
      throw new IllegalArgumentException(
          "correlation of neighbours is %s, must lie between -1 and 1".formatted(lag1));
    }
    double spread = Math.sqrt(1 - lag1 * lag1);
    RunLengthEquation equation = new RunLengthEquation(lag1, 0, spread, -reach, reach);
    return equation.afterNormalStart(equation.points());
  }
}
