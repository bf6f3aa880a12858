package org.tarebook.stats.chart;

import java.util.List;
import java.util.Optional;
import org.tarebook.stats.ControlLimits;
import org.tarebook.stats.Estimator;
import org.tarebook.stats.Factors;
import org.tarebook.stats.Moments;
import org.tarebook.stats.SigmaEstimate;
import org.tarebook.stats.Spread;
import org.tarebook.stats.Subgroup;
import org.tarebook.stats.TwoPartSpread;

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
 * @param parts the variance of the means and the rest, as confidence intervals take them
 * @param sigmaTogether of single readings, both parts: \( \sqrt{\hat\sigma_b^2 + \hat\sigma_w^2}
 *     \); degrees of freedom by Satterthwaite from those of the moving ranges and the pooled ones
 */
public record BetweenWithin(
    ControlLimits means,
    ControlLimits movingRanges,
    ControlLimits within,
    SigmaEstimate sigmaWithin,
    double sigmaBetween,
    TwoPartSpread parts,
    SigmaEstimate sigmaTogether) {

  /**
   * Returns the three charts of one series.
   *
   * @param subgroups in time order, in one unit, of one size of 2 and more
   * @return limits in the unit of the readings; empty for fewer than two subgroups
   * @throws IllegalArgumentException if sizes differ or are below 2; the message names the place
   */
  public static Optional<BetweenWithin> of(List<Subgroup> subgroups) {
    return ofSeries(List.of(subgroups));
  }

  /**
   * Returns the three charts of several series together; no moving range goes from one series to
   * another.
   *
   * @param series each in time order, all in one unit, of one size of 2 and more
   * @return limits in the unit of the readings; empty where no series has two subgroups
   * @throws IllegalArgumentException if sizes differ or are below 2; the message names the place
   */
  public static Optional<BetweenWithin> ofSeries(List<List<Subgroup>> series) {
    List<Subgroup> all = series.stream().flatMap(List::stream).toList();
    Optional<SigmaEstimate> within = Spread.meanSd(all).flatMap(s -> Spread.pooled(all));
    double moved = 0;
    long moves = 0;
    long moving = 0;
    for (List<Subgroup> each : series) {
      for (int i = 1; i < each.size(); i++) {
        moved += Math.abs(each.get(i).mean() - each.get(i - 1).mean());
        moves++;
      }
      moving += each.size() > 1 ? 1 : 0;
    }
    if (moves == 0 || within.isEmpty()) {
      return Optional.empty();
    }
    long n = all.get(0).count();
    double centre = all.stream().map(Subgroup::moments).reduce(Moments.EMPTY, Moments::plus).mean();
    double sigmaOfMeans = moved / moves / Factors.d2(2);
    SigmaEstimate ofMeans =
        new SigmaEstimate(
            sigmaOfMeans,
            Spread.degreesOfMovingRanges(moves, moving),
            Estimator.MOVING_RANGE,
            moves);
    double sigmaWithin = within.get().sigma();
    double between =
        Math.sqrt(Math.max(0, sigmaOfMeans * sigmaOfMeans - sigmaWithin * sigmaWithin / n));
    return Optional.of(
        new BetweenWithin(
            ControlLimits.ofIndividual(centre, sigmaOfMeans),
            ControlLimits.ofMovingRange(sigmaOfMeans),
            ControlLimits.ofSd(sigmaWithin, n),
            within.get(),
            between,
            new TwoPartSpread(
                ofMeans.chiScaled() * ofMeans.chiScaled(),
                ofMeans.degreesOfFreedom(),
                sigmaWithin * sigmaWithin * (n - 1) / n,
                within.get().degreesOfFreedom(),
                all.size()),
            together(between, within.get(), sigmaOfMeans, n, ofMeans.degreesOfFreedom())));
  }

  private static SigmaEstimate together(
      double between, SigmaEstimate within, double sigmaOfMeans, long n, double degreesOfMeans) {
    double ofMeans = sigmaOfMeans * sigmaOfMeans;
    double inside = within.sigma() * within.sigma() * (n - 1) / n;
    double both = ofMeans + inside;
    double degrees =
        between > 0
            ? both
                * both
                / (ofMeans * ofMeans / degreesOfMeans + inside * inside / within.degreesOfFreedom())
            : within.degreesOfFreedom();
    return new SigmaEstimate(
        Math.hypot(between, within.sigma()), degrees, Estimator.BETWEEN_WITHIN, within.subgroups());
  }
}
