package org.tarebook.capability;

import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.tarebook.control.SummarisedWindow;
import org.tarebook.spec.Characteristic;
import org.tarebook.spec.Specification;
import org.tarebook.stats.Tolerance;

/** The limits a study compares with, in its unit. */
record StudyLimits(Characteristic characteristic, SummarisedWindow window) {

  /** The specification; empty where none is in force. */
  Optional<Specification> used() {
    return window.specification();
  }

  /** Limits and target; empty where there are none to compare a spread with. */
  Optional<Tolerance> tolerance() {
    return window.tolerance();
  }

  /**
   * The same without a limit that is the bound by nature: a run-out cannot be below 0, whatever was
   * written.
   */
  Optional<Tolerance> withoutNaturalBound() {
    return tolerance().flatMap(characteristic::withoutNaturalBound);
  }

  /** On the wire; absent where no specification is in force. */
  Study.@Nullable Used shown() {
    return used()
        .map(
            specification -> {
              Specification.Limits limits = specification.limits();
              return new Study.Used(
                  specification.revision(),
                  "In force at the last counted reading of the window.",
                  limits.lower(),
                  limits.upper(),
                  limits.unit().code(),
                  limits.in(limits.lower(), window.unit()),
                  limits.in(limits.upper(), window.unit()));
            })
        .orElse(null);
  }
}
