package org.tarebook.stats.chart;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.apache.commons.statistics.distribution.ChiSquaredDistribution;
import org.tarebook.stats.Arguments;
import org.tarebook.stats.ControlLimits;
import org.tarebook.stats.Factors;
import org.tarebook.stats.Proportion;

/**
 * How much a share or rate moves from shift to shift beyond chance, and limits that allow for it.
 *
 * <p>Large shifts make the binomial or Poisson limits so narrow that every shift signals. Here each
 * point is put on its own chance scale \( z_i \), and the moving range of the \( z_i \) says how
 * many times wider than chance the process really moves.
 *
 * <p><b>Source:</b> D. B. Laney, Quality Engineering 14 (2002) 531-537; the dispersion test is
 * Pearson's chi-square.
 *
 * @param centre pooled share or rate
 * @param factor \( \overline{MR}(z) / d_2(2) \): 1 when points move by chance only
 * @param dispersion Pearson's chi-square over its degrees of freedom, about 1 by chance only
 * @param p chance of a dispersion at least this large if points differed by chance only
 * @param limits for each point, three sigma times {@code factor} about the centre, inside what is
 *     possible
 */
public record BetweenShiftSpread(
    double centre, double factor, double dispersion, double p, List<ControlLimits> limits) {

  /** Copies the limits. */
  public BetweenShiftSpread {
    limits = List.copyOf(limits);
  }

  /**
   * Returns the spread of shares, such as items rejected over items judged in each shift.
   *
   * @param counts in time order
   * @return empty for fewer than two points, and when nothing or everything was counted
   */
  public static Optional<BetweenShiftSpread> ofShares(List<Proportion.Count> counts) {
    double counted = counts.stream().mapToLong(Proportion.Count::counted).sum();
    double total = counts.stream().mapToLong(Proportion.Count::total).sum();
    if (counts.size() < 2 || counted == 0 || counted == total) {
      return Optional.empty();
    }
    double centre = counted / total;
    double[] shares = counts.stream().mapToDouble(Proportion.Count::share).toArray();
    double[] sds =
        counts.stream().mapToDouble(c -> Math.sqrt(centre * (1 - centre) / c.total())).toArray();
    return Optional.of(of(centre, shares, sds, 1));
  }

  /**
   * Returns the spread of rates, such as faults per square metre in each shift.
   *
   * @param faults counted in each point, zero or more, in time order; not kept
   * @param units looked at in each point, positive; not kept
   * @return empty for fewer than two points, and when no fault was counted
   * @throws IllegalArgumentException if lengths differ or a number lies outside
   */
  public static Optional<BetweenShiftSpread> ofRates(long[] faults, double[] units) {
    if (faults.length != units.length) {
      throw new IllegalArgumentException(
          "%d counts of faults for %d sizes".formatted(faults.length, units.length));
    }
    double counted = 0;
    double total = 0;
    for (int i = 0; i < faults.length; i++) {
      counted += Arguments.requireAtLeast("faults of point " + i, faults[i], 0);
      total += Arguments.requirePositive("units of point " + i, units[i]);
    }
    if (faults.length < 2 || counted == 0) {
      return Optional.empty();
    }
    double centre = counted / total;
    double[] rates = new double[faults.length];
    double[] sds = new double[faults.length];
    for (int i = 0; i < rates.length; i++) {
      rates[i] = faults[i] / units[i];
      sds[i] = Math.sqrt(centre / units[i]);
    }
    return Optional.of(of(centre, rates, sds, Double.POSITIVE_INFINITY));
  }

  private static BetweenShiftSpread of(
      double centre, double[] values, double[] sds, double greatest) {
    double moved = 0;
    double chiSquared = 0;
    double before = 0;
    for (int i = 0; i < values.length; i++) {
      double z = (values[i] - centre) / sds[i];
      chiSquared += z * z;
      moved += i == 0 ? 0 : Math.abs(z - before);
      before = z;
    }
    int degrees = values.length - 1;
    double factor = moved / degrees / Factors.d2(2);
    List<ControlLimits> limits = new ArrayList<>();
    for (double sd : sds) {
      double reach = 3 * factor * sd;
      limits.add(
          new ControlLimits(
              centre, Math.max(0, centre - reach), Math.min(greatest, centre + reach)));
    }
    double p = ChiSquaredDistribution.of(degrees).survivalProbability(chiSquared);
    return new BetweenShiftSpread(centre, factor, chiSquared / degrees, p, limits);
  }
}
