package org.tarebook.reading;

import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collection;
import java.util.EnumSet;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import org.springframework.beans.factory.annotation.Value;
import org.springframework.stereotype.Component;
import org.tarebook.audit.Actor;
import org.tarebook.chart.Chart;
import org.tarebook.chart.Plan;
import org.tarebook.chart.Plans;
import org.tarebook.check.InstrumentChecks;
import org.tarebook.check.InstrumentState;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.Stations;
import org.tarebook.storage.Ids;
import org.tarebook.storage.MasterVersion;
import org.tarebook.storage.Transactions;
import org.tarebook.storage.WriteLocks;

/**
 * The one way readings get into the record; a single posting is a batch of one. Inside the caller's
 * transaction: stations are locked, keys looked up, charts locked, readings judged and inserted,
 * what does not count is marked, and followers act; all in the order every writer keeps.
 */
@Component
class Intake {

  private final Plans plans;
  private final MasterVersion masterVersion;
  private final Stations stations;
  private final WriteLocks locks;
  private final ReadingStore store;
  private final UncountedStore uncounted;
  private final Chains chains;
  private final InstrumentChecks instrumentChecks;
  private final List<ReadingFollower> followers;
  private final Ids ids;
  private final Clock clock;
  private final Duration clockAhead;
  private final Duration clockBehind;

  Intake(
      Plans plans,
      MasterVersion masterVersion,
      Stations stations,
      WriteLocks locks,
      ReadingStore store,
      UncountedStore uncounted,
      Chains chains,
      InstrumentChecks instrumentChecks,
      List<ReadingFollower> followers,
      Ids ids,
      Clock clock,
      @Value("${tarebook.clock-ahead}") Duration clockAhead,
      @Value("${tarebook.clock-behind}") Duration clockBehind) {
    this.plans = plans;
    this.masterVersion = masterVersion;
    this.stations = stations;
    this.locks = locks;
    this.store = store;
    this.uncounted = uncounted;
    this.chains = chains;
    this.instrumentChecks = instrumentChecks;
    this.followers = followers;
    this.ids = ids;
    this.clock = clock;
    this.clockAhead = clockAhead;
    this.clockBehind = clockBehind;
  }

  /** A posting's key is unique within its station. */
  private record Name(long stationId, String key) {}

  /** Takes postings in, one outcome each, in order. */
  Recorded record(List<Posting> postings, Actor actor) {
    Plan plan = plans.held();
    Map<Integer, Problem> refused = new HashMap<>();
    List<@Nullable Understood> understood = understand(plan, postings, actor, refused);
    if (!refused.isEmpty()) { // perhaps by a plan that is no longer current
      plan = plans.current();
      refused.clear();
      understood = understand(plan, postings, actor, refused);
    }
    Map<Name, List<Reading>> known = lockAndFind(plan, understood);
    Map<Name, Understood> fresh = new LinkedHashMap<>();
    Set<Integer> first = new HashSet<>();
    for (int i = 0; i < postings.size(); i++) {
      Understood each = understood.get(i);
      if (each != null
          && !known.containsKey(name(each))
          && fresh.putIfAbsent(name(each), each) == null) {
        first.add(i);
      }
    }
    Map<Long, InstrumentState> instruments = new HashMap<>();
    Map<Name, List<Reading>> added = add(plan, fresh, actor, instruments);
    List<Outcome> outcomes = new ArrayList<>();
    for (int i = 0; i < postings.size(); i++) {
      Understood each = understood.get(i);
      outcomes.add(
          each == null
              ? Outcome.refused(Objects.requireNonNull(refused.get(i)))
              : outcome(each, known, added, first.contains(i)));
    }
    return new Recorded(plan, instruments, outcomes);
  }

  private static List<@Nullable Understood> understand(
      Plan plan, List<Posting> postings, Actor actor, Map<Integer, Problem> refused) {
    List<@Nullable Understood> understood = new ArrayList<>();
    for (int i = 0; i < postings.size(); i++) {
      try {
        understood.add(Understood.of(plan, postings.get(i), actor));
      } catch (Problem problem) {
        understood.add(null);
        refused.put(i, problem);
      }
    }
    return understood;
  }

