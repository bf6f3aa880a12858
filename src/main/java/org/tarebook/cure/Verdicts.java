package org.tarebook.cure;

import java.time.Clock;
import java.time.Duration;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import org.springframework.beans.factory.annotation.Value;
import org.springframework.stereotype.Service;
import org.tarebook.audit.Actor;
import org.tarebook.compound.CompoundKinetics;
import org.tarebook.cure.Verdict.CavityVerdict;
import org.tarebook.plant.Presses;
import org.tarebook.schedule.CureSchedules;
import org.tarebook.schedule.HeatModel;
import org.tarebook.schedule.ScheduleDefinition;
import org.tarebook.schedule.ScheduleRevision;
import org.tarebook.schedule.ThermocoupleStudies;
import org.tarebook.storage.Ids;
import org.tarebook.storage.WriteLocks;
import org.tarebook.thermal.Barometer;

/** The verdicts on cures: reached under the cure's lock, kept for ever, succeeded by later ones. */
@Service
public class Verdicts {

  /**
   * How far weather moves the barometer from the one of the altitude, in kPa (common practice: 3
   * kPa covers most days).
   */
  private static final double WEATHER = 3;

  private final PieceStore pieces;
  private final SettlementStore settlements;
  private final VerdictStore store;
  private final CureSchedules schedules;
  private final ThermocoupleStudies studies;
  private final CompoundKinetics kinetics;
  private final Presses presses;
  private final List<VerdictFollower> followers;
  private final WriteLocks locks;
  private final Ids ids;
  private final Clock clock;
  private final Duration clockAhead;

  Verdicts(
      PieceStore pieces,
      SettlementStore settlements,
      VerdictStore store,
      CureSchedules schedules,
      ThermocoupleStudies studies,
      CompoundKinetics kinetics,
      Presses presses,
      List<VerdictFollower> followers,
      WriteLocks locks,
      Ids ids,
      Clock clock,
      @Value("${tarebook.clock-ahead}") Duration clockAhead) {
    this.pieces = pieces;
    this.settlements = settlements;
    this.store = store;
    this.schedules = schedules;
    this.studies = studies;
    this.kinetics = kinetics;
    this.presses = presses;
    this.followers = followers;
    this.locks = locks;
    this.ids = ids;
    this.clock = clock;
    this.clockAhead = clockAhead;
  }

  /** The verdicts on a cure, the first one first. */
  public List<Verdict> of(long cureId) {
    return store.of(cureId);
  }

  Verdict last(long cureId) {
    return store
        .last(cureId)
        .orElseThrow(() -> new IllegalStateException("Cure " + cureId + " has no verdict"));
  }

  /** What the present method says of cavities that an earlier one judged. */
  record Otherwise(Verdict standing, List<CavityVerdict> now) {
    boolean differs() {
      Map<Integer, CavityVerdict> then = new HashMap<>();
      standing.cavities().forEach(one -> then.put(one.cavity(), one));
      return now.stream()
          .anyMatch(
              one -> {
                CavityVerdict before = then.get(one.cavity());
                return before == null
                    || before.verdict() != one.verdict()
                    || !weighing(before).equals(weighing(one));
              });
    }
  }

  /** Verdicts that stand and were reached by an earlier method, after an id. */
  List<Verdict> byEarlierMethod(long after, int limit) {
    return store.byEarlierMethod(Verdict.METHOD, after, limit);
  }

  /** Judges a cure by the present method and stores nothing. */
  Otherwise otherwise(Cure cure, Verdict standing) {
    return new Otherwise(standing, judge(cure, log(cure)));
  }

  /** Judges a closed cure and stores the verdict. Call it under the lock of the cure. */
  Verdict reach(Cure cure, Verdict.Because because, Actor actor) {
    return reach(cure, because, null, actor);
  }

  /** Judges a closed cure because a person asks for it, under the lock of the cure. */
  Verdict reach(Cure cure, Verdict.Asked asked, Actor actor) {
    return reach(cure, Verdict.Because.ASKED, asked, actor);
  }

  private Verdict reach(
      Cure cure, Verdict.Because because, Verdict.@Nullable Asked asked, Actor actor) {
    Optional<Verdict> before = store.last(cure.id());
    CureLog log = log(cure);
    List<CavityVerdict> cavities = judge(cure, log);
    Verdict verdict =
        new Verdict(
            ids.next(),
            cure.id(),
            before.map(Verdict::number).orElse(0) + 1,
            cure.revisionId(),
            because,
            Verdict.METHOD,
            asked,
            clock.instant(),
            actor.name(),
            cure.version(),
            log.samples(),
            cavities,
            before.map(earlier -> changed(earlier, cure, cavities, log)).orElse(List.of()));
    for (VerdictFollower follower : followers) {
      follower.reached(cure, verdict, before.orElse(null), actor);
    }
    store.add(verdict, locks.take(cure.pressId())); // after the locks that followers take
    return verdict;
  }

  /** The log of a cure as it is now. */
  CureLog log(Cure cure) {
    return CureLog.of(cure, pieces.read(cure.id()), settlements.of(cure.id()), barometer(cure));
  }

