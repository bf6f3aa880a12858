package org.tarebook.cure;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.tarebook.quantity.Unit;
import org.tarebook.schedule.Guard;
import org.tarebook.schedule.HeatEstimate;
import org.tarebook.schedule.HeatEstimate.Figure;
import org.tarebook.schedule.HeatSection;
import org.tarebook.schedule.Measured;
import org.tarebook.schedule.ScheduleDefinition;
import org.tarebook.schedule.ScheduleDefinition.Wanted;
import org.tarebook.schedule.ThermocoupleStudy;
import org.tarebook.schedule.Until;
import org.tarebook.thermal.Trace;

/**
 * Equivalents of cavities by heat penetration from their logs, and what is wanted of them. Cavities
 * with the same traces and the same green tyre temperature are computed once.
 */
final class CavityHeat {

  private static final String FIGURE = "equivalents";

  private final ScheduleDefinition definition;
  private final @Nullable HeatSection section;
  private final Run run;
  private final CureLog log;
  private final List<ThermocoupleStudy> studies;
  private final Map<String, HeatEstimate> known = new HashMap<>();

  CavityHeat(
      ScheduleDefinition definition,
      @Nullable HeatSection section,
      Run run,
      CureLog log,
      List<ThermocoupleStudy> studies) {
    this.definition = definition;
    this.section = section;
    this.run = run;
    this.log = log;
    this.studies = studies;
  }

  /**
   * The equivalents of one cavity.
   *
   * @param serving channels that serve it
   * @param believed logs of those that can be believed
   * @param reasons gets what is not as wanted
   * @param notComputed gets why figures are absent
   */
  List<CavityFigures.Equivalents> of(
      CavityLoad load,
      List<Channel> serving,
      List<ChannelLog> believed,
      List<Reason> reasons,
      Map<String, String> notComputed) {
    if (section == null) {
      notComputed.put(FIGURE, "the schedule has no section");
      return List.of();
    }
    List<ChannelLog> inside = of(believed, true);
    List<ChannelLog> outside = of(believed, false);
    String missing = missing(serving, inside, outside, reasons);
    if (missing != null) {
      notComputed.put(FIGURE, missing);
      if (!definition.wantedOrNone().isEmpty() || definition.blowPoint() != null) {
        reasons.add(
            Reason.of(
                    Reason.Code.EQUIVALENTS_NOT_COMPUTED,
                    Reason.Weight.DOUBT,
                    "The cure inside the tyre was not computed: " + missing + ".")
                .line("/wanted")
                .done());
      }
      return List.of();
    }
    HeatEstimate estimate = estimate(load, inside, outside, section);
    if (!section.cools()) {
      notComputed.put(
          "equivalents after opening", "the schedule says nothing of free cooling (afterOpening)");
    }
    List<CavityFigures.Equivalents> figures = new ArrayList<>();
    for (Until until : Until.values()) {
      if (until != Until.END || section.cools()) {
        figures.add(view(section, "SLOWEST", until, estimate.slowest(until), null));
      }
    }
    figures.add(view(section, "FASTEST", Until.OPENING, estimate.fastest(Until.OPENING), null));
    for (int i = 0; i < definition.wantedOrNone().size(); i++) {
      hold(estimate, definition.wantedOrNone().get(i), i, figures, reasons);
    }
    blowPoint(estimate, reasons);
    return figures;
  }

  private List<ChannelLog> of(List<ChannelLog> believed, boolean internal) {
    return believed.stream()
        .filter(
            one ->
                internal
                    ? one.channel().measured() == Measured.INTERNAL_TEMPERATURE
                    : one.channel().measured().outsideTemperature())
        .filter(one -> !one.empty())
        .toList();
  }

  private @Nullable String missing(
      List<Channel> serving,
      List<ChannelLog> inside,
      List<ChannelLog> outside,
      List<Reason> reasons) {
    if (inside.isEmpty()) {
      return "no believable internal temperature";
    }
    if (outside.isEmpty()) {
      return "no believable temperature outside the mould";
    }
    for (Channel channel : serving) {
      boolean heats =
          channel.measured() == Measured.INTERNAL_TEMPERATURE
              || channel.measured().outsideTemperature();
      if (heats
          && reasons.stream()
              .anyMatch(
                  reason ->
                      reason.code() == Reason.Code.GAP
                          && channel.code().equals(reason.channel()))) {
        return "a gap in " + channel.words();
      }
    }
    return null;
  }

