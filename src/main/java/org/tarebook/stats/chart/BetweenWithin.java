package org.tarebook.stats.chart;

import java.util.List;
import java.util.Optional;
import org.tarebook.stats.ControlLimits;
import org.tarebook.stats.Factors;
import org.tarebook.stats.Moments;
import org.tarebook.stats.SigmaEstimate;
import org.tarebook.stats.Spread;
import org.tarebook.stats.Subgroup;

/**
 * Three charts for subgroups that do not repeat one thing, such as the cavities of one press load
 * or places across one sheet: their means as single readings, the moving range of the means, and
 * the spread inside. Limits of the means then come from how means move, not from the spread inside
 * a subgroup, which would make nearly every mean signal.
 *
 * <p><b>Source:</b> D. J. Wheeler's three-way chart; NIST/SEMATECH e-Handbook, section 6.3.2 for
 * each of the three.
 *
 * @param means limits of the means, \( \bar{\bar x} \pm 3 \overline{MR} / d_2(2) \)
 * @param movingRanges limits of the moving range of the means
 * @param within limits of the standard deviation inside a subgroup
 * @param sigmaWithin pooled sigma inside subgroups
 * @param sigmaBetween what the means scatter beyond the spread inside: \( \sqrt{\max(0,
 *     \hat\sigma_{\bar x}^2 - \hat\sigma_w^2 / n)} \)
 */
public record BetweenWithin(
    ControlLimits means,
    ControlLimits movingRanges,
    ControlLimits within,
    SigmaEstimate sigmaWithin,
    double sigmaBetween) {

  /**
   * Returns the three charts.
   *
   * @param subgroups in time order, in one unit, of one size of 2 and more
   * @return limits in the unit of the readings; empty for fewer than two subgroups
   * @throws IllegalArgumentException if sizes differ or are below 2; the message names the place
   */
  public static Optional<BetweenWithin> of(List<Subgroup> subgroups) {
    Optional<SigmaEstimate> within =
        Spread.meanSd(subgroups).flatMap(s -> Spread.pooled(subgroups));
    if (subgroups.size() < 2 || within.isEmpty()) {
      return Optional.empty();
    }
    double moved = 0;
    for (int i = 1; i < subgroups.size(); i++) {
      moved += Math.abs(subgroups.get(i).mean() - subgroups.get(i - 1).mean());
    }
    long n = subgroups.get(0).count();
    double centre =
        subgroups.stream().map(Subgroup::moments).reduce(Moments.EMPTY, Moments::plus).mean();
    double sigmaOfMeans = moved / (subgroups.size() - 1) / Factors.d2(2);
    double sigmaWithin = within.get().sigma();
    double between = sigmaOfMeans * sigmaOfMeans - sigmaWithin * sigmaWithin / n;
    return Optional.of(
        new BetweenWithin(
            ControlLimits.ofIndividual(centre, sigmaOfMeans),
            ControlLimits.ofMovingRange(sigmaOfMeans),
            ControlLimits.ofSd(sigmaWithin, n),
            within.get(),
            Math.sqrt(Math.max(0, between))));
  }

  /**
   * Returns the spread of single readings, both parts together.
   *
   * @return \( \sqrt{\hat\sigma_b^2 + \hat\sigma_w^2} \), in the unit of the readings
   */
  public double sigmaTogether() {
    return Math.hypot(sigmaBetween, sigmaWithin.sigma());
  }
}
