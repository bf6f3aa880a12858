package org.tarebook.stats;

import java.util.List;
import java.util.Optional;
import org.apache.commons.statistics.distribution.FDistribution;
import org.apache.commons.statistics.distribution.NormalDistribution;
import org.apache.commons.statistics.distribution.TDistribution;

/**
 * Whether two shares differ, such as the reject rates of two lines.
 *
 * @param first the first share
 * @param second the second share
 * @param dispersion how many times the variance between shifts is that of chance; 1 if shifts were
 *     not told apart or differ by no more than chance
 * @param degrees degrees of freedom of the dispersion; infinite if shifts were not told apart
 * @param p chance of a difference at least this large if both shares were one
 */
public record ShareComparison(
    Proportion.Count first, Proportion.Count second, double dispersion, double degrees, double p) {

  /**
   * Compares two shares of independent items.
   *
   * <p>The chance is that of the score test, \( z = (p_1 - p_2) / \sqrt{p (1 - p) (1/n_1 + 1/n_2)}
   * \) with the pooled share \( p \).
   *
   * @param first one
   * @param second the other
   * @return the comparison; {@code p} is 1 when nothing or everything was counted in both
   */
  public static ShareComparison of(Proportion.Count first, Proportion.Count second) {
    double z2 = scoreSquared(first, second);
    double p = 2 * NormalDistribution.of(0, 1).survivalProbability(Math.sqrt(z2));
    return new ShareComparison(first, second, 1, Double.POSITIVE_INFINITY, p);
  }

  private static double scoreSquared(Proportion.Count first, Proportion.Count second) {
    double n1 = first.total();
    double n2 = second.total();
    double pooled = ((double) first.counted() + second.counted()) / (n1 + n2);
    double difference = first.share() - second.share();
    double variance = pooled * (1 - pooled) * (1 / n1 + 1 / n2);
    return variance == 0 ? 0 : difference * difference / variance;
  }

  /**
   * Compares two shares counted in shifts that may differ by more than chance: the spread between
   * shifts inside each side, pooled, takes the place of the binomial variance, and F the place of
   * chi-square. Never sharper than {@link #of} by a dispersion below 1.
   *
   * <p><b>Source:</b> P. McCullagh and J. A. Nelder, Generalized Linear Models, section 4.5.
   *
   * @param first shifts of one side
   * @param second shifts of the other
   * @return the comparison; empty without a shift on each side and three in all, as fewer do not
   *     show how much shifts differ
   */
  public static Optional<ShareComparison> ofShifts(
      List<Proportion.Count> first, List<Proportion.Count> second) {
    double degrees = first.size() + second.size() - 2.0;
    if (first.isEmpty() || second.isEmpty() || degrees < 1) {
      return Optional.empty();
    }
    double dispersion = Math.max(1, (pearson(first) + pearson(second)) / degrees);
    Proportion.Count one = pooled(first);
    Proportion.Count other = pooled(second);
    double f = scoreSquared(one, other) / dispersion;
    double p = FDistribution.of(1, degrees).survivalProbability(f);
    return Optional.of(new ShareComparison(one, other, dispersion, degrees, p));
  }

  /**
   * Compares two shares of items that were treated in clusters, such as tyres of press loads: the
   * larger design effect of the two takes the place of a dispersion, and F with the degrees of
   * freedom of both the place of chi-square.
   *
   * <p><b>Source:</b> {@link ClusteredShare}, which gives the design effects.
   *
   * @param first one, with its clusters
   * @param second the other
   * @return the comparison; empty for fewer than three clusters in all
   */
  public static Optional<ShareComparison> ofClusters(ClusteredShare first, ClusteredShare second) {
    double degrees = first.degrees() + second.degrees();
    if (degrees < 1) {
      return Optional.empty();
    }
    double effect = Math.max(first.designEffect(), second.designEffect());
    double f = scoreSquared(first.pooled(), second.pooled()) / effect;
    double p = FDistribution.of(1, degrees).survivalProbability(f);
    return Optional.of(new ShareComparison(first.pooled(), second.pooled(), effect, degrees, p));
  }

  /**
   * Returns this comparison with a dispersion of at least so much, such as the design effect of
   * clusters inside the shifts.
   *
   * @param least at least 1
   * @return the comparison
   */
  public ShareComparison withLeast(double least) {
    if (least <= dispersion) {
      return this;
    }
    double p =
        FDistribution.of(1, degrees).survivalProbability(scoreSquared(first, second) / least);
    return new ShareComparison(first, second, least, degrees, p);
  }

  private static double pearson(List<Proportion.Count> shifts) {
    return Overdispersion.of(shifts)
        .map(
            found ->
                found.pooled().counted() == 0 || found.pooled().share() == 1
                    ? 0
                    : found.dispersion() * (found.groups() - 1))
        .orElse(0.0);
  }

  private static Proportion.Count pooled(List<Proportion.Count> shifts) {
    long counted = 0;
    long total = 0;
    for (Proportion.Count shift : shifts) {
      counted = Math.addExact(counted, shift.counted());
      total = Math.addExact(total, shift.total());
    }
    return new Proportion.Count(counted, total);
  }

  /**
   * Returns the difference of the shares.
   *
   * @return first less second, -1 to 1
   */
  public double difference() {
    return first.share() - second.share();
  }

  /**
   * Returns an interval of the difference from the two score intervals of Wilson, with the number
   * of items divided by the dispersion.
   *
   * <p>\[ d - \sqrt{(p_1 - l_1)^2 + (u_2 - p_2)^2}, \quad d + \sqrt{(u_1 - p_1)^2 + (p_2 - l_2)^2}
   * \]
   *
   * <p><b>Source:</b> R. G. Newcombe, Statistics in Medicine 17 (1998) 873-890, method 10.
   *
   * @param confidence between 0 and 1, such as 0.95
   * @return inside -1 and 1
   * @throws IllegalArgumentException if the confidence lies outside
   */
  public Interval interval(double confidence) {
    double z = quantile(confidence);
    Interval one = Proportion.score(first, first.total() / dispersion, z);
    Interval other = Proportion.score(second, second.total() / dispersion, z);
    double p1 = first.share();
    double p2 = second.share();
    return new Interval(
        difference() - Math.hypot(p1 - one.lower(), other.upper() - p2),
        difference() + Math.hypot(one.upper() - p1, p2 - other.lower()));
  }

  private double quantile(double confidence) {
    double tail = (1 - Arguments.requireConfidence(confidence)) / 2;
    return Double.isInfinite(degrees)
        ? NormalDistribution.of(0, 1).inverseSurvivalProbability(tail)
        : TDistribution.of(degrees).inverseSurvivalProbability(tail);
  }

  /**
   * Returns the ratio of the shares.
   *
   * @return first over second, zero or positive; empty if nothing was counted in the second
   */
  public Optional<Double> ratio() {
    return second.counted() == 0 ? Optional.empty() : Optional.of(first.share() / second.share());
  }

  /**
   * Returns an interval of the ratio from the same two score intervals as {@link #interval}.
   *
   * <p>\[ L = \frac{l_1 (2 p_1 - l_1)}{p_1 p_2 + \sqrt{p_1^2 p_2^2 - l_1 (2 p_1 - l_1) u_2 (2 p_2 -
   * u_2)}} \]
   *
   * <p>and \( U \) is one over the lower limit of the ratio the other way round.
   *
   * <p><b>Accuracy:</b> a stated 95 % holds 93 to 99.9 %, the more for the fewer counted, by exact
   * sums over both binomials, for shares of 2 to 30 % among 50 to 300 items.
   *
   * <p><b>Source:</b> A. Donner and G. Y. Zou, Statistical Methods in Medical Research 21 (2012)
   * 347-359.
   *
   * @param confidence between 0 and 1, such as 0.95
   * @return zero or positive; empty if nothing was counted in the second, as there is no upper
   *     limit
   * @throws IllegalArgumentException if the confidence lies outside
   */
  public Optional<Interval> ratioInterval(double confidence) {
    double z = quantile(confidence);
    if (second.counted() == 0) {
      return Optional.empty();
    }
    Interval one = Proportion.score(first, first.total() / dispersion, z);
    Interval other = Proportion.score(second, second.total() / dispersion, z);
    return Optional.of(
        new Interval(
            lowerRatio(first.share(), one.lower(), second.share(), other.upper()),
            1 / lowerRatio(second.share(), other.lower(), first.share(), one.upper())));
  }

  private static double lowerRatio(double p1, double lower1, double p2, double upper2) {
    double near = lower1 * (2 * p1 - lower1);
    double far = upper2 * (2 * p2 - upper2);
    double both = p1 * p2;
    return near == 0 ? 0 : near / (both + Math.sqrt(Math.max(0, both * both - near * far)));
  }
}
