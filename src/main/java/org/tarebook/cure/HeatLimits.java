package org.tarebook.cure;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.function.Function;
import java.util.function.Supplier;
import java.util.function.ToDoubleFunction;
import org.jspecify.annotations.Nullable;
import org.tarebook.cure.CavityFigures.Equivalents;
import org.tarebook.schedule.BlowPoint;
import org.tarebook.schedule.DecidingInterval;
import org.tarebook.schedule.Guard;
import org.tarebook.schedule.HeatEstimate;
import org.tarebook.schedule.HeatFigure;
import org.tarebook.schedule.HeatSection;
import org.tarebook.schedule.KineticsUsed;
import org.tarebook.schedule.MediumCure;
import org.tarebook.schedule.ScheduleDefinition;
import org.tarebook.schedule.ScheduleDefinition.Wanted;
import org.tarebook.schedule.ScheduleDefinition.WantedOfMedium;
import org.tarebook.schedule.ThermocoupleStudy;
import org.tarebook.schedule.Until;

/**
 * Holds estimated equivalents against what the schedule wants. A minimum is met by the lower end of
 * the interval and missed by the upper one, a maximum the other way round; what lies between is not
 * judged. The lower end takes no credit for gaps, nor for temperatures outside the range of the
 * kinetics; the upper end has all that both may have added, and is absent where nothing bounds it.
 * Both ends leave out the sources of doubt that the limit holds already, and are compared as
 * computed, before any rounding.
 */
final class HeatLimits {

  private final ScheduleDefinition definition;
  private final List<ThermocoupleStudy> studies;
  private final HeatReasons words;
  private final List<Equivalents> figures = new ArrayList<>();
  private final List<Reason> reasons = new ArrayList<>();

  /** Ready to hold one cavity. */
  HeatLimits(ScheduleDefinition definition, Run run, CureLog log, List<ThermocoupleStudy> studies) {
    this.definition = definition;
    this.studies = studies;
    this.words = new HeatReasons(definition.blowPoint(), run, log);
  }

  /**
   * Holds the places of the tyre.
   *
   * @param bridged how long one of the faces is not known until then, in seconds
   */
  void hold(HeatEstimate estimate, ToDoubleFunction<Until> bridged) {
    HeatSection section = estimate.section();
    Function<Until, HeldLimit.Basis> basis =
        until -> new HeldLimit.Basis(section.kinetics(), bridged.applyAsDouble(until), null);
    for (Until until : Until.values()) {
      if (until != Until.END || section.cools()) {
        figures.add(
            view(basis.apply(until), "SLOWEST", until, estimate.slowest(until), null, Set.of()));
      }
    }
    figures.add(
        view(
            basis.apply(Until.OPENING),
            "FASTEST",
            Until.OPENING,
            estimate.fastest(Until.OPENING),
            null,
            Set.of()));
    for (int i = 0; i < definition.wantedOrNone().size(); i++) {
      Wanted wanted = definition.wantedOrNone().get(i);
      if (wanted.until() == Until.END && !section.cools()) {
        continue;
      }
      Named named =
          new Named(basis.apply(wanted.until()), wanted.name(), wanted.until(), "/wanted/" + i);
      hold(named, wanted.minimum(), true, () -> estimate.minimum(wanted));
      hold(named, wanted.maximum(), false, () -> estimate.maximum(wanted));
    }
    BlowPoint blow = definition.blowPoint();
    if (blow != null) {
      Named named = new Named(basis.apply(Until.RELEASE), "SLOWEST", Until.RELEASE, "/blowPoint");
      judge(
          held(named, estimate.slowest(Until.RELEASE), blow.needed(), true, named.line()),
          "when the pressure was let go, ");
    }
  }

  /**
   * Holds the blow point once more, for a release that is possible and not known: what is not met
   * then is a doubt. Nothing is added where the blow point is in doubt or missed already.
   *
   * @param why the release may have been then
   */
  void holdBlowPoint(HeatEstimate estimate, String why) {
    BlowPoint blow = definition.blowPoint();
    String line = "/blowPoint";
    if (blow == null || reasons.stream().anyMatch(reason -> line.equals(reason.line()))) {
      return;
    }
    Named named =
        new Named(
            new HeldLimit.Basis(estimate.section().kinetics(), 0, null),
            "SLOWEST",
            Until.RELEASE,
            line);
    words
        .of(
            held(named, estimate.slowest(Until.RELEASE), blow.needed(), true, line),
            "if the pressure was let go when the first channel fell, ")
        .forEach(reason -> reasons.add(reason.unproven(why)));
  }

