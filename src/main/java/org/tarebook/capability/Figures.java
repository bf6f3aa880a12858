package org.tarebook.capability;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.tarebook.chart.Chart;
import org.tarebook.control.Flag;
import org.tarebook.control.NotComputed;
import org.tarebook.control.NotComputed.Reason;
import org.tarebook.control.SummarisedWindow;
import org.tarebook.spec.Characteristic;
import org.tarebook.stats.Moments;
import org.tarebook.stats.SharesOutside;
import org.tarebook.stats.SigmaEstimate;
import org.tarebook.stats.Spread;
import org.tarebook.stats.Tolerance;
import org.tarebook.stats.TwoPartSpread;
import org.tarebook.stats.chart.BetweenWithin;

/** Computes the figures of one study, and notes which do not exist and why. */
final class Figures {

  private static final String NO_SPREAD = "Nothing varies, so there is no spread to compare with.";

  private static final String OF_ALL_TOGETHER =
      "Percentiles are of all readings together and give pp and ppk; method=NORMAL gives this"
          + " figure where readings are about normal.";

  /** The chance below which means are said to differ by more than the spread inside explains. */
  private static final double MEANS_DIFFER = 0.01;

  private final Studies.Question question;
  private final double confidence;
  private final SummarisedWindow window;
  private final Optional<SigmaEstimate> sigmaWithin;
  private final Optional<SigmaEstimate> sigmaTotal;
  private final StudyLimits limits;
  private final Optional<Study.InControl> control;
  private final Moments moments;
  private final Missing missing;
  private final boolean controlFailed;
  private final boolean mixed;
  private final boolean meansCount;
  private Indices within = Indices.NONE;
  private Indices total = Indices.NONE;
  private Study.@Nullable Outside counted;
  private Study.@Nullable Estimated estimated;
  private Study.@Nullable Cpm cpm;
  private @Nullable MethodUsed method;

  Figures(
      Studies.Question question,
      double confidence,
      Characteristic characteristic,
      SummarisedWindow window,
      Optional<SigmaEstimate> sigmaWithin,
      StudyLimits limits,
      Optional<Study.InControl> control,
      boolean mixed,
      List<NotComputed> failed) {
    this.mixed = mixed;
    this.missing = new Missing(characteristic, limits, window, failed);
    this.controlFailed = failed.stream().anyMatch(each -> each.figure().equals("control"));
    this.question = question;
    this.confidence = confidence;
    this.window = window;
    this.sigmaWithin = sigmaWithin;
    this.limits = limits;
    this.control = control;
    this.moments = window.moments();
    this.sigmaTotal = Spread.total(moments);
    this.meansCount = meansCount();
  }

  /** All figures. */
  Figures compute() {
    lookAtSpread();
    attempt(List.of("counted"), this::countOutside);
    Optional<Tolerance> tolerance = limits.tolerance();
    if (question.method() == Method.NORMAL) {
      byNormal(tolerance);
    } else {
      List<String> names = new ArrayList<>(Indices.names("p"));
      names.addAll(List.of("estimated", "method"));
      attempt(names, () -> byPercentiles(tolerance));
    }
    return this;
  }

  /** Only those of the spread within subgroups. */
  Figures computeWithin() {
    lookAtSpread();
    if (question.method() == Method.NORMAL) {
      attempt(Indices.names("c"), () -> within = indices("c", sigmaWithin, limits.tolerance()));
    } else {
      missing.add(Indices.names("c"), Reason.NOT_BY_THIS_METHOD, OF_ALL_TOGETHER);
    }
    return this;
  }

  private void lookAtSpread() {
    if (moments.count() == 0) {
      missing.add(List.of("mean"), Reason.NO_READINGS, "No reading of the window counts.");
    }
    if (sigmaWithin.isEmpty()) {
      missing.add(List.of("sigmaWithin"), Reason.TOO_FEW, tooFewWithin());
    }
    if (sigmaTotal.isEmpty()) {
      missing.add(List.of("sigmaTotal"), Reason.TOO_FEW, "It takes two readings.");
    }
    if (!controlFailed) {
      missing.control(control, sigmaWithin.isEmpty());
    }
  }

  private void attempt(List<String> names, Runnable work) {
    NotComputed.attempt(
        names,
        missing.list(),
        () -> {
          work.run();
          return true;
        });
  }

