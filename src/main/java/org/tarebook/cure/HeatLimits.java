package org.tarebook.cure;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import org.tarebook.compound.Kinetics;
import org.tarebook.cure.CavityFigures.Equivalents;
import org.tarebook.quantity.Unit;
import org.tarebook.schedule.Guard;
import org.tarebook.schedule.HeatEstimate;
import org.tarebook.schedule.HeatEstimate.Figure;
import org.tarebook.schedule.HeatSection;
import org.tarebook.schedule.ScheduleDefinition;
import org.tarebook.schedule.ScheduleDefinition.BlowPoint;
import org.tarebook.schedule.ScheduleDefinition.Wanted;
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
  private final HeatSection section;
  private final Run run;
  private final CureLog log;
  private final double bridged;
  private final List<ThermocoupleStudy> studies;
  private final List<Equivalents> figures = new ArrayList<>();
  private final List<Reason> reasons = new ArrayList<>();

  /**
   * Ready to hold one cavity.
   *
   * @param bridged how long one of the faces is not known, in seconds
   */
  HeatLimits(
      ScheduleDefinition definition,
      HeatSection section,
      Run run,
      CureLog log,
      double bridged,
      List<ThermocoupleStudy> studies) {
    this.definition = definition;
    this.section = section;
    this.run = run;
    this.log = log;
    this.bridged = bridged;
    this.studies = studies;
  }

  /** A limit, and the ends of the interval that are held against it. */
  private record Held(
      Equivalents view,
      BigDecimal limit,
      boolean minimum,
      String line,
      double least,
      double leastExtrapolated,
      @Nullable Double most,
      @Nullable Double mostExtrapolated) {

    boolean met() {
      return met(least, most);
    }

    boolean missed() {
      return missed(least, most);
    }

    /** Whether it would be decided were the kinetics known to hold at all temperatures. */
    boolean decidedByExtrapolation() {
      return met(leastExtrapolated, mostExtrapolated)
          || missed(leastExtrapolated, mostExtrapolated);
    }

    private boolean met(double low, @Nullable Double high) {
      double wanted = limit.doubleValue();
      return minimum ? low >= wanted : high != null && high <= wanted;
    }

    private boolean missed(double low, @Nullable Double high) {
      double wanted = limit.doubleValue();
      return minimum ? high != null && high < wanted : low > wanted;
    }
  }

  /** The figures of a cavity; adds what is not as wanted to its reasons. */
  List<Equivalents> hold(HeatEstimate estimate, List<Reason> found) {
    for (Until until : Until.values()) {
      if (until != Until.END || section.cools()) {
        figures.add(view("SLOWEST", until, estimate.slowest(until), null, Set.of()));
      }
    }
    figures.add(view("FASTEST", Until.OPENING, estimate.fastest(Until.OPENING), null, Set.of()));
    for (int i = 0; i < definition.wantedOrNone().size(); i++) {
      Wanted wanted = definition.wantedOrNone().get(i);
      if (wanted.until() == Until.END && !section.cools()) {
        continue;
      }
      if (wanted.minimum() != null) {
        Figure figure = estimate.minimum(wanted);
        Held held = held(wanted, figure, wanted.minimum(), true, "/wanted/" + i + "/minimum");
        figures.add(held.view());
        judge(held, "");
      }
      if (wanted.maximum() != null) {
        Figure figure = estimate.maximum(wanted);
        Held held = held(wanted, figure, wanted.maximum(), false, "/wanted/" + i + "/maximum");
        figures.add(held.view());
        judge(held, "");
      }
    }
    BlowPoint blow = definition.blowPoint();
    if (blow != null) {
      Figure figure = estimate.slowest(Until.RELEASE);
      judge(
          held("SLOWEST", Until.RELEASE, figure, blow.needed(), true, "/blowPoint"),
          "when the pressure was let go, ");
    }
    found.addAll(reasons);
    return figures;
  }

  private Held held(Wanted wanted, Figure figure, BigDecimal limit, boolean minimum, String line) {
    return held(wanted.name(), wanted.until(), figure, limit, minimum, line);
  }

  private Held held(
      String place, Until until, Figure figure, BigDecimal limit, boolean minimum, String line) {
    Set<Guard> holds = holds(minimum);
    double doubt = figure.expanded(holds, section.energyFreedom());
    HeatEstimate.Bounds bounds = figure.bounds();
    return new Held(
        view(place, until, figure, limit, holds),
        limit,
        minimum,
        line,
        bounds.least() * Math.exp(-doubt),
        bounds.leastExtrapolated() * Math.exp(-doubt),
        raised(bounds.most(), doubt),
        raised(bounds.mostExtrapolated(), doubt));
  }

  private static @Nullable Double raised(@Nullable Double most, double doubt) {
    return most == null ? null : Double.valueOf(most * Math.exp(doubt));
  }

  private Set<Guard> holds(boolean minimum) {
    return minimum ? definition.minimumHoldsOrNone() : definition.maximumHoldsOrNone();
  }

  private void judge(Held held, String when) {
    Set<String> unknown = unknown(holds(held.minimum()));
    if (!unknown.isEmpty()) {
      reasons.add(unbounded(held, unknown));
    }
    if (held.missed()) {
      Reason missed = missed(held, when);
      if (!unknown.isEmpty()) {
        missed = missed.unproven("the uncertainty of the activation energy is not known");
      }
      reasons.add(run.sure() ? missed : missed.unproven("when the press opened is not marked"));
    } else if (!held.met() && held.decidedByExtrapolation()) {
      reasons.add(outOfRange(held));
    } else if (!held.met()) {
      reasons.add(possible(held, when));
    } else if (unknown.isEmpty() && held.view().bridged() != null) {
      reasons.add(
          reason(
              Reason.Code.MET_WITHOUT_GAP,
              Reason.Weight.REMARK,
              held,
              held.minimum() || held.most() == null ? held.least() : held.most(),
              place(held)
                  + (held.minimum() ? " has at least " : " has at most ")
                  + held.limit().toPlainString()
                  + " equivalent minutes whatever the temperatures were in the gaps of "
                  + Words.seconds(held.view().bridged().doubleValue())
                  + "."));
    }
  }

  private Reason unbounded(Held held, Set<String> unknown) {
    return reason(
        Reason.Code.UNCERTAINTY_UNKNOWN,
        Reason.Weight.DOUBT,
        held,
        held.view().minutes().doubleValue(),
        "Whether "
            + place(held)
            + (held.minimum() ? " has at least " : " has at most ")
            + held.limit().toPlainString()
            + " equivalent minutes cannot be told: the activation energy of "
            + String.join(" and ", unknown)
            + " has no known uncertainty, and the "
            + (held.minimum()
                ? "minimum does not hold it already (minimumHolds)."
                : "maximum does not hold it already (maximumHolds).")
            + " Record kinetics with the uncertainty, or from three temperatures or more.");
  }

  private Reason missed(Held held, String when) {
    BlowPoint blow = held.line().equals("/blowPoint") ? definition.blowPoint() : null;
    double deciding = held.most() == null || !held.minimum() ? held.least() : held.most();
    double estimate = held.view().minutes().doubleValue();
    boolean porous = blow != null && blow.porousWith(BigDecimal.valueOf(deciding));
    return reason(
        !held.minimum()
            ? Reason.Code.OVER_CURE
            : porous ? Reason.Code.UNDER_BLOW_POINT : Reason.Code.UNDER_CURE,
        Reason.Weight.BREACH,
        held,
        deciding,
        (held.minimum() ? "Under-cured: " : "Over-cured: ")
            + when
            + place(held)
            + " had "
            + (estimate == deciding ? "" : "about " + Words.number(estimate, deciding) + " and ")
            + (held.minimum() ? "at most " : "at least ")
            + digits(deciding, estimate, held.limit().doubleValue())
            + " equivalent minutes, wanted at "
            + (held.minimum() ? "least " : "most ")
            + held.limit().stripTrailingZeros().toPlainString()
            + (blow == null
                ? "."
                : porous
                    ? ", and the blow point is " + blow.equivalents().toPlainString() + "."
                    : ", which is the blow point times its factor."));
  }

  private Reason possible(Held held, String when) {
    double limit = held.limit().doubleValue();
    Double most = held.most();
    return reason(
        held.minimum() ? Reason.Code.UNDER_CURE_POSSIBLE : Reason.Code.OVER_CURE_POSSIBLE,
        Reason.Weight.DOUBT,
        held,
        held.minimum() || most == null ? held.least() : most,
        (held.minimum() ? "Possibly under-cured: " : "Possibly over-cured: ")
            + when
            + place(held)
            + " had at least "
            + Words.number(held.least(), limit)
            + (most == null ? "" : " and at most " + Words.number(most, limit))
            + " equivalent minutes, wanted at "
            + (held.minimum() ? "least " : "most ")
            + held.limit().stripTrailingZeros().toPlainString()
            + (held.view().bridged() == null
                ? "."
                : "; gaps of "
                    + Words.seconds(held.view().bridged().doubleValue())
                    + (held.mostExtrapolated() == null
                        ? " have no upper bound, since the schedule does not state how hot the"
                            + " medium can be (hottest)."
                        : " may have been as cold or as hot as the medium can be.")));
  }

  private Reason outOfRange(Held held) {
    return reason(
        Reason.Code.KINETICS_OUT_OF_RANGE,
        Reason.Weight.DOUBT,
        held,
        held.least(),
        place(held)
            + " has "
            + between(held, held.least(), held.most())
            + " equivalent minutes by the temperatures that the kinetics are stated for, "
            + String.join(", ", ranges())
            + ", and "
            + between(held, held.leastExtrapolated(), held.mostExtrapolated())
            + " if they hold beyond; wanted at "
            + (held.minimum() ? "least " : "most ")
            + held.limit().stripTrailingZeros().toPlainString()
            + ". Record kinetics for the temperatures of the cure.");
  }

  /** Both ends, with the digits that show on which side of the limit they lie. */
  private static String between(Held held, double least, @Nullable Double most) {
    double limit = held.limit().doubleValue();
    return "at least "
        + Words.number(least, limit)
        + (most == null ? " and no known most" : " and at most " + Words.number(most, limit));
  }

  /** A figure beside two others, with the digits that show that it is neither. */
  private static String digits(double figure, double one, double other) {
    String beside = Words.number(figure, one);
    String besideOther = Words.number(figure, other);
    return beside.length() > besideOther.length() ? beside : besideOther;
  }

  private Set<String> ranges() {
    Set<String> ranges = new TreeSet<>();
    for (Kinetics its : section.kinetics()) {
      Kinetics.Range range = its.range();
      if (range != null) {
        ranges.add(
            "%s (%s to %s °C)"
                .formatted(
                    its.compound(), Words.number(range.lowest()), Words.number(range.highest())));
      }
    }
    return ranges;
  }

  private Reason reason(
      Reason.Code code, Reason.Weight weight, Held held, double amount, String words) {
    Equivalents view = held.view();
    return Reason.of(code, weight, Words.capital(words) + " An estimate by heat penetration.")
        .at(view.layer() + " " + view.depth().toPlainString() + " mm")
        .from(log.at(0), log.at(view.until() == Until.RELEASE ? run.release() : run.opening()))
        .amount(amount, Unit.MINUTE.code())
        .wanted(held.limit().doubleValue())
        .by(Reason.Rule.INTERVAL)
        .line(held.line())
        .done();
  }

  private static String place(Held held) {
    return held.view().layer() + ", " + held.view().depth().toPlainString() + " mm from the inside";
  }

  /** Compounds without the uncertainty that a limit guards against. */
  private Set<String> unknown(Set<Guard> holds) {
    return holds.contains(Guard.ACTIVATION_ENERGY) ? Set.of() : section.unknownEnergies();
  }

  private Equivalents view(
      String place, Until until, Figure figure, @Nullable BigDecimal limit, Set<Guard> holds) {
    Map<String, BigDecimal> contributions = new LinkedHashMap<>();
    boolean known = section.unknownEnergies().isEmpty();
    for (Map.Entry<Guard, Double> one : figure.contributions().entrySet()) {
      if (known || one.getKey() != Guard.ACTIVATION_ENERGY) {
        contributions.put(one.getKey().name(), Reason.decimal(one.getValue()));
      }
    }
    double every = figure.expanded(Set.of(), section.energyFreedom());
    double others = figure.expanded(holds, section.energyFreedom());
    boolean decides = limit != null && unknown(holds).isEmpty();
    double least = figure.bounds().least();
    Double most = figure.bounds().most();
    ThermocoupleStudy study =
        studies.stream()
            .filter(one -> one.place().equals(place) && one.until() == until)
            .reduce((earlier, later) -> later)
            .orElse(null);
    return new Equivalents(
        place,
        until,
        figure.layer(),
        Reason.decimal(figure.depthMillimetres()),
        Reason.decimal(figure.minutes()),
        figure.rule(),
        Reason.decimal(figure.celsius()),
        bridged == 0 ? null : Reason.decimal(bridged),
        known ? Reason.decimal(least * Math.exp(-every)) : null,
        known && most != null ? Reason.decimal(most * Math.exp(every)) : null,
        limit == null ? null : holds.stream().sorted().toList(),
        decides ? Reason.decimal(least * Math.exp(-others)) : null,
        decides && most != null ? Reason.decimal(most * Math.exp(others)) : null,
        Reason.decimal(figure.otherRule()),
        contributions,
        limit,
        study == null ? null : study.equivalents(),
        study == null
            ? null
            : Reason.decimal(figure.minutes() / study.equivalents().doubleValue() - 1));
  }
}
