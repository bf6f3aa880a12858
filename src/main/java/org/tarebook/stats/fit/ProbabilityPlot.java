package org.tarebook.stats.fit;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.function.DoubleUnaryOperator;
import org.apache.commons.statistics.distribution.NormalDistribution;
import org.tarebook.stats.Arguments;

/** The points of a probability plot: readings against where a distribution expects them. */
public final class ProbabilityPlot {

  private ProbabilityPlot() {}

  /**
   * One reading.
   *
   * @param share plotting position \( (i - 0.375) / (n + 0.25) \)
   * @param expected the distribution's value at that share
   * @param reading the reading itself
   */
  public record Point(double share, double expected, double reading) {}

  /**
   * Returns the points against normal scores: on a straight line of slope sigma if readings are
   * normal.
   *
   * <p><b>Source:</b> plotting positions of G. Blom, Statistical Estimates and Transformed
   * Beta-Variables (1958).
   *
   * @param x in any order; not kept
   * @return one for each reading, the least first; equal readings stand side by side
   * @throws IllegalArgumentException if one is not finite
   */
  public static List<Point> normal(double[] x) {
    return of(x, NormalDistribution.of(0, 1)::inverseCumulativeProbability);
  }

  /**
   * Returns the points against any distribution: on the diagonal if it fits.
   *
   * @param x in any order; not kept
   * @param quantile such as {@link FittedDistribution#quantile}
   * @return one for each reading, the least first
   * @throws IllegalArgumentException if one is not finite
   */
  public static List<Point> of(double[] x, DoubleUnaryOperator quantile) {
    double[] sorted = Arguments.requireSeries("reading", x, 0).clone();
    Arrays.sort(sorted);
    List<Point> points = new ArrayList<>(sorted.length);
    for (int i = 0; i < sorted.length; i++) {
      double share = (i + 0.625) / (sorted.length + 0.25);
      points.add(new Point(share, quantile.applyAsDouble(share), sorted[i]));
    }
    return List.copyOf(points);
  }
}
