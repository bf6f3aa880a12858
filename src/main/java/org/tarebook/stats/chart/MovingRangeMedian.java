package org.tarebook.stats.chart;

import java.util.Arrays;
import java.util.Optional;
import org.tarebook.stats.Arguments;
import org.tarebook.stats.ControlLimits;
import org.tarebook.stats.RangeDistribution;

/**
 * Sigma of single readings by the median moving range, which one or two wild readings hardly move.
 *
 * @param median of the moving ranges of two, in the unit of the readings
 * @param sigma \( \widetilde{MR} / d_4(2) \), with \( d_4(2) = 0.95387 \)
 */
public record MovingRangeMedian(double median, double sigma) {

  /**
   * Returns the estimate of a series.
   *
   * <p>The median of an even number of ranges is the mean of the middle two. With a coarse
   * instrument it can be 0 though readings differ. It scatters half as much again as the mean.
   *
   * <p><b>Source:</b> D. J. Wheeler and D. S. Chambers, Understanding Statistical Process Control;
   * the factor is exact, the books round it to 0.954.
   *
   * @param x readings in time order; not kept
   * @return empty for fewer than two readings
   * @throws IllegalArgumentException if a reading is not finite; the message names its index
   */
  public static Optional<MovingRangeMedian> of(double[] x) {
    Arguments.requireSeries("reading", x, 0);
    if (x.length < 2) {
      return Optional.empty();
    }
    double[] ranges = new double[x.length - 1];
    for (int i = 1; i < x.length; i++) {
      ranges[i - 1] = Math.abs(x[i] - x[i - 1]);
    }
    return ofRanges(ranges);
  }

  /**
   * Returns the estimate of moving ranges, of one series or of several that are not joined.
   *
   * @param movingRanges zero or positive, in any order; not kept
   * @return empty without a moving range
   * @throws IllegalArgumentException if a moving range is not finite; the message names its index
   */
  public static Optional<MovingRangeMedian> ofRanges(double[] movingRanges) {
    Arguments.requireSeries("moving range", movingRanges, 0);
    if (movingRanges.length == 0) {
      return Optional.empty();
    }
    double[] ranges = movingRanges.clone();
    Arrays.sort(ranges);
    int middle = ranges.length / 2;
    double median =
        ranges.length % 2 == 1 ? ranges[middle] : (ranges[middle - 1] + ranges[middle]) / 2;
    return Optional.of(new MovingRangeMedian(median, median / RangeDistribution.quantile(0.5, 2)));
  }

  /**
   * Returns the limits of single readings, which lie 3.1451 median moving ranges from the centre.
   *
   * @param centre mean or median of the readings, or a target
   * @return in the unit of the readings
   */
  public ControlLimits ofIndividual(double centre) {
    return ControlLimits.ofIndividual(centre, sigma);
  }

  /**
   * Returns the limits of the moving range; the upper one is 3.8641 median moving ranges.
   *
   * @return in the unit of the readings
   */
  public ControlLimits ofMovingRange() {
    return ControlLimits.ofMovingRange(sigma);
  }
}
