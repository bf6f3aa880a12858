package org.tarebook.spec;

import java.io.InputStream;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.function.BiConsumer;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import org.springframework.beans.factory.annotation.Value;
import org.springframework.stereotype.Service;
import org.tarebook.audit.Actor;
import org.tarebook.http.Faults;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.Register;
import org.tarebook.storage.CatchUp;

/** Records and withdraws revisions; the readings they judge follow in a catch-up. */
@Service
class SpecificationChanges {

  private final SpecificationRepository repository;
  private final Specifications specifications;
  private final MeasuringUncertainties uncertainties;
  private final JudgedReadings readings;
  private final Register.Tools tools;
  private final Duration lead;

  SpecificationChanges(
      SpecificationRepository repository,
      Specifications specifications,
      MeasuringUncertainties uncertainties,
      JudgedReadings readings,
      Register.Tools tools,
      @Value("${tarebook.specification-lead}") Duration lead) {
    this.repository = repository;
    this.specifications = specifications;
    this.uncertainties = uncertainties;
    this.readings = readings;
    this.tools = tools;
    this.lead = lead;
  }

  /** A revision somebody wants recorded. */
  record Draft(
      Instant validFrom,
      @Nullable Instant validBefore,
      Specification.Limits limits,
      String reason) {}

  /** A revision, and whether it was on record before. */
  record Outcome(Specification specification, boolean replayed) {}

  /** Records a revision in a transaction of its own. */
  Outcome record(Characteristic characteristic, Draft draft, Actor actor) {
    return tools.transactions().write(() -> add(characteristic, draft, actor));
  }

  /** Records a CSV of revisions, all or nothing. */
  <R> Register.Recorded recordAll(
      InputStream csv, Class<R> rowType, BiConsumer<R, SpecificationChanges> record) {
    return tools
        .transactions()
        .write(
            () ->
                new Register.Recorded(
                    tools.bodies().everyCsvRow(csv, rowType, row -> record.accept(row, this))));
  }

  /** Records a revision inside the caller's transaction. */
  Outcome add(Characteristic characteristic, Draft draft, Actor actor) {
    readings.lock(characteristic.id());
    List<Specification> before = specifications.of(characteristic);
    for (Specification known : before) {
      if (known.stands()
          && known.validFrom().equals(draft.validFrom())
          && known.limits().sameAs(draft.limits())
          && Objects.equals(known.validBefore(), draft.validBefore())
          && known.reason().equals(draft.reason())
          && known.person().equals(actor.name())) {
        return new Outcome(known, true);
      }
    }
    Instant now = tools.clock().instant();
    Faults faults = new Faults();
    checkLimits(draft, faults);
    checkDates(characteristic, draft, new Revisions(before), now, faults);
    if (faults.none()) {
      checkGuardBands(characteristic, draft, faults);
    }
    faults.throwIfAny(ProblemType.RULE_BROKEN);
    Specification fresh =
        new Specification(
                characteristic.id(),
                before.size() + 1,
                draft.validFrom(),
                draft.validBefore(),
                draft.limits())
            .signedBy(actor.name(), draft.reason(), now);
    Specification stored = repository.saveAndFlush(fresh);
    tools.masterVersion().bump();
    Instant end = new Revisions(before).endOf(stored);
    if (readings.any(characteristic.id(), null, stored.validFrom(), end)) {
      judgeAgain(stored, end, "recorded");
    }
    tools.audit().record(actor, "created", "specification", name(characteristic, stored), draft);
    return new Outcome(stored, false);
  }

  /** How many readings a withdrawal would judge again. */
  long readingsOf(Characteristic characteristic, Specification specification) {
    return readings.count(
        characteristic.id(),
        specification.validFrom(),
        new Revisions(specifications.of(characteristic)).endOf(specification));
  }

  /** Withdraws a wrong revision; its readings are then judged again by what is in force. */
  Specification withdraw(Characteristic characteristic, int revision, String reason, Actor actor) {
    return tools
        .transactions()
        .write(
            () -> {
              readings.lock(characteristic.id());
              Specification wrong = specifications.get(characteristic, revision);
              if (!wrong.stands()) {
                throw new Problem(
                    ProblemType.CONFLICT,
                    "Revision "
                        + revision
                        + " was withdrawn already, by "
                        + wrong.withdrawnBy()
                        + " at "
                        + wrong.withdrawnAt()
                        + ".");
              }
              Instant end = new Revisions(specifications.of(characteristic)).endOf(wrong);
              wrong.withdraw(actor.name(), reason, tools.clock().instant());
              Specification stored = repository.saveAndFlush(wrong);
              tools.masterVersion().bump();
              judgeAgain(stored, end, "withdrawn");
              tools
                  .audit()
                  .record(
                      actor,
                      "withdrawn",
                      "specification",
                      name(characteristic, stored),
                      Map.of("reason", reason));
              return stored;
            });
  }

