package org.tarebook.stats;

import java.math.BigDecimal;
import java.util.Collection;
import java.util.List;
import java.util.Optional;
import org.apache.commons.numbers.fraction.BigFraction;

/**
 * What the subgroups of one series come to: all that sigma within subgroups is computed from, kept
 * exactly, so that the sums of the parts of a window give those of the window.
 *
 * @param subgroups how many there are
 * @param several how many hold two readings or more
 * @param readings moments of all their readings together
 * @param squaredDeviations sum of squared deviations of readings from their subgroup's mean, exact
 * @param ranges sum of the ranges, exact
 * @param sds sum of the standard deviations, each rounded once to a double, of subgroups of two
 *     readings or more
 */
public record SubgroupSums(
    long subgroups,
    long several,
    Moments readings,
    BigFraction squaredDeviations,
    BigFraction ranges,
    BigDecimal sds) {

  /** Drops trailing zeros, so that equal sums are equal. */
  public SubgroupSums {
    sds = sds.stripTrailingZeros();
  }

  /** No subgroup. */
  public static final SubgroupSums EMPTY = of(List.of());

  /**
   * Sums subgroups up.
   *
   * @param subgroups in one unit, in any order
   */
  public static SubgroupSums of(Collection<Subgroup> subgroups) {
    ExactSum deviations = new ExactSum();
    ExactSum ranges = new ExactSum();
    Moments readings = Moments.EMPTY;
    BigDecimal sds = BigDecimal.ZERO;
    long several = 0;
    for (Subgroup subgroup : subgroups) {
      readings = readings.plus(subgroup.moments());
      if (subgroup.count() > 1) {
        several++;
        subgroup.moments().addSquaredDeviationsTo(deviations);
        ranges.add(subgroup.exactRange());
        sds = sds.add(new BigDecimal(subgroup.sd()));
      }
    }
    return new SubgroupSums(
        subgroups.size(), several, readings, deviations.total(), ranges.total(), sds);
  }

  /** The sums of both together, exact. */
  public SubgroupSums plus(SubgroupSums other) {
    return new SubgroupSums(
        Math.addExact(subgroups, other.subgroups),
        Math.addExact(several, other.several),
        readings.plus(other.readings),
        squaredDeviations.add(other.squaredDeviations),
        ranges.add(other.ranges),
        sds.add(other.sds));
  }

  /** Sigma by the mean range, as {@link Spread#meanRange(long, BigFraction, long)}. */
  public Optional<SigmaEstimate> byMeanRange() {
    return subgroups == 0 ? Optional.empty() : Spread.meanRange(size(), ranges, subgroups);
  }

  /** Sigma by the mean standard deviation, as {@link Spread#meanSd(long, BigDecimal, long)}. */
  public Optional<SigmaEstimate> byMeanSd() {
    return subgroups == 0 ? Optional.empty() : Spread.meanSd(size(), sds, subgroups);
  }

  /** Sigma by pooled variances, as {@link Spread#pooled(BigFraction, long, long)}. */
  public Optional<SigmaEstimate> pooled() {
    return Spread.pooled(squaredDeviations, readings.count() - subgroups, several);
  }

  private long size() {
    if (readings.count() % subgroups != 0) {
      throw new IllegalStateException(
          "%d readings do not make %d subgroups of one size: pool unequal subgroups instead"
              .formatted(readings.count(), subgroups));
    }
    return readings.count() / subgroups;
  }
}
