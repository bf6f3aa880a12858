package org.tarebook.cure;

import java.math.BigDecimal;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.tarebook.cure.CavityFigures.Equivalents;
import org.tarebook.schedule.Guard;
import org.tarebook.schedule.KineticsUsed;
import org.tarebook.schedule.ScheduleDefinition.Medium;

/** A limit, and the ends of the interval that are held against it. */
record HeldLimit(
    Basis basis,
    Equivalents view,
    BigDecimal limit,
    boolean minimum,
    String line,
    double least,
    double leastExtrapolated,
    @Nullable Double most,
    @Nullable Double mostExtrapolated) {

  /** How far a sum of minutes may be off by rounding, as a part of it. */
  private static final double ROUNDING = 1e-9;

  boolean met() {
    return met(least, most);
  }

  boolean missed() {
    return missed(least, most);
  }

  /** Whether it would be decided were the kinetics known to hold at all temperatures. */
  boolean decidedByExtrapolation() {
    return met(leastExtrapolated, mostExtrapolated) || missed(leastExtrapolated, mostExtrapolated);
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

  /**
   * What figures rest on.
   *
   * @param bridged how long a temperature that they need is not known, in seconds
   * @param medium whose own minutes they are; absent of places in the tyre
   */
  record Basis(KineticsUsed kinetics, double bridged, @Nullable Medium medium) {

    /** Compounds without the uncertainty that a limit guards against. */
    Set<String> unknown(Set<Guard> holds) {
      return holds.contains(Guard.ACTIVATION_ENERGY) ? Set.of() : kinetics.unknownEnergies();
    }
  }
}
