package org.tarebook.reading;

import java.time.Clock;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Service;
import org.tarebook.audit.Actor;
import org.tarebook.audit.Audit;
import org.tarebook.chart.Plan;
import org.tarebook.chart.Plans;
import org.tarebook.check.InstrumentChecks;
import org.tarebook.check.InstrumentState;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.Stations;
import org.tarebook.storage.Ids;
import org.tarebook.storage.Transactions;
import org.tarebook.storage.WriteLocks;

/** Voids and replaces readings by later facts. */
@Service
public class Amendments {

  private final AmendmentStore amendmentStore;
  private final Transactions transactions;
  private final Readings readings;
  private final ReadingStore store;
  private final UncountedStore uncounted;
  private final Chains chains;
  private final Intake intake;
  private final InstrumentChecks instrumentChecks;
  private final Plans plans;
  private final Stations stations;
  private final WriteLocks locks;
  private final Ids ids;
  private final Clock clock;
  private final Audit audit;

  Amendments(
      AmendmentStore amendmentStore,
      Transactions transactions,
      Readings readings,
      ReadingStore store,
      UncountedStore uncounted,
      Chains chains,
      Intake intake,
      InstrumentChecks instrumentChecks,
      Plans plans,
      Stations stations,
      WriteLocks locks,
      Ids ids,
      Clock clock,
      Audit audit) {
    this.amendmentStore = amendmentStore;
    this.transactions = transactions;
    this.readings = readings;
    this.store = store;
    this.uncounted = uncounted;
    this.chains = chains;
    this.intake = intake;
    this.instrumentChecks = instrumentChecks;
    this.plans = plans;
    this.stations = stations;
    this.locks = locks;
    this.ids = ids;
    this.clock = clock;
    this.audit = audit;
  }

  /**
   * What somebody wants amended.
   *
   * @param replacement the reading as it should have been posted; absent where it is voided
   */
  record Draft(String key, String reason, @Nullable Replacement replacement) {}

  /** What takes the place of what was shown and of the circumstances. */
  record Replacement(Reading.Shown shown, Reading.Circumstances circumstances) {}

  /** An amendment, and whether it was on record before. */
  record Done(Amendment amendment, boolean replayed) {}

  /**
   * Voids a reading that a feature above has put on record, since what it came from was found anew.
   */
  public void voidReading(long readingId, String key, String reason, Actor actor) {
    Done unused = amend(readingId, new Draft(key, reason, null), actor);
  }

  /** Who amended a reading; empty while it stands as it was posted. */
  public Optional<String> amendedBy(long readingId) {
    return of(readingId).stream().map(Amendment::person).findFirst();
  }

  Done amend(long readingId, Draft draft, Actor actor) {
    return transactions.write(() -> amendNow(readingId, draft, actor));
  }

  List<Amendment> of(long readingId) {
    return amendmentStore.of(readingId);
  }

  private Done amendNow(long readingId, Draft draft, Actor actor) {
    Reading wrong = readings.get(readingId);
    stations.lock(Set.of(wrong.event().stationId()));
    List<Amendment> same = amendmentStore.byKey(actor.name(), draft.key());
    if (!same.isEmpty()) {
      requireSame(same.get(0), readingId, draft);
      return new Done(same.get(0), true);
    }
    Optional<Amendment> earlier = of(readingId).stream().findFirst();
    if (earlier.isPresent()) {
      Long replacement = earlier.get().replacementId();
      throw new Problem(
          ProblemType.CONFLICT,
          "Reading "
              + readingId
              + " was amended already by "
              + earlier.get().person()
              + " ("
              + earlier.get().reason()
              + ")"
              + (replacement == null ? "." : "; amend its replacement " + replacement + "."));
    }
    Map<Long, Long> versions = locks.take(Set.of(wrong.lockId()));
    long version = versions.getOrDefault(wrong.lockId(), wrong.lockVersion());
    Plan plan = plans.current();
    Instant now = clock.instant();
    long id = ids.next();
    List<Reading> touched = new ArrayList<>(List.of(wrong));
    Reading replacement = null;
    if (draft.replacement() != null) {
      replacement = replacement(plan, wrong, draft.replacement(), id, version, now, actor);
      store.insert(List.of(replacement));
      touched.add(replacement);
      List<UncountedStore.Change> kept = new ArrayList<>();
      for (Cause cause : Intake.causes(replacement, state(plan, replacement.shown()))) {
        kept.add(new UncountedStore.Change(replacement, cause, version));
      }
      uncounted.begin(kept);
    }
    Amendment amendment = insert(id, wrong, replacement, draft, actor, now);
    audit.record(
        actor,
        replacement == null ? "voided" : "replaced",
        "reading",
        String.valueOf(readingId),
        amendment);
    Cause cause = replacement == null ? Cause.VOIDED : Cause.REPLACED;
    uncounted.begin(List.of(new UncountedStore.Change(wrong, cause, version)));
    touched.addAll(chains.settle(Set.of(root(wrong)), versions));
    intake.tellFollowers(plan, Intake.changes(plan, touched));
    return new Done(amendment, false);
  }