  private static Outcome outcome(
      Understood each,
      Map<Name, List<Reading>> known,
      Map<Name, List<Reading>> added,
      boolean isFresh) {
    List<Reading> stored = known.getOrDefault(name(each), added.get(name(each)));
    if (stored == null) {
      throw new IllegalStateException("Nothing was stored under the key " + each.posting().key());
    }
    if (isFresh) {
      return Outcome.recorded(stored);
    }
    List<String> differences = each.differencesFrom(stored);
    if (differences.isEmpty()) {
      return Outcome.replayed(stored);
    }
    return Outcome.refused(
        Problem.at(
            ProblemType.KEY_REUSED,
            "/key",
            "names reading "
                + stored.get(0).id()
                + ", which differs in "
                + String.join(", ", differences)
                + "; repeat the same content, or give the new fact a new key"));
  }

  private static Name name(Understood each) {
    return new Name(each.station().id(), each.posting().key());
  }

  private Map<Name, List<Reading>> lockAndFind(Plan plan, List<@Nullable Understood> understood) {
    Map<Long, Set<String>> keys = new HashMap<>();
    Set<Long> homes = new TreeSet<>();
    for (Understood each : understood) {
      if (each != null) {
        keys.computeIfAbsent(each.station().id(), id -> new TreeSet<>()).add(each.posting().key());
        for (Understood.Value value : each.values()) {
          if (value.shown().instrumentId() != null) {
            homes.add(plan.instruments().get(value.shown().instrumentId()).stationId());
          }
        }
      }
    }
    homes.addAll(keys.keySet());
    stations.lock(homes);
    Map<Name, List<Reading>> known = new HashMap<>();
    for (Reading reading : store.findByKeys(keys)) {
      Name name = new Name(reading.event().stationId(), reading.event().key());
      known.computeIfAbsent(name, unseen -> new ArrayList<>()).add(reading);
    }
    return known;
  }

  /** Judges and writes what is new, and notes how its instruments stand. */
  private Map<Name, List<Reading>> add(
      Plan plan, Map<Name, Understood> fresh, Actor actor, Map<Long, InstrumentState> states) {
    Set<Long> lockIds = new TreeSet<>();
    Set<Long> instrumentIds = new HashSet<>();
    for (Understood each : fresh.values()) {
      for (Understood.Value value : each.values()) {
        lockIds.add(value.lockId());
        if (value.shown().instrumentId() != null) {
          instrumentIds.add(value.shown().instrumentId());
        }
      }
    }
    Map<Long, Long> versions = locks.take(lockIds);
    if (masterVersion.read() != plan.version()) {
      Plan unused = plans.current(); // held for the next attempt
      throw new Transactions.Again("The master data changed while a posting was judged");
    }
    if (fresh.isEmpty()) {
      return Map.of();
    }
    states.putAll(instrumentChecks.states(plan, instrumentIds));
    Earlier earlier = Earlier.find(store, fresh.values());
    Instant now = clock.instant();
    Map<Name, List<Reading>> added = new LinkedHashMap<>();
    for (Map.Entry<Name, Understood> each : fresh.entrySet()) {
      List<Reading> readings = build(plan, each.getValue(), versions, states, earlier, now, actor);
      earlier.add(readings);
      added.put(each.getKey(), readings);
    }
    write(plan, added.values(), versions, states);
    return added;
  }

  private List<Reading> build(
      Plan plan,
      Understood each,
      Map<Long, Long> versions,
      Map<Long, InstrumentState> states,
      Earlier earlier,
      Instant now,
      Actor actor) {
    Posting posting = each.posting();
    long eventId = ids.next();
    Reading.Event event =
        new Reading.Event(
            eventId,
            earlier.rootEvent(each, eventId),
            each.station().id(),
            posting.key(),
            posting.measuredAt(),
            now,
            new Reading.Circumstances(
                each.phase(),
                posting.die(),
                posting.lot(),
                posting.sample(),
                posting.operator(),
                posting.counter(),
                posting.item(),
                posting.truck(),
                posting.leaf(),
                posting.itemLabel()),
            posting.remeasures(),
            doubt(posting.measuredAt(), now),
            actor.name());
    List<Reading> readings = new ArrayList<>();
    for (Understood.Value value : each.values()) {
      Chart chart = value.chart();
      readings.add(
          new Reading(
              readings.isEmpty() ? eventId : ids.next(),
              event,
              readings.size(),
              value.characteristic().id(),
              chart == null ? null : (Long) chart.id(),
              versions.getOrDefault(value.lockId(), 0L),
              value.shown(),
              Judge.judge(
                  plan,
                  each.station().id(),
                  value.characteristic(),
                  value.shown(),
                  posting.measuredAt(),
                  state(states, value.shown())),
              earlier.first(each, value)));
    }
    return readings;
  }

