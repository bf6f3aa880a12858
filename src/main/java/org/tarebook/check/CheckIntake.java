package org.tarebook.check;

import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import org.springframework.beans.factory.annotation.Value;
import org.springframework.stereotype.Service;
import org.tarebook.audit.Actor;
import org.tarebook.chart.Plans;
import org.tarebook.http.Problem;
import org.tarebook.http.Problem.Fault;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.Instrument;
import org.tarebook.plant.Instruments;
import org.tarebook.plant.Stations;
import org.tarebook.storage.Ids;
import org.tarebook.storage.Transactions;

/** Takes in checks, each with the doubts that follow from it in one transaction. */
@Service
class CheckIntake {

  private final InstrumentChecks checks;
  private final CheckStore store;
  private final DoubtStore doubts;
  private final DoubtedReadings readings;
  private final Instruments instruments;
  private final Stations stations;
  private final Plans plans;
  private final Transactions transactions;
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
    this.ids = ids;
    this.clock = clock;
    this.clockAhead = clockAhead;
  }

  /**
   * What recording came to.
   *
   * @param doubts of the instrument, as they stand now
   * @param replayed whether it was recorded before
   * @param suspectReadings how many readings are suspect in the window whose doubts it changed;
   *     absent on a repeat, and where some readings are left for later
   */
  record Recorded(
      InstrumentCheck check, Doubts doubts, boolean replayed, @Nullable Long suspectReadings) {}

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
            return new Recorded(stored.get(), doubts.of(instrument), true, null);
          }
          InstrumentCheck check = judged(instrument, posted, actor);
          store.add(check);
          Doubts before = doubts.of(instrument);
          CheckHistory history = new CheckHistory(store.outcomes(instrument.id()));
          Doubts after = history.doubts();
          doubts.replace(instrument.id(), before, after);
          history.lastRight().ifPresent(at -> doubts.noteRight(instrument.id(), at));
          OptionalLong suspect =
              after
                  .changedSince(before)
                  .map(
                      window ->
                          readings.doubtsChanged(
                              check.id(), instrument, window.from(), window.before()))
                  .orElse(OptionalLong.of(0));
          return new Recorded(
              check, after, false, suspect.isPresent() ? (Long) suspect.getAsLong() : null);
        });
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
