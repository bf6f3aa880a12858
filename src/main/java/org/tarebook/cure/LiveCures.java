package org.tarebook.cure;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Service;
import org.tarebook.compound.CompoundKinetics;
import org.tarebook.cure.CavityFigures.Equivalents;
import org.tarebook.cure.LiveView.CavityNow;
import org.tarebook.cure.LiveView.Drift;
import org.tarebook.cure.LiveView.StepNow;
import org.tarebook.cure.Run.Part;
import org.tarebook.quantity.Unit;
import org.tarebook.schedule.CureSchedules;
import org.tarebook.schedule.HeatProgress;
import org.tarebook.schedule.HeatSection;
import org.tarebook.schedule.ScheduleDefinition;
import org.tarebook.schedule.ScheduleDefinition.Place;
import org.tarebook.schedule.ScheduleDefinition.SetPoint;
import org.tarebook.schedule.ScheduleDefinition.Wanted;
import org.tarebook.schedule.ScheduleRevision;

/** Tells how a load stands while it runs, from the samples there are. Nothing is stored. */
@Service
class LiveCures {

  private static final double LOOK_BACK = 120;
  private static final double LOOK_AHEAD = 5;

  private final Verdicts verdicts;
  private final CureSchedules schedules;
  private final CompoundKinetics kinetics;

  LiveCures(Verdicts verdicts, CureSchedules schedules, CompoundKinetics kinetics) {
    this.verdicts = verdicts;
    this.schedules = schedules;
    this.kinetics = kinetics;
  }

  LiveView of(Cure cure) {
    CureLog log = verdicts.log(cure);
    double now = Math.min(newest(log), ended(cure));
    Instant at = log.samples() == 0 ? null : log.at(now);
    Long revisionId = cure.revisionId();
    if (revisionId == null) {
      return view(cure, at, now, null, List.of(), List.of());
    }
    ScheduleRevision revision = schedules.revisionById(revisionId);
    ScheduleDefinition definition = revision.definition();
    Run run = Run.of(definition, log, now);
    Optional<Part> part =
        run.at(now)
            .or(() -> run.upTo(now).parts().stream().reduce((one, other) -> other))
            .filter(of -> of.from() <= now)
            .filter(of -> log.samples() > 0 && cure.closing() == null);
    return view(
        cure,
        at,
        now,
        part.map(of -> step(of, now)).orElse(null),
        cavities(cure, definition, log, now, verdicts.judge(cure, log, revision)),
        part.map(of -> drifts(cure, of, log, now)).orElse(List.of()));
  }

  private static LiveView view(
      Cure cure,
      @Nullable Instant at,
      double now,
      @Nullable StepNow step,
      List<CavityNow> cavities,
      List<Drift> drifts) {
    return new LiveView(
        String.valueOf(cure.id()),
        cure.version(),
        at,
        Reason.decimal(now),
        step,
        cavities,
        drifts,
        CureViews.CAUTION);
  }

  /** When it was closed, in seconds from its start; what was logged after that heated no tyre. */
  private static double ended(Cure cure) {
    Cure.Closing closing = cure.closing();
    return closing == null
        ? Double.POSITIVE_INFINITY
        : Duration.between(cure.startedAt(), closing.at()).toMillis() / 1000.0;
  }

  private static double newest(CureLog log) {
    return log.channels().values().stream()
        .filter(one -> !one.empty())
        .mapToDouble(one -> one.seconds()[one.seconds().length - 1])
        .max()
        .orElse(0);
  }

  private static StepNow step(Part part, double now) {
    double target = part.step().target().toMillis() / 1000.0;
    return new StepNow(
        part.step().name(),
        Reason.decimal(now - part.from()),
        Reason.decimal(target - (now - part.from())));
  }

  private List<CavityNow> cavities(
      Cure cure, ScheduleDefinition definition, CureLog log, double now, Judge judge) {
    HeatSection section = HeatSection.of(definition, kinetics::require).orElse(null);
    Double wanted = wanted(definition);
    Map<String, HeatProgress> known = new HashMap<>();
    List<CavityNow> found = new ArrayList<>();
    for (CavityLoad load : cure.cavities()) {
      Map<String, String> notComputed = new LinkedHashMap<>();
      List<Equivalents> media = judge.media(load, notComputed);
      Optional<CavityHeat.Least> least =
          section == null || now <= 0 ? Optional.empty() : judge.least(load, section);
      if (section == null || least.isEmpty()) {
        found.add(
            new CavityNow(
                load.cavity(),
                null,
                null,
                null,
                null,
                null,
                section == null
                    ? "the schedule has no section"
                    : "no believable temperature inside or outside yet",
                media,
                notComputed));
        continue;
      }
      double green =
          load.greenTemperature() == null
              ? definition.greenTyre().coldest().in(Unit.CELSIUS)
              : load.greenTemperature().in(Unit.CELSIUS);
      HeatProgress progress =
          known.computeIfAbsent(
              green + least.get().channels(),
              same ->
                  HeatProgress.of(
                      section,
                      new HeatProgress.Media(
                          least.get().inside(),
                          least.get().outside(),
                          green,
                          least.get().insideError(),
                          least.get().outsideError()),
                      now,
                      wanted == null ? Double.POSITIVE_INFINITY : wanted,
                      definition.holds(true),
                      cure.closing() == null));
      found.add(
          cavity(cure, load, progress, wanted, log, least.get().unknown(), media, notComputed));
    }
    return found;
  }

