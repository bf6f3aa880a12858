package org.tarebook.cure;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.stream.Collectors;
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
  private final MediaBounds bounds;
  private final Map<String, HeatEstimate> known = new HashMap<>();
  private final Map<String, OfMedium> knownMedia = new HashMap<>();

  /**
   * Ready to compute the cavities of a load.
   *
   * @param disbelieved codes of channels that cannot be believed
   * @param running whether more samples may come
   */
  CavityHeat(
      ScheduleDefinition definition,
      HeatModel model,
      Run run,
      CureLog log,
      List<ThermocoupleStudy> studies,
      Set<String> disbelieved,
      boolean running) {
    this.bounds = new MediaBounds(run, disbelieved, running);
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
   * @param reasons to which it adds what the schedule does not accept
   * @param notComputed to which it adds why figures are absent
   */
  List<CavityFigures.Equivalents> of(
      CavityLoad load,
      List<ChannelLog> serving,
      List<Reason> reasons,
      Map<String, String> notComputed) {
    PressureRelease release = release(serving);
    reasons.addAll(release.reasons());
    Run its = run.releasedAt(release.at());
    HeatLimits limits = new HeatLimits(definition, its, log, studies);
    holdPlaces(limits, load, serving, release, reasons, notComputed);
    reasons.addAll(limits.reasons());
    List<CavityFigures.Equivalents> figures = new ArrayList<>(limits.figures());
    figures.addAll(ofMedia(serving, its, reasons, notComputed));
    return figures;
  }

  private PressureRelease release(List<ChannelLog> serving) {
    return new PressureRelease(run, log, serving.stream().filter(bounds::known).toList());
  }

  /**
   * The equivalents of the media themselves that a schedule wants, of a cavity that these logs
   * serve. Cavities with the same logs are computed once.
   *
   * @param reasons to which it adds what the schedule does not accept
   * @param notComputed to which it adds why figures are absent
   */
  List<CavityFigures.Equivalents> ofMedia(
      List<ChannelLog> serving, List<Reason> reasons, Map<String, String> notComputed) {
    return ofMedia(serving, run.releasedAt(release(serving).at()), reasons, notComputed);
  }

  private List<CavityFigures.Equivalents> ofMedia(
      List<ChannelLog> serving, Run its, List<Reason> reasons, Map<String, String> notComputed) {
    List<CavityFigures.Equivalents> figures = new ArrayList<>();
    for (int i = 0; i < model.media().size(); i++) {
      MediumCure medium = model.media().get(i);
      String line = "/media/" + i;
      List<ChannelLog> shown = MediaBounds.of(serving, medium.wanted().medium());
      OfMedium found =
          knownMedia.computeIfAbsent(
              line + MediaBounds.codes(shown) + " " + its.release(),
              key -> ofMedium(medium, shown, its, line));
      figures.addAll(found.figures());
      reasons.addAll(found.reasons());
      if (found.missing() != null) {
        notComputed.put("equivalents of " + medium.wanted().name(), found.missing());
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
      PressureRelease release,
      List<Reason> reasons,
      Map<String, String> notComputed) {
    HeatSection section = model.section();
    if (section == null) {
      notComputed.put(FIGURE, "the schedule has no section");
      return;
    }
    List<ChannelLog> inside = MediaBounds.of(serving, Medium.INSIDE);
    List<ChannelLog> outside = MediaBounds.of(serving, Medium.OUTSIDE);
    String missing = missing(inside, outside);
    if (missing != null) {
      notComputed.put(FIGURE, missing);
      if (!definition.wantedOrNone().isEmpty() || definition.blowPoint() != null) {
        reasons.add(notComputed("The cure inside the tyre", missing, "/wanted"));
      }
      return;
    }
    HeatEstimate estimate = estimate(load, inside, outside, section, release.at());
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
            MediaBounds.sum(
                MediaBounds.apart(
                    Stream.concat(
                        bounds.unknown(inside, end(until, release.at()), hottestInside),
                        bounds.unknown(outside, end(until, release.at()), hottestOutside)))));
    if (release.earliest().isPresent()) {
      limits.holdBlowPoint(
          estimate(load, inside, outside, section, release.earliest().getAsDouble()),
          "one channel of inside pressure fell earlier than another, and it was let go when the"
              + " first of them fell or later");
    }
  }

  private OfMedium ofMedium(MediumCure medium, List<ChannelLog> shown, Run its, String line) {
    Medium where = medium.wanted().medium();
    if (shown.stream().noneMatch(bounds::known)) {
      String missing = where == Medium.INSIDE ? NO_INSIDE : NO_OUTSIDE;
      String what = "What the medium " + where.name().toLowerCase(Locale.ROOT) + " comes to";
      return new OfMedium(List.of(), List.of(notComputed(what, missing, line)), missing);
    }
    double end = end(medium.wanted().until(), its.release());
    Double stated = medium.hottest();
    OptionalDouble hottest = stated == null ? OptionalDouble.empty() : OptionalDouble.of(stated);
    List<Silence> unknown = MediaBounds.apart(bounds.unknown(shown, end, hottest));
    HeatLimits limits = new HeatLimits(definition, its, log, studies);
    limits.hold(
        medium,
        new MediumCure.Heating(
            bounds.lowest(shown),
            bounds.highest(shown),
            bounds.ceiling(shown, end, hottest),
            bounds.error(shown),
            end,
            unknown.stream().map(gap -> new MediumCure.Stretch(gap.from(), gap.until())).toList()),
        MediaBounds.sum(unknown),
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

  /** To where something is counted; free cooling needs no medium. */
  private double end(Until until, double release) {
    return until == Until.RELEASE ? release : run.opening();
  }

  private @Nullable String missing(List<ChannelLog> inside, List<ChannelLog> outside) {
    if (inside.stream().noneMatch(bounds::known)) {
      return NO_INSIDE;
    }
    return outside.stream().noneMatch(bounds::known) ? NO_OUTSIDE : null;
  }

  private HeatEstimate estimate(
      CavityLoad load,
      List<ChannelLog> inside,
      List<ChannelLog> outside,
      HeatSection of,
      double release) {
    double coldest = definition.greenTyre().coldest().in(Unit.CELSIUS);
    double warmest = definition.greenTyre().warmest().in(Unit.CELSIUS);
    if (load.greenTemperature() != null) {
      coldest = load.greenTemperature().in(Unit.CELSIUS);
      warmest = coldest;
    }
    double cold = coldest;
    double warm = warmest;
    return known.computeIfAbsent(
        cold + " " + warm + " " + release + MediaBounds.codes(inside) + MediaBounds.codes(outside),
        key ->
            HeatEstimate.of(
                of,
                new HeatEstimate.Heating(
                    bounds.lowest(inside),
                    bounds.highest(inside),
                    bounds.lowest(outside),
                    bounds.highest(outside),
                    cold,
                    warm,
                    bounds.error(inside),
                    bounds.error(outside),
                    release,
                    run.opening(),
                    gaps(inside, outside, of))));
  }

  /** The traces at the bounds of their gaps; null where none has a gap. */
  private HeatEstimate.@Nullable Gaps gaps(
      List<ChannelLog> inside, List<ChannelLog> outside, HeatSection of) {
    OptionalDouble hottestInside = of.hottest(Medium.INSIDE);
    OptionalDouble hottestOutside = of.hottest(Medium.OUTSIDE);
    if (Stream.concat(
            bounds.unknown(inside, run.opening(), hottestInside),
            bounds.unknown(outside, run.opening(), hottestOutside))
        .findAny()
        .isEmpty()) {
      return null;
    }
    return new HeatEstimate.Gaps(
        bounds.floor(inside, of.coldest(Medium.INSIDE, definition), hottestInside),
        bounds.floor(outside, of.coldest(Medium.OUTSIDE, definition), hottestOutside),
        bounds.ceiling(inside, run.opening(), hottestInside),
        bounds.ceiling(outside, run.opening(), hottestOutside));
  }

  /**
   * What heats the tyre at the least, of a cavity that these logs serve.
   *
   * @param insideError largest error of the sensors inside, in kelvin
   * @param outsideError largest error of the sensors outside, in kelvin
   * @param channels codes of the channels, the same for cavities that share them
   * @param unknown which channels are not known for some time, in words; empty where all are known
   */
  record Least(
      Trace inside,
      Trace outside,
      double insideError,
      double outsideError,
      String channels,
      String unknown) {}

  /** The same, by the bounds that a verdict takes; empty where nothing is known of a medium. */
  Optional<Least> least(List<ChannelLog> serving, HeatSection of) {
    List<ChannelLog> inside = MediaBounds.of(serving, Medium.INSIDE);
    List<ChannelLog> outside = MediaBounds.of(serving, Medium.OUTSIDE);
    if (missing(inside, outside) != null) {
      return Optional.empty();
    }
    OptionalDouble hottestInside = of.hottest(Medium.INSIDE);
    OptionalDouble hottestOutside = of.hottest(Medium.OUTSIDE);
    return Optional.of(
        new Least(
            bounds.floor(inside, of.coldest(Medium.INSIDE, definition), hottestInside),
            bounds.floor(outside, of.coldest(Medium.OUTSIDE, definition), hottestOutside),
            bounds.error(inside),
            bounds.error(outside),
            MediaBounds.codes(inside) + MediaBounds.codes(outside),
            Stream.concat(
                    inside.stream().flatMap(one -> bounds.words(one, hottestInside).stream()),
                    outside.stream().flatMap(one -> bounds.words(one, hottestOutside).stream()))
                .collect(Collectors.joining("; "))));
  }

  private List<Reason> hotter(List<ChannelLog> logs, OptionalDouble hottest, String line) {
    return hottest.isEmpty()
        ? List.of()
        : logs.stream()
            .filter(bounds::known)
            .flatMap(one -> Plausibility.hotter(one, hottest.getAsDouble(), line, log).stream())
            .toList();
  }
}
