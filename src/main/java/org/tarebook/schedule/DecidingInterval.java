package org.tarebook.schedule;

import java.math.BigDecimal;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * A limit of equivalents and the interval that is held against it: a minimum is met by the lower
 * end and missed by the upper one, a maximum the other way round. Both ends leave out the sources
 * of doubt that the limit holds already. What a load is judged by and what a schedule promises is
 * held by this one rule.
 *
 * @param least the lower end, without credit for what is not known
 * @param leastExtrapolated the same with the kinetics carried beyond their range
 * @param most the upper end; absent where nothing bounds it
 * @param mostExtrapolated the same with the kinetics carried beyond their range
 * @param unknown the sources of doubt that should widen it and have no known uncertainty, such as
 *     "the activation energy of C-1"
 */
public record DecidingInterval(
    BigDecimal limit,
    boolean minimum,
    double least,
    double leastExtrapolated,
    @Nullable Double most,
    @Nullable Double mostExtrapolated,
    Set<String> unknown) {

  /** How far a sum of minutes may be off by rounding, as a part of it. */
  private static final double ROUNDING = 1e-9;

  /**
   * Holds a figure.
   *
   * @param holds sources of doubt that the limit holds already
   */
  public static DecidingInterval of(
      HeatFigure figure, KineticsUsed used, Set<Guard> holds, BigDecimal limit, boolean minimum) {
    double down = figure.doubtOfLeast(holds, used.energyFreedom());
    double up = figure.doubtOfMost(holds, used.energyFreedom());
    HeatFigure.Bounds bounds = figure.bounds();
    return new DecidingInterval(
        limit,
        minimum,
        bounds.least() * Math.exp(-down),
        bounds.leastExtrapolated() * Math.exp(-down),
        raised(bounds.most(), up),
        raised(bounds.mostExtrapolated(), up),
        used.unknown(holds));
  }

  private static @Nullable Double raised(@Nullable Double most, double doubt) {
    return most == null ? null : Double.valueOf(most * Math.exp(doubt));
  }

  /** Whether the limit is met, whatever is not known. */
  public boolean met() {
    return met(least, most);
  }

  /** Whether it is missed, whatever is not known. */
  public boolean missed() {
    return missed(least, most);
  }

  /** Whether it would be met were the kinetics known to hold at all temperatures. */
  public boolean metByExtrapolation() {
    return met(leastExtrapolated, mostExtrapolated);
  }

  /** Whether it would be decided were the kinetics known to hold at all temperatures. */
  public boolean decidedByExtrapolation() {
    return metByExtrapolation() || missed(leastExtrapolated, mostExtrapolated);
  }

  /** Whether it is met and every source of doubt has a known uncertainty. */
  public boolean proven() {
    return met() && unknown.isEmpty();
  }

  private boolean met(double low, @Nullable Double high) {
    double wanted = limit.doubleValue();
    return minimum
        ? low >= wanted * (1 - ROUNDING)
        : high != null && high <= wanted * (1 + ROUNDING);
  }

  private boolean missed(double low, @Nullable Double high) {
    double wanted = limit.doubleValue();
    return minimum ? high != null && high < wanted * (1 - ROUNDING) : low > wanted * (1 + ROUNDING);
  }
}
