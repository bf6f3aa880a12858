package org.tarebook.capability;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.tarebook.control.ChartedWindow;
import org.tarebook.control.NotComputed;
import org.tarebook.control.NotComputed.Reason;
import org.tarebook.quantity.Unit;
import org.tarebook.spec.Characteristic;
import org.tarebook.spec.Specification;
import org.tarebook.stats.Moments;
import org.tarebook.stats.SharesOutside;
import org.tarebook.stats.SigmaEstimate;
import org.tarebook.stats.Spread;
import org.tarebook.stats.Tolerance;

/** Computes the figures of one study, and notes which do not exist and why. */
final class Figures {

  private final Studies.Question question;
  private final Characteristic characteristic;
  private final ChartedWindow window;
  private final Optional<SigmaEstimate> sigmaWithin;
  private final Optional<SigmaEstimate> sigmaTotal;
  private final Optional<Specification> used;
  private final Optional<Study.InControl> control;
  private final Moments moments;
  private final List<NotComputed> missing = new ArrayList<>();
  private Indices within = Indices.NONE;
  private Indices total = Indices.NONE;
  private Study.@Nullable Outside counted;
  private Study.@Nullable Estimated estimated;

  Figures(
      Studies.Question question,
      Characteristic characteristic,
      ChartedWindow window,
      Optional<SigmaEstimate> sigmaWithin,
      Optional<Specification> used,
      Optional<Study.InControl> control) {
    this.question = question;
    this.characteristic = characteristic;
    this.window = window;
    this.sigmaWithin = sigmaWithin;
    this.used = used;
    this.control = control;
    this.moments = window.moments();
    this.sigmaTotal = Spread.total(moments);
  }

  Figures compute() {
    if (moments.count() == 0) {
      miss(List.of("mean"), Reason.NO_READINGS, "No reading of the window counts.");
    }
    if (sigmaWithin.isEmpty()) {
      miss(List.of("sigmaWithin"), Reason.TOO_FEW, tooFewWithin());
    }
    if (sigmaTotal.isEmpty()) {
      miss(List.of("sigmaTotal"), Reason.TOO_FEW, "It takes two readings.");
    }
    if (control.isEmpty()) {
      miss(
          List.of("control"),
          sigmaWithin.isEmpty() ? Reason.TOO_FEW : Reason.ZERO_SPREAD,
          "No limit set is in force, and the window gives no limits of its own.");
    }
    countOutside();
    Optional<Tolerance> tolerance = tolerance();
    within = indices("c", sigmaWithin, tolerance);
    total = indices("p", sigmaTotal, tolerance);
    estimate(tolerance);
    return this;
  }

  private void countOutside() {
    if (used.isEmpty()) {
      miss(
          List.of("counted"),
          Reason.NO_SPECIFICATION,
          "No specification is in force at the end of the window.");
    } else if (moments.count() == 0) {
      miss(List.of("counted"), Reason.NO_READINGS, "No reading of the window counts.");
    } else {
      counted =
          OutOfTolerance.count(window.readings(), used.get().limits().tolerance())
              .shares(question.confidence());
    }
  }

  /** The limits in the unit of the study; empty where there are none to compare a spread with. */
  private Optional<Tolerance> tolerance() {
    return used.map(Specification::limits)
        .filter(limits -> !equal(limits))
        .map(
            limits ->
                new Tolerance(
                    inUnit(limits.lower(), limits.unit()),
                    inUnit(limits.upper(), limits.unit()),
                    null));
  }

  private static boolean equal(Specification.Limits limits) {
    BigDecimal lower = limits.lower();
    BigDecimal upper = limits.upper();
    return lower != null && upper != null && lower.compareTo(upper) == 0;
  }

  private @Nullable Double inUnit(@Nullable BigDecimal limit, Unit written) {
    return limit == null
        ? null
        : (Double) Unit.convert(limit, written, window.unit()).doubleValue();
  }

