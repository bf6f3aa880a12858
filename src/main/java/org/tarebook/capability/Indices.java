package org.tarebook.capability;

import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;
import org.tarebook.control.NotComputed;
import org.tarebook.control.NotComputed.Reason;
import org.tarebook.stats.CapabilityIndices;
import org.tarebook.stats.CapabilityIntervals;
import org.tarebook.stats.Interval;
import org.tarebook.stats.SigmaEstimate;
import org.tarebook.stats.Tolerance;
import org.tarebook.stats.TwoPartSpread;

/**
 * The four indices of one sigma, with their intervals: {@code Cp, Cpk, CpU, CpL} by the sigma
 * within subgroups, {@code Pp, Ppk, PpU, PpL} by the total one.
 */
record Indices(
    Study.@Nullable Index potential,
    Study.@Nullable Index minimum,
    Study.@Nullable Index upper,
    Study.@Nullable Index lower) {

  private static final String TOO_FEW_MEANS =
      "The means of subgroups move by themselves, so an interval takes two complete subgroups.";

  static final String OF_ONE_SIZE =
      "The means of subgroups move by themselves, and they have several sizes; of such no"
          + " interval is known that holds as often as it says.";

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
   * @param readings in the mean, independent of each other
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

  /**
   * Computes the indices where means of subgroups move by themselves.
   *
   * @param parts what the intervals are made of; empty for fewer than two subgroups
   * @param oneSize whether all subgroups have one size; of others no interval is known to hold
   */
  static Indices ofMovingMeans(
      String letter,
      double mean,
      SigmaEstimate sigma,
      Tolerance tolerance,
      Optional<TwoPartSpread> parts,
      boolean oneSize,
      double confidence,
      List<NotComputed> missing) {
    CapabilityIndices indices = CapabilityIndices.of(mean, sigma.sigma(), tolerance).orElseThrow();
    List<String> names = names(letter);
    missOtherSide(names, indices, missing);
    Double l = tolerance.lower();
    Double u = tolerance.upper();
    Double below = l == null ? null : (Double) (mean - l);
    Double above = u == null ? null : (Double) (u - mean);
    Function<Function<TwoPartSpread, Interval>, Optional<Interval>> by =
        interval -> parts.filter(each -> oneSize && each.variance() > 0).map(interval);
    List<Study.@Nullable Index> shown = new ArrayList<>();
    shown.add(
        l == null || u == null
            ? null
            : index(
                Objects.requireNonNull(indices.potential()),
                by.apply(each -> each.ofPotential(u - l, confidence))));
    shown.add(index(indices.minimum(), by.apply(each -> each.ofMinimum(above, below, confidence))));
    shown.add(
        indices.upper() == null
            ? null
            : index(indices.upper(), by.apply(each -> each.ofMinimum(above, null, confidence))));
    shown.add(
        indices.lower() == null
            ? null
            : index(indices.lower(), by.apply(each -> each.ofMinimum(null, below, confidence))));
    for (int i = 0; i < names.size(); i++) {
      Study.Index each = shown.get(i);
      if (each != null) {
        missInterval(
            names.get(i),
            each.lower(),
            oneSize ? Reason.TOO_FEW : Reason.NOT_BY_THIS_METHOD,
            oneSize ? TOO_FEW_MEANS : OF_ONE_SIZE,
            missing);
      }
    }
    return new Indices(shown.get(0), shown.get(1), shown.get(2), shown.get(3));
  }

  /** Tells why an index has no interval, if it has none. */
  static void missInterval(
      String name, @Nullable Double limit, Reason reason, String words, List<NotComputed> missing) {
    if (limit == null) {
      missing.add(new NotComputed(name + ".lower", reason, words));
      missing.add(new NotComputed(name + ".upper", reason, words));
    }
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

  static Study.Index index(double value, Optional<Interval> interval) {
    return new Study.Index(
        value,
        interval.map(Interval::lower).orElse(null),
        interval.map(Interval::upper).orElse(null));
  }

  private static Study.Index index(double value, Interval interval) {
    return new Study.Index(value, interval.lower(), interval.upper());
  }
}
