package org.tarebook.stats.chart;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.tarebook.stats.ControlLimits;
import org.tarebook.stats.Moments;
import org.tarebook.stats.SigmaEstimate;
import org.tarebook.stats.Spread;
import org.tarebook.stats.Subgroup;

/**
 * Means and standard deviations of subgroups whose sizes may differ, each point with its own
 * limits, from the pooled sigma.
 *
 * <p>The centre of means is the mean of all readings. The pooled sigma is taken as it is, without a
 * bias correction: at 20 degrees of freedom it is 1.2 % too small on average.
 *
 * <p><b>Source:</b> D. C. Montgomery, Introduction to Statistical Quality Control, section 6.3.2
 * (variable sample size), with the pooled variance of all subgroups.
 *
 * @param centre mean of all readings, in their unit
 * @param sigma pooled over the subgroups
 * @param points one for each subgroup, in order
 */
public record SubgroupChart(double centre, SigmaEstimate sigma, List<Point> points) {

  /**
   * One subgroup.
   *
   * @param mean of its readings
   * @param meanLimits of a mean of so many readings
   * @param sd its standard deviation; null for one reading
   * @param sdLimits of a standard deviation of so many readings; null for one reading
   */
  public record Point(
      double mean,
      ControlLimits meanLimits,
      @Nullable Double sd,
      @Nullable ControlLimits sdLimits) {}

  /** Copies the points. */
  public SubgroupChart {
    points = List.copyOf(points);
  }

  /**
   * Returns the chart of subgroups.
   *
   * @param subgroups in time order, in one unit
   * @return empty without a subgroup of two
   */
  public static Optional<SubgroupChart> of(List<Subgroup> subgroups) {
    Moments all = subgroups.stream().map(Subgroup::moments).reduce(Moments.EMPTY, Moments::plus);
    return Spread.pooled(subgroups)
        .map(sigma -> new SubgroupChart(all.mean(), sigma, points(all.mean(), sigma, subgroups)));
  }

  private static List<Point> points(double centre, SigmaEstimate sigma, List<Subgroup> subgroups) {
    List<Point> points = new ArrayList<>();
    for (Subgroup subgroup : subgroups) {
      long n = subgroup.count();
      points.add(
          new Point(
              subgroup.mean(),
              ControlLimits.ofMean(centre, sigma.sigma(), n),
              n == 1 ? null : (Double) subgroup.sd(),
              n == 1 ? null : ControlLimits.ofSd(sigma.sigma(), n)));
    }
    return points;
  }
}
