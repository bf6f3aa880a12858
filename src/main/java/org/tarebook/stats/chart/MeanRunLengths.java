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

  private static final double LEAST_WEIGHT = 0.03;

  /** Places at which the density of a sum is followed, and the mass that is followed no further. */
  private static final int MOST_NODES = 128;

  private static final double NOTHING_LEFT = 1e-14;

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
   * @param ewma the chart, of a weight of at least 0.03: limits of a smaller one settle after too
   *     many points
   * @param shift \( \delta \), any finite number
   * @return at least 1
   * @throws IllegalArgumentException if the shift is not finite or the weight is smaller
   */
  public static double of(Ewma ewma, double shift) {
    Arguments.requireFinite("shift", shift);
    double w = ewma.weight();
    if (w < LEAST_WEIGHT) {
      throw new IllegalArgumentException(
          "weight of the newest point is %s, must be at least %s to follow the limits point by point"
              .formatted(w, LEAST_WEIGHT));
    }
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
    return Half.of(checked, Arguments.requireFinite("shift", shift)).from(headStart);
  }

  /**
   * One half of a CUSUM chart. From a sum \( s \) it takes \( t(s) \) points on average until it
   * signals or falls back to 0, and signals first with chance \( q(s) \). So the run length from 0
   * is \( t(0) / q(0) \), which keeps its digits however rare a signal is.
   */
  private record Half(
      double pointsFromZero, DoubleUnaryOperator toEither, DoubleUnaryOperator signalsFirst) {

    static Half of(Cusum cusum, double shift) {
      RunLengthEquation equation =
          new RunLengthEquation(1, shift - cusum.allowance(), 1, 0, cusum.decision());
      DoubleUnaryOperator t = equation.points();
      DoubleUnaryOperator q = equation.above();
      return new Half(t.applyAsDouble(0) / q.applyAsDouble(0), t, q);
    }

    double from(double sum) {
      return toEither.applyAsDouble(sum) + (1 - signalsFirst.applyAsDouble(sum)) * pointsFromZero;
    }

    /** What a start at a sum takes off the run length from 0, over that run length. */
    double saved(double sum) {
      return toEither.applyAsDouble(sum) / pointsFromZero - signalsFirst.applyAsDouble(sum);
    }
  }

  /** Both halves, one of which is 0 when the other signals. */
  private static double together(Half near, double nearSum, Half far, double farSum) {
    // Numerator and denominator divided by D(0), which may be beyond all bounds.
    return (near.from(nearSum) + near.pointsFromZero() * far.saved(farSum))
        / (1 + near.pointsFromZero() / far.pointsFromZero());
  }

  /**
   * Both halves from a head start so large that both may be above 0 when one signals. While both
   * are, their total falls by \( 2 k \) at each point and one half tells the other; the density of
   * the upper one is followed until the total is at most \( h + 2 k \). Before, a half that falls
   * to 0 leaves the other beyond the decision value.
   */
  private static double largeStart(Cusum cusum, double towards, Half near, Half far) {
    double h = cusum.decision();
    double k = cusum.allowance();
    double total = 2 * cusum.headStart();
    double[] sums = {cusum.headStart()};
    double[] masses = {1};
    double alive = 1;
    double length = 0;
    GaussLegendre rule = GaussLegendre.of((int) Math.min(MOST_NODES, 32 + 4 * h));
    while (total > h + 2 * k && alive > NOTHING_LEFT) {
      length += alive;
      total -= 2 * k;
      double low = total - h;
      double[] next = new double[rule.size()];
      double[] places = new double[rule.size()];
      alive = 0;
      for (int j = 0; j < next.length; j++) {
        places[j] = rule.place(j, low, h);
        double density = 0;
        for (int i = 0; i < sums.length; i++) {
          density += masses[i] * NORMAL.density(places[j] - sums[i] - towards + k);
        }
        next[j] = density * rule.weight(j, low, h);
        alive += next[j];
      }
      sums = places;
      masses = next;
    }
    for (int i = 0; i < sums.length; i++) {
      length += masses[i] * together(near, sums[i], far, total - sums[i]);
    }
    return length;
  }

  /**
   * Returns the mean run length of a two-sided CUSUM chart.
   *
   * <p>\[ L = \frac{U(s) D(0) + U(0) D(s) - U(0) D(0)}{U(0) + D(0)} \]
   *
   * <p>with \( U \) and \( D \) the run lengths of the upper and lower half from a start at \( s \)
   * and at 0: exact for a head start of at most {@code h / 2 + k}, as both halves cannot signal at
   * once then. From a larger one both halves are followed together until that holds.
   *
   * <p><b>Accuracy:</b> relative error below 1e-8 for run lengths up to 1e6.
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
    return headStart <= h / 2 + k
        ? together(near, headStart, far, headStart)
        : largeStart(checked, towards, near, far);
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
