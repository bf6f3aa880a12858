package org.tarebook.cure;

import java.math.BigDecimal;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import org.tarebook.compound.Kinetics;
import org.tarebook.cure.Run.Part;
import org.tarebook.cure.Verdict.CavityVerdict;
import org.tarebook.quantity.Unit;
import org.tarebook.schedule.HeatModel;
import org.tarebook.schedule.HeatSection;
import org.tarebook.schedule.Measured;
import org.tarebook.schedule.ScheduleDefinition;
import org.tarebook.schedule.ScheduleDefinition.SetPoint;
import org.tarebook.schedule.StepKind;
import org.tarebook.schedule.ThermocoupleStudy;
import org.tarebook.thermal.DomeSteam;

/**
 * Judges one load. What belongs to a channel is looked at once and told of every cavity the channel
 * serves; then each cavity is looked at by itself.
 */
final class Judge {

  private final Cure cure;
  private final ScheduleDefinition definition;
  private final CureLog log;
  private final Run run;
  private final double barometerError;
  private final CavityHeat heat;
  private final Completeness completeness;
  private final Map<String, List<Reason>> ofChannel = new LinkedHashMap<>();
  private final Set<String> disbelieved = new HashSet<>();
  private final Map<List<ChannelLog>, Dome> domes = new HashMap<>();
  private final List<Reason> ofAll = new ArrayList<>();

  Judge(
      Cure cure,
      ScheduleDefinition definition,
      CureLog log,
      Run run,
      double barometerError,
      HeatModel model,
      List<ThermocoupleStudy> studies,
      double clockAhead,
      double closed) {
    this.cure = cure;
    this.definition = definition;
    this.log = log;
    this.run = run;
    this.barometerError = barometerError;
    this.heat =
        new CavityHeat(definition, model, run, log, studies, disbelieved, cure.closing() == null);
    this.completeness = new Completeness(definition, run, log);
    lookAtChannels();
    lookAtRun(clockAhead, closed);
    lookAtKinetics(model);
  }

  List<CavityVerdict> cavities() {
    return cure.cavities().stream().map(this::judge).toList();
  }

  private void lookAtChannels() {
    Plausibility plausibility = new Plausibility(definition, run, log);
    ChannelPairs pairs = new ChannelPairs(plausibility, run, log);
    for (Channel channel : cure.channels()) {
      ofChannel.put(channel.code(), new ArrayList<>(plausibility.of(log.get(channel))));
    }
    for (int i = 0; i < cure.channels().size(); i++) {
      for (int j = i + 1; j < cure.channels().size(); j++) {
        for (Reason doubt :
            pairs.of(log.get(cure.channels().get(i)), log.get(cure.channels().get(j)))) {
          reasonsOf(String.valueOf(doubt.channel())).add(doubt);
        }
      }
    }
    ofChannel.forEach(
        (code, doubts) -> {
          if (doubts.stream().anyMatch(Plausibility::disbelieved)) {
            disbelieved.add(code);
          }
        });
    for (Channel channel : cure.channels()) {
      List<Reason> found = reasonsOf(channel.code());
      for (Reason breach : SetPoints.of(log.get(channel), run, log)) {
        found.add(
            disbelieved.contains(channel.code())
                ? breach.unproven("its channel cannot be believed")
                : breach);
      }
      found.addAll(completeness.gaps(channel));
    }
  }

  private List<Reason> reasonsOf(String channel) {
    return ofChannel.computeIfAbsent(channel, code -> new ArrayList<>());
  }

  private void lookAtRun(double clockAhead, double closed) {
    if (log.samples() == 0) {
      ofAll.add(
          Reason.of(Reason.Code.NO_LOG, Reason.Weight.DOUBT, "There is no log of this load.")
              .done());
      return;
    }
    boolean clockBack =
        log.channels().values().stream().anyMatch(one -> !one.clockSteps().isEmpty());
    for (Reason duration : SetPoints.durations(run, log)) {
      ofAll.add(clockBack ? duration.unproven("the recorder's clock went back") : duration);
    }
    if (!run.marked()) {
      ofAll.add(noMarks());
      lookAtClosing(closed);
    }
    for (String step : run.unmarked()) {
      if (run.marked()) {
        ofAll.add(
            Reason.of(
                    Reason.Code.STEP_NOT_MARKED,
                    Reason.Weight.DOUBT,
                    "The log marks other steps but not " + step + ".")
                .during(step)
                .done());
      }
    }
    for (String step : run.disordered()) {
      ofAll.add(
          Reason.of(
                  Reason.Code.STEPS_DISORDERED,
                  Reason.Weight.DOUBT,
                  "Step "
                      + step
                      + " is marked after a step that the schedule has later, a second time, or"
                      + " after the load closed.")
              .during(step)
              .done());
    }
    if (log.aheadBy() > clockAhead) {
      ofAll.add(
          Reason.of(
                  Reason.Code.CLOCK_AHEAD,
                  Reason.Weight.DOUBT,
                  "The recorder's clock was at least "
                      + Words.seconds(log.aheadBy())
                      + " ahead of the server's.")
              .amount(log.aheadBy(), Unit.SECOND.code())
              .wanted(clockAhead)
              .done());
    }
  }

