package org.tarebook.stats;

import java.util.List;
import java.util.Optional;
import org.apache.commons.statistics.distribution.NormalDistribution;
import org.apache.commons.statistics.distribution.TDistribution;

/**
 * A share counted in groups, such as a reject rate by shifts, that may differ between groups by
 * more than chance alone.
 *
 * <p>An interval that takes every item as an independent trial is too narrow when shifts differ.
 *
 * @param pooled all groups together
 * @param dispersion Pearson's chi-square over its degrees of freedom: about 1 if the groups differ
 *     by chance only, above if by more; 1 if nothing or everything was counted
 * @param groups \( k \), at least 2
 */
public record Overdispersion(Proportion.Count pooled, double dispersion, int groups) {

  /**
   * Returns the pooled share and the dispersion of groups.
   *
   * <p>\[ \hat p = \frac{\sum x_i}{\sum n_i}, \qquad \hat\phi = \frac{1}{k - 1} \sum_i \frac{(x_i -
   * n_i \hat p)^2}{n_i \hat p (1 - \hat p)} \]
   *
   * <p><b>Source:</b> P. McCullagh and J. A. Nelder, Generalized Linear Models, section 4.5.
   *
   * @param groups in any order
   * @return the figures; empty for fewer than two groups, which say nothing of the spread between
   */
  public static Optional<Overdispersion> of(List<Proportion.Count> groups) {
    if (groups.size() < 2) {
      return Optional.empty();
    }
    long counted = 0;
    long total = 0;
    for (Proportion.Count group : groups) {
      counted = Math.addExact(counted, group.counted());
      total = Math.addExact(total, group.total());
    }
    Proportion.Count pooled = new Proportion.Count(counted, total);
    double p = pooled.share();
    double dispersion = 1;
    if (counted > 0 && counted < total) {
      double[] terms =
          groups.stream()
              .mapToDouble(
                  group -> {
                    double n = group.total();
                    double excess = group.counted() - n * p;
                    return excess * excess / (n * p * (1 - p));
                  })
              .sorted()
              .toArray();
      double chiSquared = 0;
      for (double term : terms) {
        chiSquared += term;
      }
      dispersion = chiSquared / (groups.size() - 1);
    }
    return Optional.of(new Overdispersion(pooled, dispersion, groups.size()));
  }

  /**
   * Returns an interval of the pooled share that allows for the spread between groups.
   *
   * <p>Wilson's interval with two changes: the number of items is divided by \( \max(1, \hat\phi)
   * \), and the normal quantile is replaced by that of Student's t with \( k - 1 \) degrees of
   * freedom, because the dispersion is itself estimated from \( k \) groups only. Few groups
   * therefore give a wide interval, even if they happen to agree: two shifts do not show how much
   * shifts differ. It is never narrower than {@link Proportion#wilson}.
   *
   * <p>An approximation: it takes groups as independent and their number of items as unrelated to
   * their share.
   *
   * @param confidence between 0 and 1, such as 0.95
   * @return two-sided, inside 0 and 1; the lower limit exactly 0 if nothing was counted, the upper
   *     exactly 1 if everything was
   * @throws IllegalArgumentException if the confidence lies outside
   */
  public Interval interval(double confidence) {
    return interval(confidence, 1);
  }

  /**
   * Returns {@link #interval(double)} with a dispersion of at least so much, such as the design
   * effect of smaller clusters inside the groups.
   *
   * @param confidence between 0 and 1, such as 0.95
   * @param least at least 1
   * @return two-sided, inside 0 and 1
   * @throws IllegalArgumentException if an argument lies outside
   */
  public Interval interval(double confidence, double least) {
    if (!(least >= 1)) {
      throw new IllegalArgumentException("least dispersion is " + least + ", not at least 1");
    }
    double tail = (1 - Arguments.requireConfidence(confidence)) / 2;
    double t = TDistribution.of(groups - 1).inverseSurvivalProbability(tail);
    return Proportion.score(pooled, pooled.total() / Math.max(least, dispersion), t);
  }

  /**
   * Returns how many independent items would give a share the same interval by the normal quantile:
   * \( n / \max(1, \hat\phi) \cdot (z / t)^2 \).
   *
   * @param confidence between 0 and 1, such as 0.95
   * @param least at least 1, as in {@link #interval(double, double)}
   * @return above 0
   * @throws IllegalArgumentException if an argument lies outside
   */
  public double effectiveTotal(double confidence, double least) {
    if (!(least >= 1)) {
      throw new IllegalArgumentException("least dispersion is " + least + ", not at least 1");
    }
    double tail = (1 - Arguments.requireConfidence(confidence)) / 2;
    double t = TDistribution.of(groups - 1).inverseSurvivalProbability(tail);
    double z = NormalDistribution.of(0, 1).inverseSurvivalProbability(tail);
    return pooled.total() / Math.max(least, dispersion) * (z / t) * (z / t);
  }
}
