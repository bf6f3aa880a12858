package org.tarebook.capability;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.tarebook.control.NotComputed;
import org.tarebook.control.NotComputed.Reason;
import org.tarebook.control.SummarisedWindow;
import org.tarebook.spec.Characteristic;

/** The figures of a study that do not exist, and why. */
final class Missing {

  private final Characteristic characteristic;
  private final StudyLimits limits;
  private final List<NotComputed> list;
  private final long censored;

  /** Begins with what failed before. */
  Missing(
      Characteristic characteristic,
      StudyLimits limits,
      SummarisedWindow window,
      List<NotComputed> failed) {
    this.censored = window.summary().censored();
    this.characteristic = characteristic;
    this.limits = limits;
    this.list = new ArrayList<>(failed);
  }

  /** All so far; whoever computes figures elsewhere adds to it. */
  List<NotComputed> list() {
    return list;
  }

  void add(List<String> names, Reason reason, String words) {
    names.forEach(name -> list.add(new NotComputed(name, reason, words)));
  }

  /**
   * Whether values of the chart are only bounds; then the figures are missing. Those left out are
   * the extreme ones, so figures of the others would flatter or wrong the process.
   */
  boolean censored(List<String> names) {
    if (censored > 0) {
      add(
          names,
          Reason.CENSORED,
          "Of %d readings in the window only a bound is known, and figures of the others alone would"
                  .formatted(censored)
              + " mislead; no method here computes with bounds. Rates of rejects count what could be"
              + " judged.");
    }
    return censored > 0;
  }

  /**
   * Whether the characteristic is bounded by nature, or values are only bounds; then the figures
   * are missing.
   */
  boolean cannotBeNormal(List<String> names) {
    if (censored(names)) {
      return true;
    }
    boolean bounded = characteristic.bounded() != Characteristic.Bounded.NOT;
    if (bounded) {
      add(
          names,
          Reason.BOUNDED_CHARACTERISTIC,
          "The characteristic is bounded by nature, so its readings are not about normal. Ask with"
              + " method=LOGNORMAL, WEIBULL, GAMMA, RAYLEIGH or RICE, whichever meets the tails (the"
              + " shape study of the chart compares them), or with EMPIRICAL from "
              + ByPercentiles.FEWEST_EMPIRICAL
              + " readings on.");
    }
    return bounded;
  }

  /** Adds why it is unknown whether the process was in control. */
  void control(Optional<Study.InControl> control, boolean withoutSigma) {
    if (control.isEmpty()) {
      add(
          List.of("control"),
          withoutSigma ? Reason.TOO_FEW : Reason.ZERO_SPREAD,
          "No limit set is in force, and the window gives no limits of its own.");
      return;
    }
    if (control.get().openSignals() == null) {
      add(
          List.of("control.openSignals"),
          Reason.NO_LIMIT_SET,
          "No limit set is in force in the window, so no signal was raised.");
    }
    if (control.get().inControl() == null) {
      add(
          List.of("control.inControl"),
          Reason.TOO_FEW,
          ("To be called in control takes %d points in the window, and limits from as many; of"
                  + " samples only those with two readings and more tell a spread.")
              .formatted(Stability.FEWEST));
    }
  }

  /** Figures that take limits that differ, where there are none. */
  void tolerance(List<String> names) {
    if (limits.used().isEmpty()) {
      add(
          names,
          Reason.NO_SPECIFICATION,
          "No specification is in force at the last counted reading of the window.");
    } else {
      add(names, Reason.LIMITS_EQUAL, "Both limits of the specification are equal.");
    }
  }
}
