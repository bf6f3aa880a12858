package org.tarebook.stats;

import java.math.BigDecimal;
import java.util.Collection;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.SortedMap;
import java.util.TreeMap;
import org.apache.commons.numbers.fraction.BigFraction;

/**
 * What the subgroups of one series come to: all that sigma within subgroups is computed from, kept
 * exactly, so that the sums of the parts of a window give those of the window.
 *
 * @param readings moments of all their readings together
 * @param squaredDeviations sum of squared deviations of readings from their subgroup's mean, exact
 * @param sizes what the subgroups of each number of readings come to
 */
public record SubgroupSums(
    Moments readings, BigFraction squaredDeviations, SortedMap<Long, OfSize> sizes) {

  /** No subgroup. */
  public static final SubgroupSums EMPTY = of(List.of());

  /**
   * What the subgroups of one number of readings come to.
   *
   * @param subgroups how many there are
   * @param ranges sum of the ranges, exact; 0 for single readings
   * @param sds sum of the standard deviations, each rounded once to a double; 0 for single readings
   */
  public record OfSize(long subgroups, BigFraction ranges, BigDecimal sds) {

    /** Drops trailing zeros, so that equal sums are equal. */
    public OfSize {
      sds = sds.stripTrailingZeros();
    }

    private OfSize plus(OfSize other) {
      return new OfSize(
          Math.addExact(subgroups, other.subgroups), ranges.add(other.ranges), sds.add(other.sds));
    }
  }

  /** Makes the map unmodifiable. */
  public SubgroupSums {
    sizes = Collections.unmodifiableSortedMap(sizes);
  }

  /**
   * Sums subgroups up.
   *
   * @param subgroups in one unit, in any order
   */
  public static SubgroupSums of(Collection<Subgroup> subgroups) {
    ExactSum deviations = new ExactSum();
    Moments readings = Moments.EMPTY;
    SortedMap<Long, Adding> adding = new TreeMap<>();
    for (Subgroup subgroup : subgroups) {
      readings = readings.plus(subgroup.moments());
      Adding ofSize = adding.computeIfAbsent(subgroup.count(), size -> new Adding());
      ofSize.subgroups++;
      if (subgroup.count() > 1) {
        subgroup.moments().addSquaredDeviationsTo(deviations);
        ofSize.ranges.add(subgroup.exactRange());
        ofSize.sds = ofSize.sds.add(new BigDecimal(subgroup.sd()));
      }
    }
    SortedMap<Long, OfSize> sizes = new TreeMap<>();
    adding.forEach(
        (size, each) -> sizes.put(size, new OfSize(each.subgroups, each.ranges.total(), each.sds)));
    return new SubgroupSums(readings, deviations.total(), sizes);
  }

  private static final class Adding {
    private final ExactSum ranges = new ExactSum();
    private long subgroups;
    private BigDecimal sds = BigDecimal.ZERO;
  }

  /** The sums of both together, exact. */
  public SubgroupSums plus(SubgroupSums other) {
    SortedMap<Long, OfSize> both = new TreeMap<>(sizes);
    other.sizes.forEach((size, each) -> both.merge(size, each, OfSize::plus));
    return new SubgroupSums(
        readings.plus(other.readings), squaredDeviations.add(other.squaredDeviations), both);
  }

  /** How many subgroups there are. */
  public long subgroups() {
    return sizes.values().stream().mapToLong(OfSize::subgroups).sum();
  }

  /** How many hold two readings or more. */
  public long several() {
    return sizes.tailMap(2L).values().stream().mapToLong(OfSize::subgroups).sum();
  }

  /** Whether all hold the same number of readings. */
  public boolean ofOneSize() {
    return sizes.size() < 2;
  }

  /**
   * Sigma by the ranges: of one size as {@link Spread#meanRange(long, BigFraction, long)}, of
   * several as {@link Spread#weightedRanges}.
   */
  public Optional<SigmaEstimate> byMeanRange() {
    if (sizes.size() == 1) {
      Map.Entry<Long, OfSize> one = sizes.entrySet().iterator().next();
      if (one.getKey() > 1 && one.getKey() <= Factors.MAX_RANGE_SIZE) {
        return Spread.meanRange(one.getKey(), one.getValue().ranges(), one.getValue().subgroups());
      }
    }
    return Spread.weightedRanges(sizes);
  }

  /**
   * Sigma by the standard deviations: of one size as {@link Spread#meanSd(long, BigDecimal, long)},
   * of several as {@link Spread#weightedSds}.
   */
  public Optional<SigmaEstimate> byMeanSd() {
    if (sizes.size() == 1) {
      Map.Entry<Long, OfSize> one = sizes.entrySet().iterator().next();
      if (one.getKey() > 1) {
        return Spread.meanSd(one.getKey(), one.getValue().sds(), one.getValue().subgroups());
      }
    }
    return Spread.weightedSds(sizes);
  }

  /** Sigma by pooled variances, as {@link Spread#pooled(BigFraction, long, long)}. */
  public Optional<SigmaEstimate> pooled() {
    return Spread.pooled(squaredDeviations, readings.count() - subgroups(), several());
  }

  /**
   * The mean square of the subgroups about a centre, \( \frac{1}{k} \sum n_i (\bar x_i - c)^2 /
   * \sigma^2 \): about 1 where they scatter as single readings of \( \sigma \) make them, and each
   * subgroup of one reading counts its square once.
   *
   * @param centre \( c \), in the unit of the readings
   * @param sigma \( \sigma \) of a reading, positive
   * @return dimensionless, 0 or more
   * @throws IllegalStateException without a subgroup
   */
  public double meanSquare(double centre, double sigma) {
    if (subgroups() == 0) {
      throw new IllegalStateException("a mean square takes a subgroup");
    }
    double between = readings.exactSquaredDeviations().subtract(squaredDeviations).doubleValue();
    double off = readings.mean() - centre;
    return (Math.max(0, between) + readings.count() * off * off) / (sigma * sigma) / subgroups();
  }

  /**
   * The number of readings that, were it that of every subgroup, would give the same mean square
   * between subgroups: \( n_0 = (N - \sum n_i^2 / N) / (k - 1) \).
   *
   * @return the common size where it is one; at least 1
   * @throws IllegalStateException for fewer than two subgroups
   */
  public double typicalSize() {
    long k = subgroups();
    if (k < 2) {
      throw new IllegalStateException("a typical size takes two subgroups, there are " + k);
    }
    if (ofOneSize()) {
      return sizes.firstKey();
    }
    double all = readings.count();
    double squares = 0;
    for (Map.Entry<Long, OfSize> each : sizes.entrySet()) {
      squares += (double) each.getKey() * each.getKey() * each.getValue().subgroups();
    }
    return (all - squares / all) / (k - 1);
  }
}