  private void countOutside() {
    if (limits.used().isEmpty()) {
      missing.add(
          List.of("counted"),
          Reason.NO_SPECIFICATION,
          "No specification is in force at the last counted reading of the window.");
    } else if (moments.count() == 0) {
      missing.add(List.of("counted"), Reason.NO_READINGS, "No reading of the window counts.");
    } else if (!missing.censored(List.of("counted"))) {
      counted =
          OutOfTolerance.count(window.summary(), limits.used().get().limits().tolerance())
              .shares(confidence, window.summary().together().subgroups());
    }
  }

  private void byNormal(Optional<Tolerance> tolerance) {
    attempt(Indices.names("c"), () -> within = indices("c", sigmaWithin, tolerance));
    attempt(Indices.names("p"), () -> total = indices("p", sigmaTotal, tolerance));
    attempt(List.of("estimated"), () -> estimate(tolerance));
    if (missing.cannotBeNormal(List.of("cpm"))) {
      return;
    }
    if (tolerance.isEmpty()) {
      missing.tolerance(List.of("cpm"));
    } else {
      attempt(
          List.of("cpm"),
          () ->
              cpm =
                  AboutTarget.of(
                      moments,
                      tolerance.get(),
                      meansCount ? squaresOfSubgroups() : TwoPartSpread.of(moments),
                      !meansCount || ofOneSize(),
                      confidence,
                      missing.list()));
    }
    attempt(List.of("method"), this::describeNormal);
  }

  private void describeNormal() {
    if (sigmaTotal.filter(sigma -> sigma.sigma() > 0).isPresent()) {
      method = MethodUsed.ofNormal(window.values());
    }
  }

  private void byPercentiles(Optional<Tolerance> asWritten) {
    List<String> byOthers = new ArrayList<>(Indices.names("c"));
    byOthers.add("cpm");
    missing.add(byOthers, Reason.NOT_BY_THIS_METHOD, OF_ALL_TOGETHER);
    List<String> names = new ArrayList<>(Indices.names("p"));
    names.add("estimated");
    if (missing.censored(names)) {
      return;
    }
    if (asWritten.isEmpty()) {
      missing.tolerance(names);
      return;
    }
    Optional<Tolerance> tolerance = limits.withoutNaturalBound();
    if (tolerance.isEmpty()) {
      missing.add(
          names,
          Reason.NO_SPECIFICATION,
          "The only limit is the bound by nature, which nothing can go beyond.");
    } else if (sigmaTotal.isEmpty()) {
      missing.add(names, Reason.TOO_FEW, "It takes two readings.");
    } else if (!(sigmaTotal.get().sigma() > 0)) {
      missing.add(names, Reason.ZERO_SPREAD, NO_SPREAD);
    } else {
      ByPercentiles by = new ByPercentiles(window.values(), tolerance.get(), confidence);
      ByPercentiles.Outcome outcome =
          question
              .method()
              .family()
              .map(family -> by.of(question.method(), family))
              .orElseGet(() -> by.empirical());
      missing.list().addAll(outcome.missing());
      total = outcome.total();
      method = outcome.method();
      SharesOutside shares = outcome.estimated();
      estimated = shares == null ? null : new Study.Estimated(shares.below(), shares.above());
    }
  }

  private Indices indices(
      String letter, Optional<SigmaEstimate> sigma, Optional<Tolerance> tolerance) {
    List<String> names = Indices.names(letter);
    boolean byWithin = letter.equals("c");
    if (missing.cannotBeNormal(names)) {
      return Indices.NONE;
    }
    if (tolerance.isEmpty()) {
      missing.tolerance(names);
      return Indices.NONE;
    }
    if (sigma.isEmpty()) {
      missing.add(names, Reason.TOO_FEW, byWithin ? tooFewWithin() : "It takes two readings.");
      return Indices.NONE;
    }
    if (!(sigma.get().sigma() > 0)) {
      missing.add(names, Reason.ZERO_SPREAD, NO_SPREAD);
      return Indices.NONE;
    }
    if (byWithin && mixed && !question.mixture()) {
      missing.add(
          names,
          Reason.SEVERAL_STREAMS,
          "The readings come from several streams, and each has its own figure: ask for one stratum."
              + " A capability study shows several together, and gives that of the mixture with"
              + " mixture=true, marked.");
      return Indices.NONE;
    }
    if (byWithin && controlFailed) {
      missing.add(
          names, Reason.FAULT, "The service failed to find whether the process is in control.");
      return Indices.NONE;
    }
    if (byWithin && !inControl() && !question.evenIfNotInControl()) {
      boolean cannotTell = control.get().inControl() == null;
      missing.add(
          names,
          cannotTell ? Reason.CONTROL_UNKNOWN : Reason.NOT_IN_CONTROL,
          cannotTell
              ? "Too few points, or limits of too few, cannot show the process to be in control, so its"
                  + " capability is not defined; Pp and Ppk say what it did. Ask for a longer window; a"
                  + " capability study gives the figure with evenIfNotInControl=true, marked."
              : "The process is not in control, so its capability is not defined; Pp and Ppk say what it"
                  + " did. A capability study gives the figure with evenIfNotInControl=true, marked.");
      return Indices.NONE;
    }
    if (byWithin ? meansMove() : meansCount) {
      return Indices.ofMovingMeans(
          letter,
          moments.mean(),
          sigma.get(),
          tolerance.get(),
          byWithin ? window.between().map(BetweenWithin::parts) : squaresOfSubgroups(),
          ofOneSize(),
          confidence,
          missing.list());
    }
    return Indices.of(
        letter,
        moments.mean(),
        sigma.get(),
        tolerance.get(),
        moments.count(),
        confidence,
        missing.list());
  }

