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
import org.tarebook.stats.capability.TargetIndices;

/** Cpm: the distance from the target counts as spread. */
final class AboutTarget {

  private AboutTarget() {}

  /**
   * Computes it.
   *
   * @param tolerance with its target
   * @param missing where it is told why it does not exist
   */
  static Study.@Nullable Cpm of(
      Moments readings, Tolerance tolerance, double confidence, List<NotComputed> missing) {
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
    double n = (double) readings.count();
    double offTarget = (readings.mean() - target) / Math.sqrt(squares / n);
    Interval interval = TargetIndices.interval(cpm, offTarget, readings.count(), confidence);
    return new Study.Cpm(
        cpm,
        interval.lower(),
        interval.upper(),
        target,
        found.get().spread(),
        found.get().divisor());
  }
}
