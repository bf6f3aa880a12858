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
import org.tarebook.plant.Repeat;
import org.tarebook.plant.Station;
import org.tarebook.plant.Stations;
import org.tarebook.quantity.Unit;
import org.tarebook.stats.measuring.CrossedStudy;
import org.tarebook.storage.Ids;

/**
 * Records and withdraws measuring uncertainties. What was judged by another one stays as it is:
 * readings that could not be judged for want of one get successor results at once.
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

  /**
   * An uncertainty somebody wants recorded: stated, or to be computed from a study.
   *
   * @param expanded absent where a study is given, and only there
   */
  record Draft(
      String key,
      Station station,
      Characteristic characteristic,
      @Nullable BigDecimal expanded,
      Unit unit,
      BigDecimal coverageFactor,
      Instant validFrom,
      String basis,
      @Nullable CrossedReadings study) {}

  /** A revision, and whether it was on record before. */
  record Outcome(MeasuringUncertainty uncertainty, boolean replayed) {}

  /** A withdrawn revision, and how many readings got a successor result. */
  record Withdrawn(MeasuringUncertainty uncertainty, long readings) {}

  /** Records a revision. A repeat under the same key changes nothing. */
  Outcome record(Draft draft, Actor actor) {
    BigDecimal expanded = expanded(draft);
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

  private MeasuringUncertainty add(Draft draft, BigDecimal expanded, Actor actor) {
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
    long judged =
        readings.judgeAgain(
            characteristic.id(),
            station.id(),
            fresh.validFrom(),
            null,
            "uncertainty revision " + fresh.revision() + " recorded");
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
                fresh.basis(),
                "readings",
                judged));
    return fresh;
  }

  /** Withdraws a wrong revision; its readings are judged again by what then is in force. */
  Withdrawn withdraw(long id, String reason, Actor actor) {
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
              long judged =
                  readings.judgeAgain(
                      wrong.characteristicId(),
                      wrong.stationId(),
                      wrong.validFrom(),
                      end,
                      "uncertainty revision " + wrong.revision() + " withdrawn");
              tools
                  .audit()
                  .record(
                      actor,
                      "withdrawn",
                      "measuring uncertainty",
                      name(wrong),
                      Map.of("reason", reason, "readings", judged));
              return new Withdrawn(uncertainties.get(id), judged);
            });
  }

  private String name(MeasuringUncertainty of) {
    return stations.byId(of.stationId()).code()
        + "/"
        + characteristics.byId(of.characteristicId()).code()
        + "/"
        + of.revision();
  }

  private static BigDecimal expanded(Draft draft) {
    CrossedReadings study = draft.study();
    if ((draft.expanded() == null) == (study == null)) {
      throw Problem.at(
          ProblemType.RULE_BROKEN,
          "/expandedUncertainty",
          "give it, or a study to compute it from, one of the two");
    }
    if (study == null) {
      return java.util.Objects.requireNonNull(draft.expanded());
    }
    CrossedStudy crossed = CrossedStudy.of(study.full("/study/parts"));
    double sd = Math.sqrt(crossed.components().truncated().measuring());
    BigDecimal found = MeasuringUncertainty.recorded(draft.coverageFactor().doubleValue() * sd);
    if (found.signum() == 0) {
      throw Problem.at(
          ProblemType.RULE_BROKEN,
          "/study",
          "its readings do not vary, so the instrument reads too coarsely to show its uncertainty;"
              + " state expandedUncertainty, at least from the rounding to its interval");
    }
    return found;
  }

  private void requireSame(Draft draft, MeasuringUncertainty stored) {
    CrossedReadings study = draft.study();
    Optional<CrossedReadings> storedStudy = store.study(stored.id());
    content(
            draft.station(),
            draft.characteristic(),
            draft.expanded(),
            draft.unit(),
            draft.coverageFactor(),
            draft.validFrom(),
            draft.basis(),
            study)
        .requireSameAs(
            content(
                stations.byId(stored.stationId()),
                characteristics.byId(stored.characteristicId()),
                storedStudy.isPresent() ? null : stored.expanded(),
                stored.unit(),
                stored.coverageFactor(),
                stored.validFrom(),
                stored.basis(),
                storedStudy.orElse(null)),
            draft.key(),
            "measuring uncertainty " + stored.id());
  }

  private static Repeat content(
      Station station,
      Characteristic characteristic,
      @Nullable BigDecimal expanded,
      Unit unit,
      BigDecimal coverageFactor,
      Instant validFrom,
      String basis,
      @Nullable CrossedReadings study) {
    return new Repeat()
        .with("/station", station.code())
        .with("/characteristic", characteristic.code())
        .with("/expandedUncertainty", expanded)
        .with("/unit", unit.code())
        .with("/coverageFactor", coverageFactor)
        .with("/validFrom", validFrom)
        .with("/basis", basis)
        .with("/study", study == null ? null : study.words());
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
        && readings.judgedWithUncertainty(
            fresh.characteristicId(), fresh.stationId(), fresh.validFrom())) {
      faults.add(
          "/validFrom",
          "may not be earlier than "
              + earliest
              + " ("
              + lead.toSeconds()
              + " s from now), because readings of this station measured since "
              + fresh.validFrom()
              + " were judged with another uncertainty already");
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