  private Indices indices(
      String letter, Optional<SigmaEstimate> sigma, Optional<Tolerance> tolerance) {
    List<String> names = Indices.names(letter);
    boolean byWithin = letter.equals("c");
    if (cannotBeNormal(names)) {
      return Indices.NONE;
    }
    if (tolerance.isEmpty()) {
      missTolerance(names);
      return Indices.NONE;
    }
    if (sigma.isEmpty()) {
      miss(names, Reason.TOO_FEW, byWithin ? tooFewWithin() : "It takes two readings.");
      return Indices.NONE;
    }
    if (!(sigma.get().sigma() > 0)) {
      miss(names, Reason.ZERO_SPREAD, "Nothing varies, so there is no spread to compare with.");
      return Indices.NONE;
    }
    if (byWithin && outOfControl() && !question.evenIfNotInControl()) {
      miss(
          names,
          Reason.NOT_IN_CONTROL,
          "The process is not in control, so its capability is not defined; Pp and Ppk say what it"
              + " did. Ask with evenIfNotInControl=true to have the figure, marked.");
      return Indices.NONE;
    }
    return Indices.of(
        letter,
        moments.mean(),
        sigma.get(),
        tolerance.get(),
        moments.count(),
        question.confidence(),
        missing);
  }

  private void estimate(Optional<Tolerance> tolerance) {
    List<String> name = List.of("estimated");
    if (cannotBeNormal(name)) {
      return;
    }
    if (tolerance.isEmpty()) {
      missTolerance(name);
      return;
    }
    Optional<SharesOutside> shares =
        sigmaTotal.flatMap(
            sigma -> SharesOutside.ofNormal(moments.mean(), sigma.sigma(), tolerance.get()));
    if (shares.isEmpty()) {
      miss(
          name,
          sigmaTotal.isEmpty() ? Reason.TOO_FEW : Reason.ZERO_SPREAD,
          "There is no spread to estimate a share from.");
      return;
    }
    estimated = new Study.Estimated(shares.get().below(), shares.get().above());
  }

  private boolean cannotBeNormal(List<String> names) {
    boolean bounded = characteristic.bounded() != Characteristic.Bounded.NOT;
    if (bounded) {
      miss(
          names,
          Reason.BOUNDED_CHARACTERISTIC,
          "The characteristic is bounded by nature, so its readings are not about normal.");
    }
    return bounded;
  }

  private void missTolerance(List<String> names) {
    if (used.isEmpty()) {
      miss(
          names, Reason.NO_SPECIFICATION, "No specification is in force at the end of the window.");
    } else {
      miss(names, Reason.LIMITS_EQUAL, "Both limits of the specification are equal.");
    }
  }

  private void miss(List<String> names, Reason reason, String words) {
    names.forEach(name -> missing.add(new NotComputed(name, reason, words)));
  }

  private String tooFewWithin() {
    return window.asked().chart().cut().subgroupSize() == 1
        ? "It takes two readings of one shift and stratum."
        : "It takes a complete subgroup.";
  }

  private boolean outOfControl() {
    return control.isPresent() && !control.get().inControl();
  }

  List<NotComputed> missing() {
    return missing;
  }

  Indices within() {
    return within;
  }

  Indices total() {
    return total;
  }

  Study.@Nullable Outside counted() {
    return counted;
  }

  Study.@Nullable Estimated estimated() {
    return estimated;
  }

  boolean notInControl() {
    return outOfControl() && within.minimum() != null;
  }

  @Nullable Double mean() {
    return moments.count() == 0 ? null : (Double) moments.mean();
  }

  Study.@Nullable Sigma sigmaWithin() {
    return sigmaWithin.map(Figures::shown).orElse(null);
  }

  Study.@Nullable Sigma sigmaTotal() {
    return sigmaTotal.map(Figures::shown).orElse(null);
  }

  private static Study.Sigma shown(SigmaEstimate of) {
    return new Study.Sigma(of.sigma(), of.degreesOfFreedom(), of.estimator());
  }

  Study.@Nullable Used specification() {
    return used.map(
            specification -> {
              Specification.Limits limits = specification.limits();
              return new Study.Used(
                  specification.revision(),
                  "In force at the end of the window.",
                  limits.lower(),
                  limits.upper(),
                  limits.unit().code(),
                  inUnit(limits.lower(), limits.unit()),
                  inUnit(limits.upper(), limits.unit()));
            })
        .orElse(null);
  }
}
