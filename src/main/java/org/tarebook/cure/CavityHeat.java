package org.tarebook.cure;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.stream.DoubleStream;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import org.tarebook.cure.ChannelLog.Silence;
import org.tarebook.quantity.Unit;
import org.tarebook.schedule.HeatEstimate;
import org.tarebook.schedule.HeatModel;
import org.tarebook.schedule.HeatSection;
import org.tarebook.schedule.MediumCure;
import org.tarebook.schedule.ScheduleDefinition;
import org.tarebook.schedule.ScheduleDefinition.Medium;
import org.tarebook.schedule.ThermocoupleStudy;
import org.tarebook.schedule.Until;
import org.tarebook.thermal.Trace;

/**
 * Equivalents of cavities by heat penetration from their logs. A gap in a trace is bridged by a
 * line for the estimate; its bounds take the coldest and the hottest that the medium can have been.
 * Cavities with the same traces and the same green tyre temperature are computed once.
 */
final class CavityHeat {

  private static final String FIGURE = "equivalents";
  private static final String NO_INSIDE = "no believable internal temperature";
  private static final String NO_OUTSIDE = "no believable temperature outside the mould";

  private final ScheduleDefinition definition;
  private final HeatModel model;
  private final Run run;
  private final CureLog log;
  private final List<ThermocoupleStudy> studies;
  private final Map<String, HeatEstimate> known = new HashMap<>();
  private final Map<String, OfMedium> knownMedia = new HashMap<>();

  CavityHeat(
      ScheduleDefinition definition,
      HeatModel model,
      Run run,
      CureLog log,
      List<ThermocoupleStudy> studies) {
    this.definition = definition;
    this.model = model;
    this.run = run;
    this.log = log;
    this.studies = studies;
  }

  /**
   * The equivalents of one cavity.
   *
   * @param believed logs of those that can be believed
   * @param reasons gets what is not as wanted
   * @param notComputed gets why figures are absent
   */
  List<CavityFigures.Equivalents> of(
      CavityLoad load,
      List<ChannelLog> believed,
      List<Reason> reasons,
      Map<String, String> notComputed) {
    HeatLimits limits = new HeatLimits(definition, run, log, studies);
    holdPlaces(limits, load, believed, reasons, notComputed);
    reasons.addAll(limits.reasons());
    List<CavityFigures.Equivalents> figures = new ArrayList<>(limits.figures());
    figures.addAll(ofMedia(believed, reasons, notComputed));
    return figures;
  }

  /**
   * The equivalents of the media themselves that a schedule wants, of a cavity that these logs
   * serve. Cavities with the same logs are computed once.
   *
   * @param reasons gets what is not as wanted
   * @param notComputed gets why figures are absent
   */
  List<CavityFigures.Equivalents> ofMedia(
      List<ChannelLog> believed, List<Reason> reasons, Map<String, String> notComputed) {
    List<CavityFigures.Equivalents> figures = new ArrayList<>();
    for (int i = 0; i < model.media().size(); i++) {
      MediumCure medium = model.media().get(i);
      String line = "/media/" + i;
      List<ChannelLog> shown =
          believed.stream().filter(one -> shows(one, medium.wanted().medium())).toList();
      OfMedium its =
          knownMedia.computeIfAbsent(line + codes(shown), key -> ofMedium(medium, shown, line));
      figures.addAll(its.figures());
      reasons.addAll(its.reasons());
      if (its.missing() != null) {
        notComputed.put("equivalents of " + medium.wanted().name(), its.missing());
      }
    }
    return figures;
  }

  /**
   * What is held of one medium.
   *
   * @param missing why it was not computed; absent where it was
   */
  private record OfMedium(
      List<CavityFigures.Equivalents> figures, List<Reason> reasons, @Nullable String missing) {}

  private void holdPlaces(
      HeatLimits limits,
      CavityLoad load,
      List<ChannelLog> believed,
      List<Reason> reasons,
      Map<String, String> notComputed) {
    HeatSection section = model.section();
    if (section == null) {
      notComputed.put(FIGURE, "the schedule has no section");
      return;
    }
    List<ChannelLog> inside = of(believed, Medium.INSIDE);
    List<ChannelLog> outside = of(believed, Medium.OUTSIDE);
    String missing = missing(inside, outside);
    if (missing != null) {
      notComputed.put(FIGURE, missing);
      if (!definition.wantedOrNone().isEmpty() || definition.blowPoint() != null) {
        reasons.add(notComputed("The cure inside the tyre", missing, "/wanted"));
      }
      return;
    }
    HeatEstimate estimate = estimate(load, inside, outside, section);
    if (!section.cools()) {
      notComputed.put(
          "equivalents after opening", "the schedule says nothing of free cooling (afterOpening)");
    }
    List<ChannelLog> both = Stream.concat(inside.stream(), outside.stream()).toList();
    limits.hold(estimate, until -> sum(apart(both, end(until))));
  }

