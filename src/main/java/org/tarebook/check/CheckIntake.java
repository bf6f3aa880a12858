package org.tarebook.check;

import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;
import org.springframework.beans.factory.annotation.Value;
import org.springframework.stereotype.Service;
import org.tarebook.audit.Actor;
import org.tarebook.audit.Audit;
import org.tarebook.chart.Plans;
import org.tarebook.http.Problem;
import org.tarebook.http.Problem.Fault;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.Instrument;
import org.tarebook.plant.Instruments;
import org.tarebook.plant.Repeat;
import org.tarebook.plant.Stations;
import org.tarebook.storage.Ids;
import org.tarebook.storage.Transactions;

/** Takes in checks and voidings of checks, each with the doubts that follow in one transaction. */
@Service
class CheckIntake {

  private static final String SUBJECT = "instrument check";

  private final InstrumentChecks checks;
  private final CheckStore store;
  private final DoubtStore doubts;
  private final DoubtedReadings readings;
  private final Instruments instruments;
  private final Stations stations;
  private final Plans plans;
  private final Transactions transactions;
  private final Audit audit;
  private final Ids ids;
  private final Clock clock;
  private final Duration clockAhead;

  CheckIntake(
      InstrumentChecks checks,
      CheckStore store,
      DoubtStore doubts,
      DoubtedReadings readings,
      Instruments instruments,
      Stations stations,
      Plans plans,
      Transactions transactions,
      Audit audit,
      Ids ids,
      Clock clock,
      @Value("${tarebook.clock-ahead}") Duration clockAhead) {
    this.checks = checks;
    this.store = store;
    this.doubts = doubts;
    this.readings = readings;
    this.instruments = instruments;
    this.stations = stations;
    this.plans = plans;
    this.transactions = transactions;
    this.audit = audit;
    this.ids = ids;
    this.clock = clock;
    this.clockAhead = clockAhead;
  }

  /**
   * What recording or voiding came to.
   *
   * @param replayed whether it was recorded before
   */
  record Recorded(InstrumentCheck check, boolean replayed) {}

  /**
   * Records a check, finds the doubts of its instrument anew from all its checks, and has the
   * readings follow, those of a long window after the transaction. A repeat under the same key
   * changes nothing.
   */
  Recorded record(Instrument instrument, InstrumentCheck.Posted posted, Actor actor) {
    requireOwn(instrument, actor);
    return transactions.write(
        () -> {
          stations.lock(List.of(instrument.stationId()));
          Optional<InstrumentCheck> stored = store.find(actor.name(), posted.key());
          if (stored.isPresent()) {
            requireSame(instrument, posted, stored.get());
            return new Recorded(stored.get(), true);
          }
          InstrumentCheck check = judged(instrument, posted, actor);
          store.add(check);
          follow(instrument, new DoubtedReadings.By(check.id(), false));
          audit.record(
              actor, "recorded", SUBJECT, String.valueOf(check.id()), detail(instrument, posted));
          return new Recorded(check, false);
        });
  }

  /**
   * Voids a check that was recorded wrongly: doubts and readings follow as if it had never been
   * made. A repeat under the same key changes nothing.
   */
  Recorded voidCheck(long id, String key, String reason, Actor actor) {
    Instrument instrument = instruments.byId(get(id).instrument());
    return transactions.write(
        () -> {
          stations.lock(List.of(instrument.stationId()));
          Optional<InstrumentCheck> same = store.findVoided(actor.name(), key);
          if (same.isPresent()) {
            content(id, reason)
                .requireSameAs(
                    content(
                        same.get().id(),
                        same.map(InstrumentCheck::voiding)
                            .map(InstrumentCheck.Voiding::reason)
                            .orElse("")),
                    key,
                    "the voiding of instrument check " + same.get().id());
            return new Recorded(same.get(), true);
          }
          InstrumentCheck.Voiding earlier = get(id).voiding();
          if (earlier != null) {
            throw new Problem(
                ProblemType.CONFLICT,
                "Instrument check %d was voided already by %s (%s). Record a new check where one was made."
                    .formatted(id, earlier.person(), earlier.reason()));
          }
          InstrumentCheck.Voiding voiding =
              new InstrumentCheck.Voiding(key, reason, actor.name(), clock.instant());
          store.addVoiding(id, voiding);
          follow(instrument, new DoubtedReadings.By(id, true));
          audit.record(actor, "voided", SUBJECT, String.valueOf(id), voiding);
          return new Recorded(get(id), false);
        });
  }

  private InstrumentCheck get(long id) {
    return store
        .find(id)
        .orElseThrow(() -> Problem.notFound("instrument check", String.valueOf(id)));
  }

  private static Repeat content(long check, String reason) {
    return new Repeat().with("/check", check).with("/reason", reason);
  }

  private static Map<String, Object> detail(Instrument instrument, InstrumentCheck.Posted posted) {
    return Map.of("instrument", instrument.code(), "check", posted);
  }

  private void follow(Instrument instrument, DoubtedReadings.By by) {
    Doubts before = doubts.of(instrument);
    CheckHistory history = new CheckHistory(store.outcomes(instrument.id()));
    Doubts after = history.doubts();
    doubts.replace(instrument.id(), before, after);
    doubts.noteRight(instrument.id(), history.lastRight().orElse(null));
    doubts.noteEffect(by);
    after
        .changedSince(before)
        .map(window -> readings.doubtsChanged(by, instrument, window.from(), window.before()))
        .ifPresent(effect -> doubts.addEffect(by, effect));
  }

  private InstrumentCheck judged(
      Instrument instrument, InstrumentCheck.Posted posted, Actor actor) {
    Instant now = clock.instant();
    if (posted.checkedAt().isAfter(now.plus(clockAhead))) {
      throw Problem.at(
          ProblemType.RULE_BROKEN,
          "/checkedAt",
          "is more than "
              + clockAhead
              + " ahead of the server's clock, which shows "
              + now
              + "; set the clock that gave it, and send it again");
    }
    PermissibleError limit =
        PermissibleError.choose(
            checks.checkPlan(plans.current()).permissibleError(instrument),
            instrument,
            instrument.scale(posted.checkedAt()),
            posted.certified(instrument.unit()),
            posted.onVerification());
    return InstrumentCheck.judged(
        ids.next(), instrument.id(), instrument.unit(), posted, limit, now, actor.name());
  }

  private void requireOwn(Instrument instrument, Actor actor) {
    String station = stations.byId(instrument.stationId()).code();
    if (actor.kind() == Actor.Kind.STATION && !station.equals(actor.station())) {
      throw Problem.at(
          ProblemType.NOT_ALLOWED,
          "/instrument",
          "hangs at station "
              + station
              + ", and this token is of station "
              + actor.station()
              + "; post with that station's token or a person's");
    }
  }

  private void requireSame(
      Instrument instrument, InstrumentCheck.Posted posted, InstrumentCheck stored) {
    List<Fault> differences = new ArrayList<>();
    if (stored.instrument() != instrument.id()) {
      differences.add(
          Fault.at(
              "/instrument",
              "is "
                  + instrument.code()
                  + " here and "
                  + instruments.byId(stored.instrument()).code()
                  + " in the stored check"));
    }
    differences.addAll(posted.differencesFrom(stored.posted()));
    if (!differences.isEmpty()) {
      throw new Problem(
          ProblemType.KEY_REUSED,
          "The key "
              + posted.key()
              + " names check "
              + stored.id()
              + ", which differs in "
              + differences.stream()
                  .map(fault -> fault.pointer().substring(1))
                  .collect(Collectors.joining(", "))
              + "; a new check needs a new key.",
          differences);
    }
  }
}
