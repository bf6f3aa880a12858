package org.tarebook.cure;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.Set;
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
  private final Set<String> disbelieved;
  private final Map<String, HeatEstimate> known = new HashMap<>();
  private final Map<String, OfMedium> knownMedia = new HashMap<>();

  /**
   * Ready to compute the cavities of a load.
   *
   * @param disbelieved codes of channels that cannot be believed; nothing is known of a medium by
   *     them
   */
  CavityHeat(
      ScheduleDefinition definition,
      HeatModel model,
      Run run,
      CureLog log,
      List<ThermocoupleStudy> studies,
      Set<String> disbelieved) {
    this.disbelieved = disbelieved;
    this.definition = definition;
    this.model = model;
    this.run = run;
    this.log = log;
    this.studies = studies;
  }

  /**
   * The equivalents of one cavity.
   *
   * @param serving logs of the channels that serve it
   * @param reasons gets what is not as wanted
   * @param notComputed gets why figures are absent
   */
  List<CavityFigures.Equivalents> of(
      CavityLoad load,
      List<ChannelLog> serving,
      List<Reason> reasons,
      Map<String, String> notComputed) {
    HeatLimits limits = new HeatLimits(definition, run, log, studies);
    holdPlaces(limits, load, serving, reasons, notComputed);
    reasons.addAll(limits.reasons());
    List<CavityFigures.Equivalents> figures = new ArrayList<>(limits.figures());
    figures.addAll(ofMedia(serving, reasons, notComputed));
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
      List<ChannelLog> serving, List<Reason> reasons, Map<String, String> notComputed) {
    List<CavityFigures.Equivalents> figures = new ArrayList<>();
    for (int i = 0; i < model.media().size(); i++) {
      MediumCure medium = model.media().get(i);
      String line = "/media/" + i;
      List<ChannelLog> shown =
          serving.stream().filter(one -> shows(one, medium.wanted().medium())).toList();
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
      List<ChannelLog> serving,
      List<Reason> reasons,
      Map<String, String> notComputed) {
    HeatSection section = model.section();
    if (section == null) {
      notComputed.put(FIGURE, "the schedule has no section");
      return;
    }
    List<ChannelLog> inside = of(serving, Medium.INSIDE);
    List<ChannelLog> outside = of(serving, Medium.OUTSIDE);
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
    OptionalDouble hottestInside = section.hottest(Medium.INSIDE);
    OptionalDouble hottestOutside = section.hottest(Medium.OUTSIDE);
    reasons.addAll(hotter(inside, hottestInside, "/section/inside/hottest"));
    reasons.addAll(hotter(outside, hottestOutside, "/section/outside/hottest"));
    limits.hold(
        estimate,
        until ->
            sum(
                apart(
                    Stream.concat(
                        unknown(inside, end(until), hottestInside),
                        unknown(outside, end(until), hottestOutside)))));
  }

  private OfMedium ofMedium(MediumCure medium, List<ChannelLog> shown, String line) {
    Medium its = medium.wanted().medium();
    if (shown.stream().noneMatch(this::known)) {
      String missing = its == Medium.INSIDE ? NO_INSIDE : NO_OUTSIDE;
      String what = "What the medium " + its.name().toLowerCase(Locale.ROOT) + " comes to";
      return new OfMedium(List.of(), List.of(notComputed(what, missing, line)), missing);
    }
    double end = end(medium.wanted().until());
    Double stated = medium.hottest();
    OptionalDouble hottest = stated == null ? OptionalDouble.empty() : OptionalDouble.of(stated);
    List<Silence> unknown = apart(unknown(shown, end, hottest));
    HeatLimits limits = new HeatLimits(definition, run, log, studies);
    limits.hold(
        medium,
        new MediumCure.Heating(
            lowest(shown),
            highest(shown),
            ceiling(shown, end, hottest),
            error(shown),
            end,
            unknown.stream().map(gap -> new MediumCure.Stretch(gap.from(), gap.until())).toList()),
        sum(unknown),
        line);
    List<Reason> reasons = new ArrayList<>(hotter(shown, hottest, line + "/hottest"));
    reasons.addAll(limits.reasons());
    return new OfMedium(limits.figures(), reasons, null);
  }

  private static Reason notComputed(String what, String missing, String line) {
    return Reason.of(
            Reason.Code.EQUIVALENTS_NOT_COMPUTED,
            Reason.Weight.DOUBT,
            what + " was not computed: " + missing + ".")
        .line(line)
        .done();
  }

  private List<ChannelLog> of(List<ChannelLog> serving, Medium medium) {
    return serving.stream().filter(one -> shows(one, medium)).toList();
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

  private @Nullable String missing(List<ChannelLog> inside, List<ChannelLog> outside) {
    if (inside.stream().noneMatch(this::known)) {
      return NO_INSIDE;
    }
    return outside.stream().noneMatch(this::known) ? NO_OUTSIDE : null;
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
    OptionalDouble hottestInside = of.hottest(Medium.INSIDE);
    OptionalDouble hottestOutside = of.hottest(Medium.OUTSIDE);
    if (Stream.concat(
            unknown(inside, run.opening(), hottestInside),
            unknown(outside, run.opening(), hottestOutside))
        .findAny()
        .isEmpty()) {
      return null;
    }
    return new HeatEstimate.Gaps(
        floor(inside, of.coldest(Medium.INSIDE, definition), hottestInside),
        floor(outside, of.coldest(Medium.OUTSIDE, definition), hottestOutside),
        ceiling(inside, run.opening(), hottestInside),
        ceiling(outside, run.opening(), hottestOutside));
  }

  private Trace floor(List<ChannelLog> logs, double coldest, OptionalDouble hottest) {
    double bound = Math.min(coldest, media(logs).min().orElse(coldest));
    return traces(logs, bound, coldest, hottest).reduce(Trace::lowest).orElseThrow();
  }

  private @Nullable Trace ceiling(List<ChannelLog> logs, double end, OptionalDouble hottest) {
    if (unknown(logs, end, hottest).findAny().isEmpty()) {
      return highest(logs);
    }
    if (hottest.isEmpty()) {
      return null;
    }
    double most = hottest.getAsDouble();
    double bound = Math.max(most, media(logs).max().orElse(most));
    return traces(logs, bound, most, hottest).reduce(Trace::highest).orElseThrow();
  }

  private DoubleStream media(List<ChannelLog> logs) {
    return logs.stream().filter(this::known).flatMapToDouble(one -> Arrays.stream(one.media()));
  }

  /** The traces with a bound in their gaps, and another for those of which nothing is known. */
  private Stream<Trace> traces(
      List<ChannelLog> logs, double bound, double silent, OptionalDouble hottest) {
    return logs.stream()
        .map(one -> known(one) ? replaced(one, bound, hottest) : Trace.constant(silent));
  }

  private Trace replaced(ChannelLog one, double bound, OptionalDouble hottest) {
    Trace trace = one.trace();
    for (Silence gap : unknown(one, run.opening(), hottest)) {
      trace = trace.replaced(gap.from(), gap.until(), bound);
    }
    return trace;
  }

  /** Stretches in which nothing is known, apart, and those with samples hotter than can be. */
  private List<Silence> unknown(ChannelLog one, double end, OptionalDouble hottest) {
    if (!known(one)) {
      return List.of(new Silence(0, end));
    }
    List<Silence> found = new ArrayList<>(one.unknown(0, end, run.largestGap()));
    hottest.ifPresent(most -> found.addAll(one.hotter(most, 0, end)));
    return apart(found.stream());
  }

  /** Whether a channel says anything that can be believed. */
  private boolean known(ChannelLog one) {
    return !one.empty() && !disbelieved.contains(one.channel().code());
  }

  private static double sum(List<Silence> gaps) {
    return gaps.stream().mapToDouble(Silence::length).sum();
  }

  /** The stretches in which one of some channels is not known. */
  private Stream<Silence> unknown(List<ChannelLog> logs, double end, OptionalDouble hottest) {
    return logs.stream().flatMap(one -> unknown(one, end, hottest).stream());
  }

  /** Stretches joined where they touch, in the order of time. */
  private static List<Silence> apart(Stream<Silence> stretches) {
    List<Silence> apart = new ArrayList<>();
    stretches
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

  private List<Reason> hotter(List<ChannelLog> logs, OptionalDouble hottest, String line) {
    return hottest.isEmpty()
        ? List.of()
        : logs.stream()
            .filter(this::known)
            .flatMap(one -> Plausibility.hotter(one, hottest.getAsDouble(), line, log).stream())
            .toList();
  }

  private Trace lowest(List<ChannelLog> logs) {
    return logs.stream()
        .filter(this::known)
        .map(ChannelLog::trace)
        .reduce(Trace::lowest)
        .orElseThrow();
  }

  private Trace highest(List<ChannelLog> logs) {
    return logs.stream()
        .filter(this::known)
        .map(ChannelLog::trace)
        .reduce(Trace::highest)
        .orElseThrow();
  }

  /** Largest error of the sensors of a face; a class allows most at the hottest they logged. */
  private double error(List<ChannelLog> logs) {
    return logs.stream()
        .filter(this::known)
        .mapToDouble(one -> one.error(Arrays.stream(one.media()).max().orElse(0)))
        .max()
        .orElse(0);
  }
}