  private OfMedium ofMedium(MediumCure medium, List<ChannelLog> shown, String line) {
    Medium its = medium.wanted().medium();
    List<ChannelLog> logs = shown.stream().filter(one -> !one.empty()).toList();
    boolean silent = logs.size() < shown.size();
    if (logs.isEmpty()) {
      String missing = its == Medium.INSIDE ? NO_INSIDE : NO_OUTSIDE;
      String what = "What the medium " + its.name().toLowerCase(Locale.ROOT) + " comes to";
      return new OfMedium(List.of(), List.of(notComputed(what, missing, line)), missing);
    }
    double end = end(medium.wanted().until());
    List<Silence> unknown = silent ? List.of(new Silence(0, end)) : apart(logs, end);
    Double hottest = medium.hottest();
    HeatLimits limits = new HeatLimits(definition, run, log, studies);
    limits.hold(
        medium,
        new MediumCure.Heating(
            lowest(logs),
            highest(logs),
            silent
                ? (hottest == null ? null : Trace.constant(hottest))
                : ceiling(
                    logs,
                    end,
                    hottest == null ? OptionalDouble.empty() : OptionalDouble.of(hottest)),
            error(logs),
            end,
            unknown.stream().map(gap -> new MediumCure.Stretch(gap.from(), gap.until())).toList()),
        sum(unknown),
        line);
    return new OfMedium(limits.figures(), limits.reasons(), null);
  }

  private static Reason notComputed(String what, String missing, String line) {
    return Reason.of(
            Reason.Code.EQUIVALENTS_NOT_COMPUTED,
            Reason.Weight.DOUBT,
            what + " was not computed: " + missing + ".")
        .line(line)
        .done();
  }

  private List<ChannelLog> of(List<ChannelLog> believed, Medium medium) {
    return believed.stream().filter(one -> shows(one, medium)).filter(one -> !one.empty()).toList();
  }

  private static String codes(List<ChannelLog> logs) {
    StringBuilder codes = new StringBuilder();
    logs.forEach(one -> codes.append(' ').append(one.channel().code()));
    return codes.toString();
  }

  private static boolean shows(ChannelLog one, Medium medium) {
    return medium.isShownBy(one.channel().measured());
  }

  /** To where something is counted; free cooling needs no medium. */
  private double end(Until until) {
    return until == Until.RELEASE ? run.release() : run.opening();
  }

  private static @Nullable String missing(List<ChannelLog> inside, List<ChannelLog> outside) {
    if (inside.isEmpty()) {
      return NO_INSIDE;
    }
    return outside.isEmpty() ? NO_OUTSIDE : null;
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
    return known.computeIfAbsent(
        cold + " " + warm + codes(inside) + codes(outside),
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
                    run.opening(),
                    gaps(inside, outside, of))));
  }

  /** The traces at the bounds of their gaps; null where none has a gap. */
  private HeatEstimate.@Nullable Gaps gaps(
      List<ChannelLog> inside, List<ChannelLog> outside, HeatSection of) {
    if (Stream.concat(inside.stream(), outside.stream())
        .allMatch(one -> unknown(one, run.opening()).isEmpty())) {
      return null;
    }
    return new HeatEstimate.Gaps(
        floor(inside, of.coldest(Medium.INSIDE, definition)),
        floor(outside, of.coldest(Medium.OUTSIDE, definition)),
        ceiling(inside, run.opening(), of.hottest(Medium.INSIDE)),
        ceiling(outside, run.opening(), of.hottest(Medium.OUTSIDE)));
  }

  private Trace floor(List<ChannelLog> logs, double coldest) {
    double bound = Math.min(coldest, media(logs).min().orElse(coldest));
    return logs.stream().map(one -> replaced(one, bound)).reduce(Trace::lowest).orElseThrow();
  }

  private @Nullable Trace ceiling(List<ChannelLog> logs, double end, OptionalDouble hottest) {
    if (logs.stream().allMatch(one -> unknown(one, end).isEmpty())) {
      return highest(logs);
    }
    if (hottest.isEmpty()) {
      return null;
    }
    double bound = Math.max(hottest.getAsDouble(), media(logs).max().orElse(hottest.getAsDouble()));
    return logs.stream().map(one -> replaced(one, bound)).reduce(Trace::highest).orElseThrow();
  }

  private static DoubleStream media(List<ChannelLog> logs) {
    return logs.stream().flatMapToDouble(one -> Arrays.stream(one.media()));
  }

  private Trace replaced(ChannelLog one, double bound) {
    Trace trace = one.trace();
    for (Silence gap : unknown(one, run.opening())) {
      trace = trace.replaced(gap.from(), gap.until(), bound);
    }
    return trace;
  }

  private List<Silence> unknown(ChannelLog one, double end) {
    return one.unknown(0, end, run.largestGap());
  }

  private static double sum(List<Silence> gaps) {
    return gaps.stream().mapToDouble(Silence::length).sum();
  }

  /** The stretches in which one of some channels is not known, joined where they touch. */
  private List<Silence> apart(List<ChannelLog> logs, double end) {
    List<Silence> apart = new ArrayList<>();
    logs.stream()
        .flatMap(one -> unknown(one, end).stream())
        .sorted(Comparator.comparingDouble(Silence::from))
        .forEach(
            gap -> {
              Silence last = apart.isEmpty() ? null : apart.get(apart.size() - 1);
              if (last == null || gap.from() > last.until()) {
                apart.add(gap);
              } else if (gap.until() > last.until()) {
                apart.set(apart.size() - 1, new Silence(last.from(), gap.until()));
              }
            });
    return apart;
  }

  private static Trace lowest(List<ChannelLog> logs) {
    return logs.stream().map(ChannelLog::trace).reduce(Trace::lowest).orElseThrow();
  }

  private static Trace highest(List<ChannelLog> logs) {
    return logs.stream().map(ChannelLog::trace).reduce(Trace::highest).orElseThrow();
  }

  /** Largest error of the sensors of a face; a class allows most at the hottest they logged. */
  private static double error(List<ChannelLog> logs) {
    return logs.stream()
        .mapToDouble(one -> one.error(Arrays.stream(one.media()).max().orElse(0)))
        .max()
        .orElse(0);
  }
}