  private HeatEstimate estimate(
      CavityLoad load, List<ChannelLog> inside, List<ChannelLog> outside, HeatSection of) {
    double coldest = definition.greenTyre().coldest().in(Unit.CELSIUS);
    double warmest = definition.greenTyre().warmest().in(Unit.CELSIUS);
    if (load.greenTemperature() != null) {
      coldest = load.greenTemperature().in(Unit.CELSIUS);
      warmest = coldest;
    }
    double cold = coldest;
    double warm = warmest;
    StringBuilder same = new StringBuilder(cold + " " + warm);
    inside.forEach(one -> same.append(' ').append(one.channel().code()));
    outside.forEach(one -> same.append(' ').append(one.channel().code()));
    return known.computeIfAbsent(
        same.toString(),
        key ->
            HeatEstimate.of(
                of,
                new HeatEstimate.Heating(
                    lowest(inside),
                    highest(inside),
                    lowest(outside),
                    highest(outside),
                    cold,
                    warm,
                    error(inside),
                    error(outside),
                    run.release(),
                    run.opening())));
  }

  private static Trace lowest(List<ChannelLog> logs) {
    return logs.stream().map(ChannelLog::trace).reduce(Trace::lowest).orElseThrow();
  }

  private static Trace highest(List<ChannelLog> logs) {
    return logs.stream().map(ChannelLog::trace).reduce(Trace::highest).orElseThrow();
  }

  /** Largest error of the sensors of a face, at the temperatures of a cure. */
  private static double error(List<ChannelLog> logs) {
    return logs.stream().mapToDouble(one -> one.error(150)).max().orElse(0);
  }

  private void hold(
      HeatEstimate estimate,
      Wanted wanted,
      int index,
      List<CavityFigures.Equivalents> figures,
      List<Reason> reasons) {
    if (wanted.until() == Until.END && !estimate.section().cools()) {
      return;
    }
    if (wanted.minimum() != null) {
      Figure figure = estimate.minimum(wanted);
      CavityFigures.Equivalents view =
          view(estimate.section(), wanted.name(), wanted.until(), figure, wanted.minimum());
      figures.add(view);
      Set<String> unknown = unknown(estimate.section());
      String line = "/wanted/" + index + "/minimum";
      if (unknown.isEmpty()) {
        minimum(view, wanted.minimum(), line, reasons);
      } else {
        reasons.add(unbounded(view, wanted.minimum(), unknown, line));
      }
    }
    if (wanted.maximum() != null) {
      Figure figure = estimate.maximum(wanted);
      CavityFigures.Equivalents view =
          view(estimate.section(), wanted.name(), wanted.until(), figure, wanted.maximum());
      figures.add(view);
      if (figure.minutes() > wanted.maximum().doubleValue()) {
        reasons.add(
            equivalents(
                Reason.Code.OVER_CURE,
                Reason.Weight.BREACH,
                view,
                "Over-cured at "
                    + place(view)
                    + ": about "
                    + Words.number(figure.minutes())
                    + " equivalent minutes, wanted at most "
                    + wanted.maximum().toPlainString()
                    + ".",
                wanted.maximum(),
                "/wanted/" + index + "/maximum"));
      }
    }
  }

  private Reason unbounded(
      CavityFigures.Equivalents view, BigDecimal minimum, Set<String> unknown, String line) {
    return equivalents(
        Reason.Code.UNCERTAINTY_UNKNOWN,
        Reason.Weight.DOUBT,
        view,
        "Whether "
            + place(view)
            + " has at least "
            + minimum.toPlainString()
            + " equivalent minutes cannot be told: the activation energy of "
            + String.join(" and ", unknown)
            + " has no known uncertainty, and the minimum does not hold it already (minimumHolds)."
            + " Record kinetics with the uncertainty, or from three temperatures or more.",
        minimum,
        line);
  }

  private void minimum(
      CavityFigures.Equivalents view, BigDecimal minimum, String line, List<Reason> reasons) {
    double lower = view.lower() == null ? view.minutes().doubleValue() : view.lower().doubleValue();
    double upper = view.upper() == null ? view.minutes().doubleValue() : view.upper().doubleValue();
    double wanted = minimum.doubleValue();
    if (upper < wanted) {
      reasons.add(
          equivalents(
              Reason.Code.UNDER_CURE,
              Reason.Weight.BREACH,
              view,
              "Under-cured at "
                  + place(view)
                  + ": about "
                  + Words.number(view.minutes().doubleValue())
                  + " equivalent minutes, wanted at least "
                  + minimum.toPlainString()
                  + ".",
              minimum,
              line));
    } else if (lower < wanted) {
      reasons.add(
          equivalents(
              Reason.Code.UNDER_CURE_POSSIBLE,
              Reason.Weight.DOUBT,
              view,
              "Possibly under-cured at "
                  + place(view)
                  + ": between "
                  + Words.number(lower)
                  + " and "
                  + Words.number(upper)
                  + " equivalent minutes, wanted at least "
                  + minimum.toPlainString()
                  + ".",
              minimum,
              line));
    }
  }