  private boolean meansMove() {
    return window.cut().kind() == Chart.Kind.BETWEEN_WITHIN;
  }

  /** Whether means move by themselves, or scatter by more than the spread inside explains. */
  private boolean meansCount() {
    return meansMove()
        || (window.cut().kind() != Chart.Kind.INDIVIDUALS
            && squaresOfSubgroups().filter(each -> each.meansDiffer(MEANS_DIFFER)).isPresent());
  }

  private boolean ofOneSize() {
    return window.summary().together().subgroups().ofOneSize();
  }

  private Optional<TwoPartSpread> squaresOfSubgroups() {
    return TwoPartSpread.of(window.summary().together().subgroups());
  }

  private void estimate(Optional<Tolerance> tolerance) {
    List<String> name = List.of("estimated");
    if (missing.cannotBeNormal(name)) {
      return;
    }
    if (tolerance.isEmpty()) {
      missing.tolerance(name);
      return;
    }
    Optional<SharesOutside> shares =
        sigmaTotal.flatMap(
            sigma -> SharesOutside.ofNormal(moments.mean(), sigma.sigma(), tolerance.get()));
    if (shares.isEmpty()) {
      missing.add(
          name,
          sigmaTotal.isEmpty() ? Reason.TOO_FEW : Reason.ZERO_SPREAD,
          "There is no spread to estimate a share from.");
      return;
    }
    estimated = new Study.Estimated(shares.get().below(), shares.get().above());
  }

  private String tooFewWithin() {
    return window.asked().chart().cut().subgroupSize() == 1
        ? "It takes two readings of one shift and stratum."
        : "It takes a complete subgroup.";
  }

  private boolean inControl() {
    return control.isEmpty() || Boolean.TRUE.equals(control.get().inControl());
  }

  List<NotComputed> missing() {
    return missing.list();
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

  Study.@Nullable Cpm cpm() {
    return cpm;
  }

  @Nullable MethodUsed method() {
    return method;
  }

  /** The doubts about a window, and whether the tails of the method's distribution disagree. */
  List<Flag> flags(List<Flag> ofWindow) {
    List<Flag> flags = new ArrayList<>(ofWindow);
    MethodUsed used = method;
    MethodUsed.Tails tails = used == null ? null : used.tails();
    if (used != null && tails != null) {
      used.method()
          .family()
          .flatMap(family -> Distribution.flag(family, tails))
          .ifPresent(flags::add);
      Distribution.notNormal(used.method(), window.values()).ifPresent(flags::add);
    }
    return flags;
  }

  Study.@Nullable InControl control() {
    return control.orElse(null);
  }

  boolean mixture() {
    return mixed && within.minimum() != null;
  }

  /** True where indices are shown although the process is not in control; else absent. */
  @Nullable Boolean shownAlthoughNotInControl() {
    return (inControl() || within.minimum() == null) ? null : Boolean.TRUE;
  }

  @Nullable Double mean() {
    return moments.count() == 0 ? null : (Double) moments.mean();
  }

  Study.@Nullable Sigma sigmaWithin() {
    return sigmaWithin.map(Study.Sigma::of).orElse(null);
  }

  Study.@Nullable Sigma sigmaTotal() {
    return sigmaTotal.map(Study.Sigma::of).orElse(null);
  }
}
