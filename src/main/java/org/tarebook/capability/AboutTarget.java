package org.tarebook.capability;

import java.util.List;
import java.util.Objects;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.tarebook.control.NotComputed;
import org.tarebook.control.NotComputed.Reason;
import org.tarebook.stats.Interval;
import org.tarebook.stats.Moments;
import org.tarebook.stats.Tolerance;
import org.tarebook.stats.TwoPartSpread;
import org.tarebook.stats.capability.TargetIndices;

/** Cpm: the distance from the target counts as spread. */
final class AboutTarget {

  /**
   * Independent means below which the interval would cover less than 94 % where it says 95 %, as
   * the simulation of the tests measures it: subgroups of moving means, or single readings.
   */
  static final int FEWEST_READINGS = 5;

  static final int FEWEST_SUBGROUPS = 10;

  private AboutTarget() {}

  /**
   * Computes it.
   *
   * @param tolerance with its target
   * @param parts the spread that the interval is made of; empty where there is too little for one
   * @param oneSize whether all subgroups have one size, or means do not move
   * @param missing where it is told why it does not exist
   */
  static Study.@Nullable Cpm of(
      Moments readings,
      Tolerance tolerance,
      Optional<TwoPartSpread> parts,
      boolean oneSize,
      double confidence,
      List<NotComputed> missing) {
    Double target = tolerance.target();
    if (target == null) {
      missing.add(
          new NotComputed(
              "cpm",
              Reason.NO_TARGET,
              "The specification states no target; the middle is not taken for one."));
      return null;
    }
    if (tolerance.lower() == null || tolerance.upper() == null) {
      missing.add(
          new NotComputed("cpm", Reason.ONE_SIDED, "The specification has one limit only."));
      return null;
    }
    if (readings.count() < 2) {
      missing.add(new NotComputed("cpm", Reason.TOO_FEW, "It takes two readings."));
      return null;
    }
    double squares = readings.exactSquaredDeviations().doubleValue();
    Optional<TargetIndices> found = TargetIndices.of(readings, tolerance, TargetIndices.Divisor.N);
    if (found.isEmpty() || !(squares > 0)) {
      missing.add(
          new NotComputed(
              "cpm", Reason.ZERO_SPREAD, "Nothing varies, so there is no spread to compare with."));
      return null;
    }
    double cpm = Objects.requireNonNull(found.get().cpm());
    double width = tolerance.upper() - tolerance.lower();
    double off = readings.mean() - target;
    boolean single = parts.isEmpty() || parts.get().means() == readings.count();
    int fewest = single ? FEWEST_READINGS : FEWEST_SUBGROUPS;
    Optional<Interval> interval =
        parts
            .filter(each -> oneSize && each.means() >= fewest && each.variance() > 0)
            .map(each -> each.aboutTarget(width, off, confidence));
    Double lower = interval.map(Interval::lower).orElse(null);
    Indices.missInterval(
        "cpm",
        lower,
        oneSize ? Reason.TOO_FEW : Reason.NOT_BY_THIS_METHOD,
        oneSize
            ? "An interval takes %d %s; of fewer it would hold less often than it says."
                .formatted(fewest, single ? "readings" : "complete subgroups, since means move")
            : Indices.OF_ONE_SIZE,
        missing);
    return new Study.Cpm(
        cpm,
        lower,
        interval.map(Interval::upper).orElse(null),
        target,
        found.get().spread(),
        found.get().divisor());
  }
}