  private static CavityNow cavity(
      Cure cure,
      CavityLoad load,
      HeatProgress progress,
      @Nullable Double wanted,
      CureLog log,
      String unknown,
      List<Equivalents> media,
      Map<String, String> notComputed) {
    OptionalDouble after = progress.enoughAfter();
    Instant enough =
        after.isPresent() && after.getAsDouble() <= ended(cure)
            ? log.at(after.getAsDouble())
            : null;
    return new CavityNow(
        load.cavity(),
        Reason.decimal(progress.minutes()),
        progress.lower() == null ? null : Reason.decimal(progress.lower()),
        progress.layer(),
        wanted == null ? null : Reason.decimal(wanted),
        enough,
        missing(
            enough != null
                ? ""
                : cure.closing() != null
                    ? "the load is closed; its verdict tells what it had"
                    : wanted == null
                        ? "the schedule wants no minimum at the slowest place"
                        : progress.lower() == null
                            ? "the uncertainty of a source of doubt is not known"
                            : "not within four hours at these temperatures",
            unknown),
        media,
        notComputed);
  }

  /** The most that is wanted of the slowest place before the press opens. */
  private static @Nullable Double wanted(ScheduleDefinition definition) {
    Double most =
        definition.blowPoint() == null
            ? null
            : Double.valueOf(definition.blowPoint().needed().doubleValue());
    for (Wanted wanted : definition.wantedOrNone()) {
      if (wanted.place() == Place.SLOWEST && wanted.minimum() != null) {
        double minimum = wanted.minimum().doubleValue();
        most = most == null ? Double.valueOf(minimum) : Double.valueOf(Math.max(most, minimum));
      }
    }
    return most;
  }

  /** Why the moment of enough is absent, and what has no credit; null where there is neither. */
  private static @Nullable String missing(String enough, String unknown) {
    String missing =
        enough.isEmpty() || unknown.isEmpty() ? enough + unknown : enough + "; " + unknown;
    return missing.isEmpty() ? null : missing;
  }

  private static List<Drift> drifts(Cure cure, Part part, CureLog log, double now) {
    List<Drift> found = new ArrayList<>();
    for (SetPoint setPoint : part.step().setPoints()) {
      double settle = setPoint.settle() == null ? 0 : setPoint.settle().toMillis() / 1000.0;
      if (now < part.from() + settle) {
        continue;
      }
      for (Channel channel : cure.channels()) {
        boolean meant =
            channel.measured() == setPoint.measured()
                && (setPoint.circuitEnd() == null || setPoint.circuitEnd() == channel.circuitEnd());
        if (meant && !log.get(channel).empty()) {
          drift(channel, setPoint, log, now).ifPresent(found::add);
        }
      }
    }
    return found;
  }

  private static Optional<Drift> drift(
      Channel channel, SetPoint setPoint, CureLog log, double now) {
    ChannelLog one = log.get(channel);
    Band band = new Band(setPoint, channel, log.barometer());
    int last = one.seconds().length - 1;
    int first = Math.min(last, one.first(now - LOOK_BACK));
    double shown = one.shown()[last];
    double span = one.seconds()[last] - one.seconds()[first];
    double perMinute = span <= 0 ? 0 : (shown - one.shown()[first]) / span * 60;
    boolean out = band.outside(shown) != 0;
    boolean heading = !out && band.outside(shown + perMinute * LOOK_AHEAD) != 0;
    if (!out && !heading) {
      return Optional.empty();
    }
    return Optional.of(
        new Drift(
            channel.code(),
            Words.capital(channel.words())
                + (out
                    ? " is out of its band."
                    : " leaves its band within five minutes if it goes on like this."),
            Reason.decimal(shown),
            channel.unit(),
            Reason.decimal(perMinute),
            out,
            channel.shared()));
  }
}
