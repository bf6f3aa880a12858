package org.tarebook.schedule;

import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Service;
import org.tarebook.audit.Actor;
import org.tarebook.http.Faults;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.Register;
import org.tarebook.storage.Ids;

/** Records and withdraws revisions of schedules. */
@Service
class ScheduleChanges {

  private final CureSchedules schedules;
  private final RevisionStore store;
  private final PinnedCompounds compounds;
  private final ScheduleRules rules;
  private final JudgedCures cures;
  private final Register.Tools tools;
  private final Ids ids;

  ScheduleChanges(
      CureSchedules schedules,
      RevisionStore store,
      PinnedCompounds compounds,
      ScheduleRules rules,
      JudgedCures cures,
      Register.Tools tools,
      Ids ids) {
    this.schedules = schedules;
    this.store = store;
    this.compounds = compounds;
    this.rules = rules;
    this.cures = cures;
    this.tools = tools;
    this.ids = ids;
  }

  /** A revision somebody wants recorded. */
  record Draft(
      String key,
      Instant validFrom,
      ScheduleDefinition definition,
      String reason,
      @Nullable String doubtReason) {}

  /** A revision, and whether it was on record before. */
  record Outcome(ScheduleRevision revision, boolean replayed) {}

  /** A withdrawn revision, and how many cures are to be judged again. */
  record Withdrawn(ScheduleRevision revision, long cures) {}

  Outcome record(CureSchedule schedule, Draft draft, Actor actor) {
    return tools
        .transactions()
        .write(
            () -> {
              store.lock(schedule.id());
              List<ScheduleRevision> before = store.of(schedule.id());
              for (ScheduleRevision known : before) {
                if (known.key().equals(draft.key()) && known.person().equals(actor.name())) {
                  requireSame(known, draft, compounds.in(draft.definition(), known.definition()));
                  return new Outcome(known, true);
                }
              }
              ScheduleDefinition pinned = compounds.in(draft.definition(), null);
              rules.check(pinned, draft.doubtReason() != null);
              checkFrom(schedule, draft, before);
              ScheduleRevision fresh =
                  new ScheduleRevision(
                      ids.next(),
                      schedule.id(),
                      before.size() + 1,
                      draft.key(),
                      draft.validFrom(),
                      pinned,
                      draft.reason(),
                      draft.doubtReason(),
                      actor.name(),
                      tools.clock().instant(),
                      null);
              store.add(fresh);
              cures.changed(schedule.id(), fresh.validFrom());
              tools
                  .audit()
                  .record(actor, "created", "cure schedule revision", name(schedule, fresh), draft);
              return new Outcome(store.byId(fresh.id()), false);
            });
  }

  /** How many cures a withdrawal would have judged again. */
  long curesOf(ScheduleRevision revision) {
    return cures.cures(revision.id());
  }

  Withdrawn withdraw(CureSchedule schedule, int revision, String reason, Actor actor) {
    return tools
        .transactions()
        .write(
            () -> {
              store.lock(schedule.id());
              ScheduleRevision wrong = schedules.revision(schedule, revision);
              if (wrong.withdrawal() != null) {
                throw new Problem(
                    ProblemType.CONFLICT,
                    "Revision "
                        + revision
                        + " was withdrawn already, by "
                        + wrong.withdrawal().person()
                        + " at "
                        + wrong.withdrawal().at()
                        + ".");
              }
              long concerned = cures.cures(wrong.id());
              store.withdraw(
                  wrong.id(),
                  new ScheduleRevision.Withdrawal(tools.clock().instant(), actor.name(), reason));
              cures.changed(schedule.id(), wrong.validFrom());
              tools
                  .audit()
                  .record(
                      actor,
                      "withdrawn",
                      "cure schedule revision",
                      name(schedule, wrong),
                      Map.of("reason", reason, "cures", concerned));
              return new Withdrawn(schedules.revision(schedule, revision), concerned);
            });
  }

  private void checkFrom(CureSchedule schedule, Draft draft, List<ScheduleRevision> before) {
    Faults faults = new Faults();
    before.stream()
        .filter(ScheduleRevision::stands)
        .reduce((earlier, later) -> later)
        .filter(last -> !draft.validFrom().isAfter(last.validFrom()))
        .ifPresent(
            last ->
                faults.add(
                    "/validFrom",
                    "must lie behind "
                        + last.validFrom()
                        + ", where revision "
                        + last.revision()
                        + " begins; or withdraw that one first"));
    long judged = cures.curesSince(schedule.id(), draft.validFrom());
    if (judged > 0 && !corrects(draft, before)) {
      faults.add(
          "/validFrom",
          "lies before "
              + judged
              + (judged == 1 ? " cure that is" : " cures that are")
              + " judged already; let it begin now or later, or withdraw the revision it corrects");
    }
    faults.throwIfAny(ProblemType.RULE_BROKEN);
  }

  /** Whether it takes the place of a withdrawn revision that no standing one has replaced. */
  private static boolean corrects(Draft draft, List<ScheduleRevision> before) {
    return before.stream()
        .filter(known -> !known.stands() && !known.validFrom().isAfter(draft.validFrom()))
        .anyMatch(
            withdrawn ->
                before.stream()
                    .filter(ScheduleRevision::stands)
                    .noneMatch(known -> !known.validFrom().isBefore(withdrawn.validFrom())));
  }

  private void requireSame(ScheduleRevision known, Draft draft, ScheduleDefinition pinned) {
    Faults faults = new Faults();
    if (!known.validFrom().equals(draft.validFrom())) {
      faults.add("/validFrom", "is " + known.validFrom() + " in the stored revision");
    }
    if (!known.reason().equals(draft.reason())) {
      faults.add("/reason", "is '" + known.reason() + "' in the stored revision");
    }
    if (!Objects.equals(known.doubtReason(), draft.doubtReason())) {
      faults.add(
          "/doubtReason",
          known.doubtReason() == null
              ? "is absent from the stored revision"
              : "is '" + known.doubtReason() + "' in the stored revision");
    }
    tools
        .bodies()
        .differences(pinned, known.definition())
        .forEach(
            member ->
                faults.add(
                    "/definition/" + member,
                    "differs from the stored revision " + known.revision()));
    faults.throwIfAny(ProblemType.KEY_REUSED);
  }

  private static String name(CureSchedule schedule, ScheduleRevision revision) {
    return schedule.code() + "/" + revision.revision();
  }
}