  private void judgeAgain(Specification changed, @Nullable Instant before, String how) {
    readings.judgeAgain(
        new JudgedReadings.Again(
            JudgedReadings.by(changed),
            changed.characteristicId(),
            null,
            changed.validFrom(),
            before,
            "revision " + changed.revision() + " " + how));
  }

  /** How far the judging again of a characteristic's readings is, by revision. */
  Map<String, CatchUp.Progress> judgingAgain(Characteristic characteristic) {
    return readings.judgingAgain(characteristic.id());
  }

  private static String name(Characteristic characteristic, Specification specification) {
    return characteristic.code() + "/" + specification.revision();
  }

  private static void checkLimits(Draft draft, Faults faults) {
    Specification.Limits limits = draft.limits();
    if (limits.lower() == null && limits.upper() == null) {
      faults.add("/lower", "give a lower limit, an upper limit or both");
    }
    if (limits.lower() != null
        && limits.upper() != null
        && limits.lower().compareTo(limits.upper()) > 0) {
      faults.add(
          "/lower",
          "the lower limit "
              + limits.lower()
              + " is above the upper limit "
              + limits.upper()
              + "; exchange them");
    }
    if (limits.target() != null
        && limits.lower() != null
        && limits.target().compareTo(limits.lower()) < 0) {
      faults.add("/target", "the target is below the lower limit " + limits.lower());
    }
    if (limits.target() != null
        && limits.upper() != null
        && limits.target().compareTo(limits.upper()) > 0) {
      faults.add("/target", "the target is above the upper limit " + limits.upper());
    }
  }

  private void checkDates(
      Characteristic characteristic, Draft draft, Revisions before, Instant now, Faults faults) {
    Instant from = draft.validFrom();
    Instant end = draft.validBefore();
    if (end != null && !end.isAfter(from)) {
      faults.add("/validBefore", "must lie behind validFrom");
      end = null;
    }
    List<Revisions.Stretch> parts =
        before.besidesWithdrawn(from, end == null ? before.nextAfter(from) : end);
    if (!parts.isEmpty()) { // else no revision stands there
      checkOrder(draft, before, faults);
    }
    Instant earliest = now.plus(lead);
    if (from.isBefore(earliest)) {
      parts.stream()
          .filter(part -> readings.any(characteristic.id(), null, part.from(), part.before()))
          .map(Revisions.Stretch::from)
          .findFirst()
          .ifPresent(
              since ->
                  faults.add(
                      "/validFrom",
                      "may not be earlier than "
                          + earliest
                          + " ("
                          + lead.toSeconds()
                          + " s from now), because readings measured since "
                          + since
                          + " are on record and were judged already"
                          + (since.isAfter(from)
                              ? "; or end the revision there, with validBefore"
                              : "")));
    }
  }

  private static void checkOrder(Draft draft, Revisions before, Faults faults) {
    before
        .last()
        .ifPresent(
            last -> {
              if (!draft.validFrom().isAfter(last.validFrom())) {
                faults.add(
                    "/validFrom",
                    "overlaps revision "
                        + last.revision()
                        + ", which begins "
                        + last.validFrom()
                        + "; a new revision begins behind it, or withdraw that one first");
              } else if (last.validBefore() != null
                  && draft.validFrom().isBefore(last.validBefore())) {
                faults.add(
                    "/validFrom",
                    "overlaps revision "
                        + last.revision()
                        + ", which was stated to hold until "
                        + last.validBefore());
              }
            });
  }

  /** Refuses what would leave nothing to pass with an uncertainty that is known. */
  private void checkGuardBands(Characteristic characteristic, Draft draft, Faults faults) {
    uncertainties.of(characteristic).stream()
        .collect(Collectors.groupingBy(MeasuringUncertainty::stationId))
        .forEach(
            (station, revisions) -> {
              for (MeasuringUncertainty known :
                  new UncertaintyRevisions(revisions)
                      .during(draft.validFrom(), draft.validBefore())) {
                draft
                    .limits()
                    .whyNothingPasses(known)
                    .ifPresent(
                        why ->
                            faults.add(
                                "/guardFactor",
                                "leaves nothing to pass with measuring uncertainty "
                                    + known.id()
                                    + ": "
                                    + why
                                    + "; use a smaller one, or record a smaller uncertainty first"));
              }
            });
  }
}