  private void requireSame(Amendment stored, long readingId, Draft draft) {
    List<String> differences = new ArrayList<>();
    if (stored.readingId() != readingId) {
      differences.add("reading");
    }
    if ((stored.kind() == Amendment.Kind.VOID) != (draft.replacement() == null)) {
      differences.add("kind");
    }
    if (!stored.reason().equals(draft.reason())) {
      differences.add("reason");
    }
    if (stored.replacementId() != null && draft.replacement() != null) {
      Reading kept = readings.get(stored.replacementId());
      java.math.BigDecimal mine = draft.replacement().shown().value();
      java.math.BigDecimal other = kept.shown().value();
      if (mine == null ? other != null : other == null || mine.compareTo(other) != 0) {
        differences.add("value");
      }
      if (!draft.replacement().circumstances().equals(kept.event().circumstances())
          || draft.replacement().shown().censored() != kept.shown().censored()
          || draft.replacement().shown().unit() != kept.shown().unit()
          || !draft.replacement().shown().flags().equals(kept.shown().flags())) {
        differences.add("replacement");
      }
    }
    if (!differences.isEmpty()) {
      throw Problem.at(
          ProblemType.KEY_REUSED,
          "/key",
          "names amendment "
              + stored.id()
              + ", which differs in "
              + String.join(", ", differences)
              + "; give the new amendment a new key");
    }
  }

  private Reading replacement(
      Plan plan,
      Reading wrong,
      Replacement by,
      long amendmentId,
      long version,
      Instant now,
      Actor actor) {
    long id = ids.next();
    Reading.Event old = wrong.event();
    Reading.Event event =
        new Reading.Event(
            id,
            old.rootId(),
            old.stationId(),
            "amendment " + amendmentId,
            old.measuredAt(),
            now,
            by.circumstances(),
            null,
            old.clockDoubt(),
            actor.name());
    return new Reading(
        id,
        event,
        0,
        wrong.characteristicId(),
        wrong.chartId(),
        version,
        by.shown(),
        Judge.judge(
            plan,
            old.stationId(),
            plan.characteristics().get(wrong.characteristicId()),
            by.shown(),
            old.measuredAt(),
            state(plan, by.shown())),
        root(wrong));
  }

  private @Nullable InstrumentState state(Plan plan, Reading.Shown shown) {
    Long instrument = shown.instrumentId();
    return instrument == null
        ? null
        : instrumentChecks.states(plan, List.of(instrument)).get(instrument);
  }

  private static long root(Reading reading) {
    return reading.remeasuresId() == null ? reading.id() : reading.remeasuresId();
  }

  private Amendment insert(
      long id,
      Reading wrong,
      @Nullable Reading replacement,
      Draft draft,
      Actor actor,
      Instant now) {
    Amendment amendment =
        new Amendment(
            id,
            wrong.id(),
            replacement == null ? Amendment.Kind.VOID : Amendment.Kind.REPLACE,
            replacement == null ? null : (Long) replacement.id(),
            draft.key(),
            draft.reason(),
            actor.name(),
            now);
    amendmentStore.insert(amendment);
    return amendment;
  }
}
