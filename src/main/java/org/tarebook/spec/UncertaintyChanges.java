package org.tarebook.spec;

import java.math.BigDecimal;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.springframework.beans.factory.annotation.Value;
import org.springframework.stereotype.Service;
import org.tarebook.audit.Actor;
import org.tarebook.http.Faults;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.Register;
import org.tarebook.plant.Station;
import org.tarebook.plant.Stations;
import org.tarebook.storage.CatchUp;
import org.tarebook.storage.Ids;

/**
 * Records and withdraws measuring uncertainties. What was judged by another one stays as it is:
 * readings that could not be judged for want of one get successor results in a catch-up.
 */
@Service
class UncertaintyChanges {

  private final MeasuringUncertainties uncertainties;
  private final UncertaintyStore store;
  private final Specifications specifications;
  private final Characteristics characteristics;
  private final Stations stations;
  private final JudgedReadings readings;
  private final Register.Tools tools;
  private final Ids ids;
  private final Duration lead;

  UncertaintyChanges(
      MeasuringUncertainties uncertainties,
      UncertaintyStore store,
      Specifications specifications,
      Characteristics characteristics,
      Stations stations,
      JudgedReadings readings,
      Register.Tools tools,
      Ids ids,
      @Value("${tarebook.specification-lead}") Duration lead) {
    this.uncertainties = uncertainties;
    this.store = store;
    this.specifications = specifications;
    this.characteristics = characteristics;
    this.stations = stations;
    this.readings = readings;
    this.tools = tools;
    this.ids = ids;
    this.lead = lead;
  }

  /** A revision, and whether it was on record before. */
  record Outcome(MeasuringUncertainty uncertainty, boolean replayed) {}

  /** Records a revision. A repeat under the same key changes nothing. */
  Outcome record(UncertaintyDraft draft, Actor actor) {
    BigDecimal expanded = draft.toRecord();
    return tools
        .transactions()
        .write(
            () -> {
              readings.lock(draft.characteristic().id());
              Optional<MeasuringUncertainty> known = store.find(actor.name(), draft.key());
              if (known.isPresent()) {
                requireSame(draft, known.get());
                return new Outcome(known.get(), true);
              }
              return new Outcome(add(draft, expanded, actor), false);
            });
  }

  private MeasuringUncertainty add(UncertaintyDraft draft, BigDecimal expanded, Actor actor) {
    Characteristic characteristic = draft.characteristic();
    Station station = draft.station();
    List<MeasuringUncertainty> before = uncertainties.of(characteristic, station.id());
    Instant now = tools.clock().instant();
    MeasuringUncertainty fresh =
        new MeasuringUncertainty(
            ids.next(),
            station.id(),
            characteristic.id(),
            before.size() + 1,
            draft.key(),
            draft.validFrom(),
            expanded,
            draft.unit(),
            draft.coverageFactor(),
            draft.basis(),
            draft.study() != null,
            actor.name(),
            now,
            null);
    Faults faults = new Faults();
    checkDates(fresh, new UncertaintyRevisions(before), faults);
    checkGuardBands(characteristic, fresh, draft.study() == null, faults);
    faults.throwIfAny(ProblemType.RULE_BROKEN);
    store.add(fresh, draft.study());
    tools.masterVersion().bump();
    if (readings.any(characteristic.id(), station.id(), fresh.validFrom(), null)) {
      judgeAgain(fresh, null, "recorded");
    }
    tools
        .audit()
        .record(
            actor,
            "created",
            "measuring uncertainty",
            name(fresh),
            Map.of(
                "expandedUncertainty",
                expanded,
                "unit",
                fresh.unit().code(),
                "validFrom",
                fresh.validFrom(),
                "basis",
                fresh.basis()));
    return fresh;
  }