  /**
   * Holds a medium itself.
   *
   * @param line where the schedule wants it
   */
  void hold(MediumCure medium, MediumCure.Heating heating, double bridged, String line) {
    WantedOfMedium wanted = medium.wanted();
    Named named =
        new Named(
            new HeldLimit.Basis(medium.used(), bridged, wanted.medium()),
            wanted.name(),
            wanted.until(),
            line);
    hold(named, wanted.minimum(), true, () -> medium.minimum(heating));
    hold(named, wanted.maximum(), false, () -> medium.maximum(heating));
  }

  /**
   * What limits are wanted of.
   *
   * @param line where the schedule wants them
   */
  private record Named(HeldLimit.Basis basis, String place, Until until, String line) {}

  private void hold(
      Named named, @Nullable BigDecimal limit, boolean minimum, Supplier<HeatFigure> figure) {
    if (limit != null) {
      String line = named.line() + (minimum ? "/minimum" : "/maximum");
      HeldLimit held = held(named, figure.get(), limit, minimum, line);
      figures.add(held.view());
      judge(held, "");
    }
  }

  /** All figures, in the order in which they were held. */
  List<Equivalents> figures() {
    return figures;
  }

  /** Limits that are missed, or may be. */
  List<Reason> reasons() {
    return reasons;
  }

  private HeldLimit held(
      Named named, HeatFigure figure, BigDecimal limit, boolean minimum, String line) {
    HeldLimit.Basis basis = named.basis();
    Set<Guard> holds = definition.holds(minimum);
    return new HeldLimit(
        basis,
        view(basis, named.place(), named.until(), figure, limit, holds),
        DecidingInterval.of(figure, basis.kinetics(), holds, limit, minimum),
        line);
  }

  private void judge(HeldLimit held, String when) {
    reasons.addAll(words.of(held, when));
  }

  private Equivalents view(
      HeldLimit.Basis basis,
      String place,
      Until until,
      HeatFigure figure,
      @Nullable BigDecimal limit,
      Set<Guard> holds) {
    Map<String, BigDecimal> contributions = new LinkedHashMap<>();
    KineticsUsed used = basis.kinetics();
    boolean known = used.unknown(Set.of()).isEmpty();
    for (Map.Entry<Guard, Double> one : figure.contributions().entrySet()) {
      if (known || one.getKey() != Guard.ACTIVATION_ENERGY) {
        contributions.put(one.getKey().name(), Reason.decimal(one.getValue()));
      }
    }
    double freedom = used.energyFreedom();
    boolean decides = limit != null && used.unknown(holds).isEmpty();
    double least = figure.bounds().least();
    Double most = figure.bounds().most();
    ThermocoupleStudy study =
        studies.stream()
            .filter(one -> basis.medium() == null)
            .filter(one -> one.place().equals(place) && one.until() == until)
            .reduce((earlier, later) -> later)
            .orElse(null);
    return new Equivalents(
        place,
        until,
        basis.medium(),
        figure.layer(),
        figure.depthMillimetres() == null ? null : Reason.decimal(figure.depthMillimetres()),
        Reason.decimal(figure.minutes()),
        figure.rule(),
        Reason.decimal(figure.celsius()),
        basis.bridged() == 0 ? null : Reason.decimal(basis.bridged()),
        known ? Reason.decimal(least * Math.exp(-figure.doubtOfLeast(Set.of(), freedom))) : null,
        known && most != null
            ? Reason.decimal(most * Math.exp(figure.doubtOfMost(Set.of(), freedom)))
            : null,
        limit == null ? null : holds.stream().sorted().toList(),
        decides ? Reason.decimal(least * Math.exp(-figure.doubtOfLeast(holds, freedom))) : null,
        decides && most != null
            ? Reason.decimal(most * Math.exp(figure.doubtOfMost(holds, freedom)))
            : null,
        Reason.decimal(figure.otherRule()),
        contributions,
        limit,
        study == null ? null : study.equivalents(),
        study == null
            ? null
            : Reason.decimal(figure.minutes() / study.equivalents().doubleValue() - 1));
  }
}
