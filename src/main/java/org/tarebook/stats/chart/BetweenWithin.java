package org.tarebook.stats.chart;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.tarebook.stats.Arguments;
import org.tarebook.stats.ControlLimits;
import org.tarebook.stats.Estimator;
import org.tarebook.stats.Factors;
import org.tarebook.stats.Moments;
import org.tarebook.stats.Roots;
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
   * @param subgroups in time order, in one unit
   * @param n readings that a subgroup is planned to have, at least 2
   * @return as {@link #ofSeries}
   * @throws IllegalArgumentException if {@code n} is below 2
   */
  public static Optional<BetweenWithin> of(List<Subgroup> subgroups, int n) {
    return ofSeries(List.of(subgroups), n);
  }

  /**
   * Returns the three charts of several series together; no moving range goes from one series to
   * another.
   *
   * <p>Where subgroups have other sizes, the spread inside is pooled, and the part between is the
   * \( \sigma_b \) that gives moving ranges of the sum seen, limits being those of a subgroup of
   * the planned size:
   *
   * <p>\[ \sum_i |\bar x_i - \bar x_{i-1}| = \sum_i \sqrt{\frac{2}{\pi}} \sqrt{2 \sigma_b^2 +
   * \sigma_w^2 \left(\frac{1}{n_i} + \frac{1}{n_{i-1}}\right)} \]
   *
   * @param series each in time order, all in one unit
   * @param n readings that a subgroup is planned to have, at least 2
   * @return limits of a subgroup of {@code n}, in the unit of the readings; empty where no series
   *     has two subgroups, and where none holds two readings
   * @throws IllegalArgumentException if {@code n} is below 2
   */
  public static Optional<BetweenWithin> ofSeries(List<List<Subgroup>> series, int n) {
    Arguments.requireAtLeast("readings of a subgroup", n, 2);
    List<Subgroup> all = series.stream().flatMap(List::stream).toList();
    Optional<SigmaEstimate> within = Spread.pooled(all);
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
    double centre = all.stream().map(Subgroup::moments).reduce(Moments.EMPTY, Moments::plus).mean();
    double sigmaWithin = within.get().sigma();
    double sigmaOfMeans =
        all.stream().allMatch(each -> each.count() == n)
            ? moved / moves / Factors.d2(2)
            : sigmaOfMeans(series, moved, sigmaWithin, n);
    SigmaEstimate ofMeans =
        new SigmaEstimate(
            sigmaOfMeans,
            Spread.degreesOfMovingRanges(moves, moving),
            Estimator.MOVING_RANGE,
            moves);
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

  /** The sigma of a mean of {@code n} readings that moving ranges of means of other sizes show. */
  private static double sigmaOfMeans(
      List<List<Subgroup>> series, double moved, double within, int n) {
    List<Double> inside = new ArrayList<>();
    for (List<Subgroup> each : series) {
      for (int i = 1; i < each.size(); i++) {
        double shares = 1.0 / each.get(i).count() + 1.0 / each.get(i - 1).count();
        inside.add(within * within * shares);
      }
    }
    double without = expectedMoves(inside, 0);
    if (moved <= without) {
      return without == 0 ? 0 : moved / without * within / Math.sqrt(n);
    }
    double most = moved / inside.size();
    double between =
        Roots.increasing(
            variance -> expectedMoves(inside, variance) - moved, 0, most * most * Math.PI / 4);
    return Math.sqrt(between + within * within / n);
  }

  private static double expectedMoves(List<Double> inside, double between) {
    double sum = 0;
    for (double each : inside) {
      sum += Math.sqrt(2 / Math.PI * (2 * between + each));
    }
    return sum;
  }

  /**
   * Returns the sigma of a mean of another number of readings. What moves the means stays, and what
   * is inside averages out:
   *
   * <p>\[ \sigma_{n'}^2 = \sigma_n^2 + \sigma_w^2 \left(\frac{1}{n'} - \frac{1}{n}\right) \]
   *
   * <p>kept between \( \sigma_n^2 \) and \( \sigma_n^2 n / n' \), where nothing moves the means.
   *
   * @param sigma \( \sigma_n \), of a mean of \( n \)
   * @param within \( \sigma_w \), inside a subgroup
   * @param share \( 1/n \)
   * @param other \( 1/n' \)
   * @return in the unit of the readings
   */
  public static double sigmaOfMean(double sigma, double within, double share, double other) {
    if (share == other) {
      return sigma;
    }
    double least = sigma * sigma * Math.min(1, other / share);
    double most = sigma * sigma * Math.max(1, other / share);
    double variance = sigma * sigma + within * within * (other - share);
    return Math.sqrt(Math.min(most, Math.max(least, variance)));
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
