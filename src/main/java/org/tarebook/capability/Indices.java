package org.tarebook.capability;

import java.util.List;
import org.jspecify.annotations.Nullable;
import org.tarebook.control.NotComputed;
import org.tarebook.control.NotComputed.Reason;
import org.tarebook.stats.CapabilityIndices;
import org.tarebook.stats.CapabilityIntervals;
import org.tarebook.stats.Interval;
import org.tarebook.stats.SigmaEstimate;
import org.tarebook.stats.Tolerance;

/**
 * The four indices of one sigma, with their intervals: {@code Cp, Cpk, CpU, CpL} by the sigma
 * within subgroups, {@code Pp, Ppk, PpU, PpL} by the total one.
 */
record Indices(
    Study.@Nullable Index potential,
    Study.@Nullable Index minimum,
    Study.@Nullable Index upper,
    Study.@Nullable Index lower) {

  static final Indices NONE = new Indices(null, null, null, null);

  /** The names of the four figures: cp, cpk, cpu, cpl or pp, ppk, ppu, ppl. */
  static List<String> names(String letter) {
    return List.of(letter + "p", letter + "pk", letter + "pu", letter + "pl");
  }

  /**
   * Computes the indices.
   *
   * @param letter c or p
   * @param mean in the unit of the tolerance
   * @param sigma above 0
   * @param readings in the mean
   * @param missing where figures that do not exist are told
   */
  static Indices of(
      String letter,
      double mean,
      SigmaEstimate sigma,
      Tolerance tolerance,
      long readings,
      double confidence,
      List<NotComputed> missing) {
    CapabilityIndices indices = CapabilityIndices.of(mean, sigma.sigma(), tolerance).orElseThrow();
    Double potential = indices.potential();
    Double upper = indices.upper();
    Double lower = indices.lower();
    missOtherSide(names(letter), indices, missing);
    Interval ofMinimum =
        potential == null
            ? CapabilityIntervals.ofOneSide(indices.minimum(), sigma, readings, confidence)
            : CapabilityIntervals.ofMinimum(indices.minimum(), sigma, readings, confidence);
    return new Indices(
        potential == null
            ? null
            : index(potential, CapabilityIntervals.ofPotential(potential, sigma, confidence)),
        index(indices.minimum(), ofMinimum),
        oneSide(upper, sigma, readings, confidence),
        oneSide(lower, sigma, readings, confidence));
  }

  /** Tells of a one-sided specification which indices it does not have. */
  static void missOtherSide(
      List<String> names, CapabilityIndices indices, List<NotComputed> missing) {
    if (indices.potential() == null) {
      boolean noUpper = indices.upper() == null;
      String words = "The specification has no %s limit.".formatted(noUpper ? "upper" : "lower");
      missing.add(new NotComputed(names.get(0), Reason.ONE_SIDED, words));
      missing.add(new NotComputed(names.get(noUpper ? 2 : 3), Reason.ONE_SIDED, words));
    }
  }

  private static Study.@Nullable Index oneSide(
      @Nullable Double value, SigmaEstimate sigma, long readings, double confidence) {
    return value == null
        ? null
        : index(value, CapabilityIntervals.ofOneSide(value, sigma, readings, confidence));
  }

  private static Study.Index index(double value, Interval interval) {
    return new Study.Index(value, interval.lower(), interval.upper());
  }
}