  private static @Nullable InstrumentState state(
      Map<Long, InstrumentState> states, Reading.Shown shown) {
    return shown.instrumentId() == null ? null : states.get(shown.instrumentId());
  }

  private @Nullable ClockDoubt doubt(Instant measuredAt, Instant now) {
    if (measuredAt.isAfter(now.plus(clockAhead))) {
      return ClockDoubt.AHEAD;
    }
    return measuredAt.isBefore(now.minus(clockBehind)) ? ClockDoubt.BEHIND : null;
  }

  private void write(
      Plan plan,
      Collection<List<Reading>> events,
      Map<Long, Long> versions,
      Map<Long, InstrumentState> states) {
    List<Reading> all = events.stream().flatMap(List::stream).toList();
    store.insert(all);
    List<UncountedStore.Change> kept = new ArrayList<>();
    Set<Long> roots = new TreeSet<>();
    for (Reading reading : all) {
      for (Cause cause : causes(reading, state(states, reading.shown()))) {
        kept.add(new UncountedStore.Change(reading, cause, reading.lockVersion()));
      }
      if (reading.remeasuresId() != null) {
        roots.add(reading.remeasuresId());
      }
    }
    if (!kept.isEmpty()) {
      uncounted.begin(kept);
    }
    List<Reading> touched = new ArrayList<>(all);
    touched.addAll(chains.settle(roots, versions));
    tellFollowers(plan, changes(plan, touched));
  }

  /** Tells followers which charts changed, and over which times. */
  void tellFollowers(Plan plan, Collection<ReadingFollower.Change> changes) {
    if (!changes.isEmpty()) {
      followers.forEach(follower -> follower.changed(plan, changes));
    }
  }

  /** Which charts some readings belong to, and over which times they lie. */
  static Collection<ReadingFollower.Change> changes(Plan plan, Collection<Reading> touched) {
    Map<Long, ReadingFollower.Change> changes = new LinkedHashMap<>();
    for (Reading reading : touched) {
      if (reading.chartId() != null) {
        Instant at = reading.event().measuredAt();
        changes.merge(
            reading.chartId(),
            new ReadingFollower.Change(plan.charts().get(reading.chartId()), at, at),
            (a, b) ->
                new ReadingFollower.Change(
                    a.chart(),
                    a.from().isBefore(b.from()) ? a.from() : b.from(),
                    a.last().isAfter(b.last()) ? a.last() : b.last()));
      }
    }
    return changes.values();
  }

  /** The causes that keep a reading out from the start. */
  static Set<Cause> causes(Reading reading, @Nullable InstrumentState instrument) {
    Set<Cause> causes = EnumSet.noneOf(Cause.class);
    NotJudged notJudged = reading.judged().notJudged();
    if (notJudged == NotJudged.OVERLOAD
        || notJudged == NotJudged.UNDER
        || notJudged == NotJudged.UNSTABLE) {
      causes.add(Cause.NO_VALUE);
    }
    if (notJudged == NotJudged.ABOVE_CAPACITY) {
      causes.add(Cause.ABOVE_CAPACITY);
    }
    if (reading.shown().censored() != null) {
      causes.add(Cause.CENSORED);
    }
    if (reading.event().circumstances().phase() != Phase.RUNNING) {
      causes.add(Cause.NOT_RUNNING);
    }
    Instant at = reading.event().measuredAt();
    if (instrument != null && instrument.failedAt(at).isPresent()) {
      causes.add(Cause.INSTRUMENT_FAILED);
    } else if (instrument != null && instrument.suspectAt(at)) {
      causes.add(Cause.INSTRUMENT_SUSPECT);
    }
    return causes;
  }
}
