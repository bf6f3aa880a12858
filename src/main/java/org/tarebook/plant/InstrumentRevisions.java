package org.tarebook.plant;

import java.time.Instant;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Service;
import org.tarebook.audit.Actor;

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

  /** A revision somebody wants recorded. */
  record Draft(String key, Instant validFrom, InstrumentRevision.Scale scale, String reason) {

    private Repeat words() {
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
   * @param judgedAgain how many readings were judged again because of it; absent on a repeat
   */
  record Revised(Instrument instrument, int revision, @Nullable Long judgedAgain) {}

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
                  requireSame(draft, each, i + 1);
                  return new Revised(instrument, i + 1, null);
                }
              }
              return add(instrument, draft, request, actor);
            });
  }

  private Revised add(Instrument instrument, Draft draft, Object request, Actor actor) {
    draft.scale().requireOfItsClass(instrument.unit());
    Instant end = instrument.nextChange(draft.validFrom());
    instrument.revise(
        InstrumentRevision.of(
            draft.validFrom(),
            draft.scale(),
            draft.key(),
            draft.reason(),
            actor.name(),
            tools.clock().instant()));
    Instrument stored = repository.saveAndFlush(instrument);
    long judged = readings.capacityChanged(stored, draft.validFrom(), end);
    tools.masterVersion().bump();
    tools.audit().record(actor, "revised", "instrument", stored.code(), request);
    return new Revised(stored, stored.revisions().size(), judged);
  }

  private static void requireSame(Draft draft, InstrumentRevision stored, int revision) {
    Draft kept =
        new Draft(draft.key(), stored.validFrom(), stored.scale(), String.valueOf(stored.reason()));
    draft.words().requireSameAs(kept.words(), draft.key(), "revision " + revision);
  }
}