  /** Whether the load closed when steps laid out by target times can have ended. */
  private void lookAtClosing(double closed) {
    Part last = run.parts().get(run.parts().size() - 1);
    double least = last.from() + last.step().least().toMillis() / 1000.0;
    double most = last.from() + last.step().most().toMillis() / 1000.0;
    if (closed < least - Excursion.MOMENT || closed > most + Excursion.MOMENT) {
      ofAll.add(
          Reason.of(
                  Reason.Code.CLOSING_DISAGREES,
                  Reason.Weight.DOUBT,
                  "The load closed "
                      + Words.seconds(closed)
                      + " after its start. By the target times of the schedule its last step ends "
                      + Words.seconds(least)
                      + " to "
                      + Words.seconds(most)
                      + " after it, so the steps were not run by them.")
              .from(log.at(closed), log.at(closed))
              .amount(closed, Unit.SECOND.code())
              .line("/steps")
              .done());
    }
  }

  private void lookAtKinetics(HeatModel model) {
    Set<String> trials = new TreeSet<>();
    model.kinetics().all().stream()
        .filter(Kinetics::trial)
        .forEach(its -> trials.add("revision " + its.revision() + " of " + its.compound()));
    if (!trials.isEmpty()) {
      ofAll.add(
          Reason.of(
                  Reason.Code.TRIAL_KINETICS,
                  Reason.Weight.REMARK,
                  "The equivalents rest on kinetics that are on trial: "
                      + String.join(", ", trials)
                      + ".")
              .line(model.section() == null ? "/media" : "/section/layers")
              .done());
    }
  }

  private Reason noMarks() {
    boolean stated = Boolean.TRUE.equals(definition.stepsBySchedule());
    return Reason.of(
            stated ? Reason.Code.STEPS_BY_SCHEDULE : Reason.Code.NO_MARKS,
            stated ? Reason.Weight.REMARK : Reason.Weight.DOUBT,
            "The log marks no steps; they are laid out by the target times of the schedule"
                + (stated
                    ? ", as it states."
                    : ", so nothing shows when each began. Send marks, or state in the schedule"
                        + " that the press sends none (stepsBySchedule)."))
        .line("/stepsBySchedule")
        .done();
  }

  /**
   * What the media themselves come to in one cavity; adds to notComputed why figures are absent.
   */
  List<CavityFigures.Equivalents> media(CavityLoad load, Map<String, String> notComputed) {
    return heat.ofMedia(logs(serving(load)), new ArrayList<>(), notComputed);
  }

  /** What heats the tyre in a cavity at the least; empty where nothing is known of a medium. */
  Optional<CavityHeat.Least> least(CavityLoad load, HeatSection section) {
    return heat.least(logs(serving(load)), section);
  }

  private List<Channel> serving(CavityLoad load) {
    return cure.channels().stream().filter(channel -> channel.serves(load.cavity())).toList();
  }

  private List<ChannelLog> logs(List<Channel> serving) {
    return serving.stream().map(log::get).toList();
  }

  private CavityVerdict judge(CavityLoad load) {
    List<Channel> serving = serving(load);
    List<Reason> reasons = new ArrayList<>(ofAll);
    serving.forEach(channel -> reasons.addAll(reasonsOf(channel.code())));
    reasons.addAll(completeness.missing(serving));
    reasons.addAll(GreenTyreLimits.hold(load, definition.greenTyre(), cure.startedAt()));
    List<Channel> believed =
        serving.stream().filter(one -> !disbelieved.contains(one.code())).toList();
    Serving media = new Serving(logs(believed), barometerError);
    Dome dome = dome(media);
    Water water = new Water(definition, run, log, media);
    Faces faces = new Faces(definition, run, log, media);
    dome.reasons().forEach(reason -> reasons.add(proven(reason)));
    water.reasons().forEach(reason -> reasons.add(proven(reason)));
    faces.reasons().forEach(reason -> reasons.add(proven(reason)));
    limits(dome, water, faces, reasons);
    Map<String, String> notComputed = new LinkedHashMap<>();
    List<CavityFigures.Equivalents> equivalents =
        heat.of(load, logs(serving), reasons, notComputed);
    return CavityVerdict.of(
        load.cavity(), reasons, figures(serving, dome, water, faces, equivalents, notComputed));
  }

  /** A breach is not proven where it lies in a step whose end is not marked. */
  private Reason proven(Reason reason) {
    Instant from = reason.from();
    Instant until = reason.until();
    if (from == null || until == null) {
      return reason;
    }
    return run.parts().stream()
        .filter(part -> !part.sure())
        .filter(part -> log.at(part.from()).isBefore(until) && from.isBefore(log.at(part.until())))
        .findFirst()
        .map(part -> part.proven(reason))
        .orElse(reason);
  }