  /** The samples of a cure as they were sent. */
  LoggedSamples samples(Cure cure) {
    List<PieceStore.Stored> stored = pieces.read(cure.id());
    return new LoggedSamples(
        cure, CureLog.of(cure, stored, settlements.of(cure.id()), barometer(cure)), stored);
  }

  private double barometer(Cure cure) {
    return cure.barometer() != null
        ? cure.barometer().doubleValue()
        : Barometer.kiloPascalAt(presses.byId(cure.pressId()).altitude().doubleValue());
  }

  private List<CavityVerdict> judge(Cure cure, CureLog log) {
    Long revisionId = cure.revisionId();
    if (revisionId == null) {
      return withoutSchedule(cure);
    }
    return judge(cure, log, schedules.revisionById(revisionId)).cavities();
  }

  /** Judges a load by a revision: a closed one whole, a running one as far as it has come. */
  Judge judge(Cure cure, CureLog log, ScheduleRevision revision) {
    ScheduleDefinition definition = revision.definition();
    double end = end(cure, log);
    CureLog within = log.within(Math.max(0, end), definition.largestGap().toMillis() / 1000.0);
    Run run = Run.of(definition, within, end);
    return new Judge(
        cure,
        definition,
        within,
        cure.closing() == null ? run.upTo(end) : run,
        cure.barometer() == null ? WEATHER : 0,
        HeatModel.of(definition, kinetics::require),
        studies.of(revision),
        clockAhead.toMillis() / 1000.0,
        end);
  }

  private static double end(Cure cure, CureLog log) {
    Cure.Closing closing = cure.closing();
    if (closing != null) {
      return Duration.between(log.zero(), closing.at()).toNanos() / 1e9;
    }
    return log.channels().values().stream()
        .filter(one -> !one.empty())
        .mapToDouble(one -> one.seconds()[one.seconds().length - 1])
        .max()
        .orElse(0);
  }

  private static List<CavityVerdict> withoutSchedule(Cure cure) {
    Reason none =
        Reason.of(
                Reason.Code.NO_SCHEDULE,
                Reason.Weight.DOUBT,
                "No revision of the schedule was in force when the cure started.")
            .done();
    CavityFigures nothing =
        new CavityFigures(
            List.of(),
            null,
            null,
            null,
            null,
            null,
            null,
            null,
            null,
            null,
            List.of(),
            List.of(),
            Map.of("everything", "no schedule was in force"));
    return cure.cavities().stream()
        .map(load -> CavityVerdict.of(load.cavity(), List.of(none), nothing))
        .toList();
  }

  private List<String> changed(
      Verdict before, Cure cure, List<CavityVerdict> cavities, CureLog log) {
    List<String> changes = new ArrayList<>();
    if (!Objects.equals(before.revisionId(), cure.revisionId())) {
      changes.add(
          "judged by "
              + revision(cure.revisionId())
              + " instead of "
              + revision(before.revisionId()));
    }
    if (before.samples() != log.samples()) {
      changes.add("from " + log.samples() + " samples instead of " + before.samples());
    }
    if (before.method() != Verdict.METHOD) {
      changes.add("by method " + Verdict.METHOD + " instead of " + before.method());
    }
    Map<Integer, CavityVerdict> earlier = new HashMap<>();
    before.cavities().forEach(one -> earlier.put(one.cavity(), one));
    for (CavityVerdict now : cavities) {
      CavityVerdict then = earlier.get(now.cavity());
      if (then == null) {
        continue;
      }
      if (then.verdict() != now.verdict()) {
        changes.add(
            "cavity " + now.cavity() + " is " + now.verdict() + " instead of " + then.verdict());
      }
      Set<Reason.Code> gone = codes(then);
      gone.removeAll(codes(now));
      Set<Reason.Code> come = codes(now);
      come.removeAll(codes(then));
      if (!gone.isEmpty()) {
        changes.add("cavity " + now.cavity() + " no longer has " + gone);
      }
      if (!come.isEmpty()) {
        changes.add("cavity " + now.cavity() + " now has " + come);
      }
    }
    return changes;
  }

  /** The reasons that bear on a verdict. */
  private static Set<Reason.Code> weighing(CavityVerdict of) {
    Set<Reason.Code> codes = new TreeSet<>();
    of.reasons().stream()
        .filter(reason -> reason.weight() != Reason.Weight.REMARK)
        .forEach(reason -> codes.add(reason.code()));
    return codes;
  }

  private static Set<Reason.Code> codes(CavityVerdict of) {
    Set<Reason.Code> codes = new TreeSet<>();
    of.reasons().forEach(reason -> codes.add(reason.code()));
    return codes;
  }

  private String revision(@Nullable Long id) {
    return id == null ? "no revision" : "revision " + schedules.revisionNumber(id);
  }

  /** For a cure that is judged anew: the revision in force when it started, as of now. */
  @Nullable Long revisionNow(Cure cure) {
    return schedules
        .inForce(cure.scheduleId(), cure.startedAt())
        .map(ScheduleRevision::id)
        .orElse(null);
  }
}