  /** Withdraws a wrong revision; its readings are then judged again by what is in force. */
  MeasuringUncertainty withdraw(long id, String reason, Actor actor) {
    return tools
        .transactions()
        .write(
            () -> {
              readings.lock(uncertainties.get(id).characteristicId());
              MeasuringUncertainty wrong = uncertainties.get(id);
              if (wrong.withdrawal() != null) {
                throw new Problem(
                    ProblemType.CONFLICT,
                    "It was withdrawn already, by "
                        + wrong.withdrawal().person()
                        + " on "
                        + wrong.withdrawal().recordedAt()
                        + ".");
              }
              Characteristic characteristic = characteristics.byId(wrong.characteristicId());
              Instant end =
                  new UncertaintyRevisions(uncertainties.of(characteristic, wrong.stationId()))
                      .endOf(wrong);
              store.withdraw(
                  id,
                  new MeasuringUncertainty.Withdrawal(
                      reason, actor.name(), tools.clock().instant()));
              tools.masterVersion().bump();
              judgeAgain(wrong, end, "withdrawn");
              tools
                  .audit()
                  .record(
                      actor,
                      "withdrawn",
                      "measuring uncertainty",
                      name(wrong),
                      Map.of("reason", reason));
              return uncertainties.get(id);
            });
  }

  private void judgeAgain(MeasuringUncertainty changed, @Nullable Instant before, String how) {
    readings.judgeAgain(
        new JudgedReadings.Again(
            JudgedReadings.by(changed),
            changed.characteristicId(),
            changed.stationId(),
            changed.validFrom(),
            before,
            "uncertainty revision " + changed.revision() + " " + how));
  }

  /** How far the judging again is that a revision asked for; absent where none was necessary. */
  CatchUp.@Nullable Progress judgingAgain(MeasuringUncertainty of) {
    return readings.judgingAgain(of.characteristicId()).get(JudgedReadings.by(of));
  }

  private String name(MeasuringUncertainty of) {
    return stations.byId(of.stationId()).code()
        + "/"
        + characteristics.byId(of.characteristicId()).code()
        + "/"
        + of.revision();
  }

  private void requireSame(UncertaintyDraft draft, MeasuringUncertainty stored) {
    Optional<CrossedReadings> study = store.study(stored.id());
    new UncertaintyDraft(
            stored.key(),
            stations.byId(stored.stationId()),
            characteristics.byId(stored.characteristicId()),
            study.isPresent() ? null : stored.expanded(),
            stored.unit(),
            stored.coverageFactor(),
            stored.validFrom(),
            stored.basis(),
            study.orElse(null))
        .requireSameAs(draft, "measuring uncertainty " + stored.id());
  }

  private void checkDates(MeasuringUncertainty fresh, UncertaintyRevisions before, Faults faults) {
    before
        .last()
        .filter(last -> !fresh.validFrom().isAfter(last.validFrom()))
        .ifPresent(
            last ->
                faults.add(
                    "/validFrom",
                    "overlaps revision "
                        + last.revision()
                        + ", which begins "
                        + last.validFrom()
                        + "; a new revision begins behind it, or withdraw that one first"));
    Instant earliest = fresh.recordedAt().plus(lead);
    if (fresh.validFrom().isBefore(earliest)
        && readings.judgedWith(
            before.ids(), fresh.characteristicId(), fresh.stationId(), fresh.validFrom())) {
      faults.add(
          "/validFrom",
          "may not be earlier than "
              + earliest
              + " ("
              + lead.toSeconds()
              + " s from now), because readings of this station measured since "
              + fresh.validFrom()
              + " were or will be judged with another uncertainty already on record");
    }
  }

  /** Refuses what would leave nothing to pass while a guarded specification is in force. */
  private void checkGuardBands(
      Characteristic characteristic, MeasuringUncertainty fresh, boolean stated, Faults faults) {
    List<Specification> all = specifications.of(characteristic);
    Revisions revisions = new Revisions(all);
    for (Specification specification : all) {
      Instant end = revisions.endOf(specification);
      if (specification.stands() && (end == null || end.isAfter(fresh.validFrom()))) {
        specification
            .limits()
            .whyNothingPasses(fresh)
            .ifPresent(
                why ->
                    faults.add(
                        stated ? "/expandedUncertainty" : "/study",
                        "leaves nothing to pass under specification revision "
                            + specification.revision()
                            + ": "
                            + why
                            + "; measure better, or record a revision with a smaller guardFactor or"
                            + " a wider tolerance first"));
      }
    }
  }
}