  /** The limits of the schedule that nothing was there to hold. */
  private void limits(Dome dome, Water water, Faces faces, List<Reason> reasons) {
    if (definition.mostDomeDepression() != null && dome.figure().isEmpty()) {
      reasons.add(notHeld("the depression of the dome", "/mostDomeDepression"));
    }
    if (definition.leastWaterMargin() != null && water.figure().isEmpty()) {
      reasons.add(notHeld("the margin of the hot water above flashing", "/leastWaterMargin"));
    }
    if (definition.leastCirculation() != null && !water.circulationSeen()) {
      reasons.add(notHeld("the circulation of the hot water", "/leastCirculation"));
    }
    if (definition.mostInsideOutside() != null && faces.difference().isEmpty()) {
      reasons.add(notHeld("the difference of inside and outside", "/mostInsideOutside"));
    }
  }

  private static Reason notHeld(String what, String line) {
    return Reason.of(
            Reason.Code.LIMIT_NOT_HELD,
            Reason.Weight.DOUBT,
            "The schedule limits "
                + what
                + ", and no channels that can be believed tell it together.")
        .line(line)
        .done();
  }

  /** The dome by the logs that tell of it, looked at once for all cavities that share them. */
  private Dome dome(Serving media) {
    return domes.computeIfAbsent(
        media.logs(
            channel ->
                channel.measured() == Measured.DOME_TEMPERATURE
                    || channel.measured() == Measured.DOME_PRESSURE),
        logs -> new Dome(definition, run, log, media));
  }

  private CavityFigures figures(
      List<Channel> serving,
      Dome steam,
      Water hotWater,
      Faces faces,
      List<CavityFigures.Equivalents> equivalents,
      Map<String, String> notComputed) {
    Dome.Figure dome = steam.figure().orElse(null);
    Water.Figure water = hotWater.figure().orElse(null);
    Double difference = faces.difference().orElse(null);
    Double soak = soak(serving);
    if (dome == null) {
      notComputed.put("domeDepression", "no believable dome temperature and pressure under steam");
    }
    if (water == null) {
      notComputed.put(
          "waterMargin", "no believable internal temperature and pressure in hot water");
    }
    if (difference == null) {
      notComputed.put("insideOutside", "no believable internal and outside temperature");
    }
    if (soak == null) {
      notComputed.put("soak", "no believable internal temperature with a set point");
    }
    boolean flushed =
        run.parts().stream().anyMatch(part -> part.step().kind() == StepKind.COOLING_FLUSH);
    if (!flushed) {
      notComputed.put("cooling", "the schedule has no cooling flush");
    } else if (!run.marked()) {
      notComputed.put("cooling", "the log marks no steps");
    }
    DomeSteam seen = dome == null ? null : dome.steam();
    return new CavityFigures(
        equivalents,
        soak == null ? null : Reason.decimal(soak),
        seen == null ? null : Reason.decimal(seen.depression()),
        seen == null ? null : Reason.decimal(seen.depressionError()),
        decimal(seen == null ? null : seen.airFraction()),
        decimal(seen == null ? null : seen.airLeast()),
        decimal(seen == null ? null : seen.airMost()),
        water == null ? null : Reason.decimal(water.subcooling()),
        difference == null ? null : Reason.decimal(difference),
        flushed && run.marked() ? Reason.decimal(run.length(StepKind.COOLING_FLUSH)) : null,
        serving.stream().filter(channel -> !channel.shared()).map(Channel::code).toList(),
        serving.stream().filter(Channel::shared).map(Channel::code).toList(),
        notComputed);
  }

  private static @Nullable BigDecimal decimal(@Nullable Double figure) {
    return figure == null ? null : Reason.decimal(figure);
  }

  /** Time within the band of internal temperature while the tyre is heated; the least channel. */
  private @Nullable Double soak(List<Channel> serving) {
    Double least = null;
    for (Channel channel : serving) {
      if (channel.measured() != Measured.INTERNAL_TEMPERATURE
          || disbelieved.contains(channel.code())
          || log.get(channel).empty()) {
        continue;
      }
      Double soaked = soak(log.get(channel));
      least =
          soaked == null ? least : least == null ? soaked : Double.valueOf(Math.min(least, soaked));
    }
    return least;
  }

  private @Nullable Double soak(ChannelLog one) {
    double inside = 0;
    boolean any = false;
    for (Part part : run.parts()) {
      StepKind kind = part.step().kind();
      if (!kind.beforeRelease() || kind == StepKind.COOLING_FLUSH) {
        continue;
      }
      for (SetPoint setPoint : part.step().setPoints()) {
        if (one.channel().meantBy(setPoint)) {
          any = true;
          inside +=
              new Course(one, part.from(), part.from(), part.until(), false, run.largestGap())
                  .inside(new Band(setPoint, one.channel(), log.barometer()));
        }
      }
    }
    return any ? inside : null;
  }
}