  private void blowPoint(HeatEstimate estimate, List<Reason> reasons) {
    ScheduleDefinition.BlowPoint blow = definition.blowPoint();
    if (blow == null) {
      return;
    }
    Figure figure = estimate.slowest(Until.RELEASE);
    BigDecimal minutes = Reason.decimal(figure.minutes());
    CavityFigures.Equivalents view =
        view(estimate.section(), "SLOWEST", Until.RELEASE, figure, blow.needed());
    if (!blow.reachedBy(minutes)) {
      boolean porous = blow.porousWith(minutes);
      reasons.add(
          equivalents(
              porous ? Reason.Code.UNDER_BLOW_POINT : Reason.Code.UNDER_CURE,
              Reason.Weight.BREACH,
              view,
              "When the pressure was let go "
                  + place(view)
                  + " had about "
                  + Words.number(figure.minutes())
                  + " equivalent minutes, "
                  + (porous
                      ? "below the blow point of " + blow.equivalents().toPlainString()
                      : "above the blow point but below it times its factor, "
                          + blow.needed().stripTrailingZeros().toPlainString())
                  + ".",
              blow.needed(),
              "/blowPoint"));
    } else if (!unknown(estimate.section()).isEmpty()) {
      reasons.add(unbounded(view, blow.needed(), unknown(estimate.section()), "/blowPoint"));
    } else {
      minimum(view, blow.needed(), "/blowPoint", reasons);
    }
  }

  private Reason equivalents(
      Reason.Code code,
      Reason.Weight weight,
      CavityFigures.Equivalents view,
      String words,
      BigDecimal limit,
      String line) {
    Reason drafted =
        Reason.of(code, weight, words + " An estimate by heat penetration.")
            .at(view.layer() + " " + view.depth().toPlainString() + " mm")
            .from(log.at(0), log.at(view.until() == Until.RELEASE ? run.release() : run.opening()))
            .amount(view.minutes().doubleValue(), Unit.MINUTE.code())
            .wanted(limit.doubleValue())
            .line(line)
            .done();
    return drafted;
  }

  private static String place(CavityFigures.Equivalents view) {
    return view.layer() + ", " + view.depth().toPlainString() + " mm from the inside";
  }

  /** Compounds without the uncertainty that the schedule's minima guard against. */
  private Set<String> unknown(HeatSection of) {
    return definition.minimumHoldsOrNone().contains(Guard.ACTIVATION_ENERGY)
        ? Set.of()
        : of.unknownEnergies();
  }

  private CavityFigures.Equivalents view(
      HeatSection of, String place, Until until, Figure figure, @Nullable BigDecimal wanted) {
    Map<String, BigDecimal> contributions = new LinkedHashMap<>();
    for (Map.Entry<Guard, Double> one : figure.contributions().entrySet()) {
      if (one.getKey() != Guard.ACTIVATION_ENERGY || of.unknownEnergies().isEmpty()) {
        contributions.put(one.getKey().name(), Reason.decimal(one.getValue()));
      }
    }
    double doubt = figure.expanded(definition.minimumHoldsOrNone(), of.energyFreedom());
    boolean bounded = unknown(of).isEmpty();
    ThermocoupleStudy study =
        studies.stream()
            .filter(known -> known.place().equals(place) && known.until() == until)
            .reduce((earlier, later) -> later)
            .orElse(null);
    return new CavityFigures.Equivalents(
        place,
        until,
        figure.layer(),
        Reason.decimal(figure.depthMillimetres()),
        Reason.decimal(figure.minutes()),
        figure.rule(),
        bounded ? Reason.decimal(figure.minutes() * Math.exp(-doubt)) : null,
        bounded ? Reason.decimal(figure.minutes() * Math.exp(doubt)) : null,
        Reason.decimal(figure.otherRule()),
        contributions,
        wanted,
        study == null ? null : study.equivalents(),
        study == null
            ? null
            : Reason.decimal(figure.minutes() / study.equivalents().doubleValue() - 1));
  }
}
