package org.tarebook.check;

import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collection;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import org.springframework.beans.factory.annotation.Value;
import org.springframework.stereotype.Service;
import org.tarebook.audit.Actor;
import org.tarebook.chart.Plan;
import org.tarebook.chart.Plans;
import org.tarebook.http.Problem;
import org.tarebook.http.Problem.Fault;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.Instrument;
import org.tarebook.plant.Instruments;
import org.tarebook.plant.Stations;
import org.tarebook.storage.Ids;
import org.tarebook.storage.Transactions;

/** The checks of instruments, and what they say of each instrument. */
@Service
public class InstrumentChecks {

  private final CheckStore checks;
  private final DoubtStore doubts;
  private final InstrumentStates states;
  private final DoubtedReadings readings;
  private final Instruments instruments;
  private final Stations stations;
  private final Plans plans;
  private final Transactions transactions;
  private final Ids ids;
  private final Clock clock;
  private final Duration clockAhead;

  InstrumentChecks(
      CheckStore checks,
      DoubtStore doubts,
      InstrumentStates states,
      DoubtedReadings readings,
      Instruments instruments,
      Stations stations,
      Plans plans,
      Transactions transactions,
      Ids ids,
      Clock clock,
      @Value("${tarebook.clock-ahead}") Duration clockAhead) {
    this.checks = checks;
    this.doubts = doubts;
    this.states = states;
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
   * @param suspectReadings how many readings are suspect in the window whose doubts it changed;
   *     absent on a repeat
   */
  record Recorded(InstrumentCheck check, Doubts doubts, @Nullable Long suspectReadings) {
    boolean replayed() {
      return suspectReadings == null;
    }
  }

  /**
   * Records a check, finds the doubts of its instrument anew from all its checks, and has the
   * readings follow. A repeat under the same key changes nothing.
   */
  Recorded record(Instrument instrument, InstrumentCheck.Posted posted, Actor actor) {
    requireOwn(instrument, actor);
    return transactions.write(
        () -> {
          stations.lock(List.of(instrument.stationId()));
          Optional<InstrumentCheck> stored = checks.find(actor.name(), posted.key());
          if (stored.isPresent()) {
            requireSame(instrument, posted, stored.get());
            return new Recorded(stored.get(), doubtsOf(instrument), null);
          }
          InstrumentCheck check = judged(instrument, posted, actor);
          checks.add(check);
          Doubts before = doubtsOf(instrument);
          Doubts after = new CheckHistory(checks.outcomes(instrument.id())).doubts();
          doubts.replace(instrument.id(), before, after);
          long suspect =
              after
                  .changedSince(before)
                  .map(window -> readings.doubtsChanged(instrument, window.from(), window.before()))
                  .orElse(0L);
          return new Recorded(check, after, suspect);
        });
  }

  /** The check with this id. */
  InstrumentCheck get(long id) {
    return checks
        .find(id)
        .orElseThrow(() -> Problem.notFound("instrument check", String.valueOf(id)));
  }

  /** Checks behind a place in the list, the newest first. */
  List<InstrumentCheck> page(
      @Nullable Instrument instrument, Instant from, Instant at, long id, int limit) {
    return checks.page(instrument == null ? null : instrument.id(), from, at, id, limit);
  }

  /** The doubts of instruments, for every id given. */
  Map<Long, Doubts> doubts(Collection<Long> instrumentIds) {
    return doubts.doubts(instrumentIds);
  }

  /** How an instrument stands now. */
  InstrumentStanding standing(Instrument instrument) {
    Plan plan = plans.current();
    List<Long> id = List.of(instrument.id());
    return InstrumentStanding.of(
        instrument.code(),
        states.of(plan, id).getOrDefault(instrument.id(), new InstrumentState(List.of(), null)),
        doubts.lastRight(id).get(instrument.id()),
        states.checkPlan(plan).every(instrument),
        clock.instant());
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
            states.checkPlan(plans.current()).permissibleError(instrument),
            instrument,
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

  private Doubts doubtsOf(Instrument instrument) {
    return doubts
        .doubts(List.of(instrument.id()))
        .getOrDefault(instrument.id(), new Doubts(List.of()));
  }
}
