package org.tarebook.plant;

import java.time.Instant;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Service;
import org.tarebook.audit.Actor;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;

/** Records what instruments can show, in revisions; the readings they concern follow at once. */
@Service
class InstrumentRevisions {

  private final Instruments instruments;
  private final InstrumentRepository repository;
  private final Stations stations;
  private final WeighedReadings readings;
  private final Register.Tools tools;

  InstrumentRevisions(
      Instruments instruments,
      InstrumentRepository repository,
      Stations stations,
      WeighedReadings readings,
      Register.Tools tools) {
    this.instruments = instruments;
    this.repository = repository;
    this.stations = stations;
    this.readings = readings;
    this.tools = tools;
  }

  /**
   * A revision somebody wants recorded.
   *
   * @param differs what differs from what stands; what is absent stays
   * @param unknown the members that are not known any more, by their names
   */
  record Draft(
      String key,
      Instant validFrom,
      InstrumentRevision.Scale differs,
      Set<String> unknown,
      String reason) {

    private InstrumentRevision.Scale over(InstrumentRevision.Scale stands) {
      return new InstrumentRevision.Scale(
          either("capacity", differs.capacity(), stands.capacity()),
          either("interval", differs.interval(), stands.interval()),
          either(
              "verificationInterval",
              differs.verificationInterval(),
              stands.verificationInterval()),
          either("accuracyClass", differs.accuracyClass(), stands.accuracyClass()));
    }

    private <T> @Nullable T either(String member, @Nullable T now, @Nullable T stands) {
      if (unknown.contains(member)) {
        if (now != null) {
          throw Problem.at(
              ProblemType.RULE_BROKEN,
              "/" + member,
              "is " + now + " here and named in unknown too; send it in one of the two places");
        }
        return null;
      }
      return now == null ? stands : now;
    }

    private static Repeat content(
        Instant validFrom, InstrumentRevision.Scale scale, String reason) {
      return new Repeat()
          .with("/validFrom", validFrom)
          .with("/capacity", scale.capacity())
          .with("/interval", scale.interval())
          .with("/verificationInterval", scale.verificationInterval())
          .with("/accuracyClass", scale.accuracyClass())
          .with("/reason", reason);
    }
  }

  /**
   * A revision that is on record.
   *
   * @param revision its number within the instrument
   * @param replayed whether it was recorded before
   */
  record Revised(Instrument instrument, int revision, boolean replayed) {}

  /** Records a revision. A repeat under the same key changes nothing. */
  Revised record(String code, Draft draft, Object request, Actor actor) {
    long station = instruments.get(code).stationId();
    return tools
        .transactions()
        .write(
            () -> {
              stations.lock(List.of(station));
              Instrument instrument = instruments.get(code);
              List<InstrumentRevision> known = instrument.revisions();
              for (int i = 0; i < known.size(); i++) {
                InstrumentRevision each = known.get(i);
                if (draft.key().equals(each.factKey()) && actor.name().equals(each.person())) {
                  requireSame(draft, instrument.scale(draft.validFrom(), i), each, i + 1);
                  return new Revised(instrument, i + 1, true);
                }
              }
              return add(instrument, draft, request, actor);
            });
  }

  private Revised add(Instrument instrument, Draft draft, Object request, Actor actor) {
    InstrumentRevision.Scale stands = instrument.scale(draft.validFrom());
    InstrumentRevision.Scale scale = draft.over(stands);
    if (scale.equals(stands)) {
      throw new Problem(
          ProblemType.RULE_BROKEN,
          "The revision changes nothing: from %s on instrument %s has %s. Send what differs."
              .formatted(draft.validFrom(), instrument.code(), stands.words(instrument.unit())));
    }
    scale.requireOfItsClass(instrument.unit());
    Instant end = instrument.nextChange(draft.validFrom());
    instrument.revise(
        InstrumentRevision.of(
            draft.validFrom(),
            scale,
            draft.key(),
            draft.reason(),
            actor.name(),
            tools.clock().instant()));
    Instrument stored = repository.saveAndFlush(instrument);
    stored.judgedAgain(readings.capacityChanged(stored, draft.validFrom(), end));
    stored = repository.saveAndFlush(stored);
    tools.masterVersion().bump();
    tools.audit().record(actor, "revised", "instrument", stored.code(), request);
    return new Revised(stored, stored.revisions().size(), false);
  }

  private static void requireSame(
      Draft draft, InstrumentRevision.Scale stood, InstrumentRevision stored, int revision) {
    Draft.content(draft.validFrom(), draft.over(stood), draft.reason())
        .requireSameAs(
            Draft.content(stored.validFrom(), stored.scale(), String.valueOf(stored.reason())),
            draft.key(),
            "revision " + revision);
  }
}
