package org.tarebook.reading;

import java.time.Clock;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.Iterator;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
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
    of(readingId).forEach(Amendments::refuse);
    Replacement by = draft.replacement();
    boolean renames = by != null && !Objects.equals(by.circumstances().itemLabel(), label(wrong));
    List<Reading> following = renames ? following(wrong) : List.of();
    Set<Long> lockIds = new TreeSet<>(Set.of(wrong.lockId()));
    following.forEach(each -> lockIds.add(each.lockId()));
    Map<Long, Long> versions = locks.take(lockIds);
    Work work =
        new Work(
            plans.current(), versions, clock.instant(), actor, new ArrayList<>(), new TreeSet<>());
    long id = ids.next();
    long ownId = ids.next();
    Reading replacement =
        by == null
            ? null
            : replacement(
                work, wrong, by, id, ownId, renames ? named(wrong, by, ownId) : Item.of(wrong));
    Amendment amendment = write(work, id, wrong, replacement, draft.key(), draft.reason());
    for (Reading each : following) {
      follow(work, each, amendment, Objects.requireNonNull(replacement));
    }
    work.touched().addAll(chains.settle(work.firstIds(), versions));
    intake.tellFollowers(work.plan(), Intake.changes(work.plan(), work.touched()));
    return new Done(amendment, false);
  }

  private static void refuse(Amendment earlier) {
    throw new Problem(
        ProblemType.CONFLICT,
        earlier.kind() == Amendment.Kind.VOID
            ? "Reading %d is void since %s, by %s (%s), and what is void cannot be amended. If it was measured after all, post the measurement again with its measuredAt, under a key of its own."
                .formatted(
                    earlier.readingId(), earlier.recordedAt(), earlier.person(), earlier.reason())
            : "Reading %d was amended already by %s (%s); amend its replacement %d."
                .formatted(
                    earlier.readingId(),
                    earlier.person(),
                    earlier.reason(),
                    earlier.replacementId()));
  }

  /**
   * What is amended under one version of each lock.
   *
   * @param touched the readings that changed so far
   * @param firstIds the first readings of their items
   */
  private record Work(
      Plan plan,
      Map<Long, Long> versions,
      Instant now,
      Actor actor,
      List<Reading> touched,
      Set<Long> firstIds) {

    long version(Reading of) {
      return versions.getOrDefault(of.lockId(), of.lockVersion());
    }
  }

  /**
   * The item that a replacement measures.
   *
   * @param firstId its first reading; absent where the replacement is that
   * @param rootEventId the event that first measured it
   * @param remeasuresKey the key of the posting that is declared to be measured again
   */
  private record Item(@Nullable Long firstId, long rootEventId, @Nullable String remeasuresKey) {

    static Item of(Reading reading) {
      return new Item(reading.firstId(), reading.event().rootId(), reading.event().remeasuresKey());
    }
  }

  private static @Nullable String label(Reading reading) {
    return reading.event().circumstances().itemLabel();
  }

  /** The item of another name, under the locks; one without a name has no other reading. */
  private Item named(Reading wrong, Replacement by, long ownId) {
    String label = by.circumstances().itemLabel();
    if (label == null) {
      return new Item(null, ownId, null);
    }
    Earlier earlier = Earlier.find(store, label, wrong.characteristicId());
    return new Item(
        earlier.first(label, wrong.characteristicId(), wrong.lockId()),
        earlier.rootEvent(label, ownId),
        null);
  }

  /** The readings without a name that declare, one after the other, to measure one again. */
  private List<Reading> following(Reading wrong) {
    List<Reading> left =
        new ArrayList<>(
            amendmentStore.findUnnamed(wrong.event().rootId(), wrong.characteristicId()));
    Earlier earlier = Earlier.find(store, left);
    List<Reading> found = new ArrayList<>();
    Set<Long> moved = new HashSet<>(Set.of(wrong.id()));
    boolean more = true;
    while (more) {
      more = false;
      for (Iterator<Reading> each = left.iterator(); each.hasNext(); ) {
        Reading reading = each.next();
        Reading declared = earlier.declaredBy(reading);
        if (declared != null && moved.contains(declared.id()) && moved.add(reading.id())) {
          found.add(reading);
          each.remove();
          more = true;
        }
      }
    }
    return found;
  }

  /** Lets a reading without a name follow the one that it measures again to another item. */
  private void follow(Work work, Reading wrong, Amendment first, Reading to) {
    long id = ids.next();
    Item item =
        new Item(
            wrong.lockId() == to.lockId() ? (Long) to.firstId() : null,
            to.event().rootId(),
            wrong.event().remeasuresKey());
    Replacement same = new Replacement(wrong.shown(), wrong.event().circumstances());
    Amendment unused =
        write(
            work,
            id,
            wrong,
            replacement(work, wrong, same, id, ids.next(), item),
            "amendment " + first.id() + " of reading " + wrong.id(),
            "Measures the item again that amendment " + first.id() + " names otherwise.");
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
      Work work, Reading wrong, Replacement by, long amendmentId, long id, Item item) {
    Reading.Event old = wrong.event();
    Reading.Event event =
        new Reading.Event(
            id,
            item.rootEventId(),
            old.stationId(),
            "amendment " + amendmentId,
            old.measuredAt(),
            work.now(),
            by.circumstances(),
            item.remeasuresKey(),
            old.clockDoubt(),
            work.actor().name());
    return new Reading(
        id,
        event,
        0,
        wrong.characteristicId(),
        wrong.chartId(),
        work.version(wrong),
        by.shown(),
        Judge.judge(
            work.plan(),
            old.stationId(),
            work.plan().characteristics().get(wrong.characteristicId()),
            by.shown(),
            old.measuredAt(),
            state(work.plan(), by.shown())),
        item.firstId());
  }

  private @Nullable InstrumentState state(Plan plan, Reading.Shown shown) {
    Long instrument = shown.instrumentId();
    return instrument == null
        ? null
        : instrumentChecks.states(plan, List.of(instrument)).get(instrument);
  }

  /** Puts an amendment on record, with the replacement where there is one. */
  private Amendment write(
      Work work, long id, Reading wrong, @Nullable Reading replacement, String key, String reason) {
    List<UncountedStore.Change> begin = new ArrayList<>();
    if (replacement != null) {
      store.insert(List.of(replacement));
      for (Cause cause : Intake.causes(replacement, state(work.plan(), replacement.shown()))) {
        begin.add(new UncountedStore.Change(replacement, cause, work.version(wrong)));
      }
      work.touched().add(replacement);
      work.firstIds().add(replacement.firstId());
    }
    begin.add(
        new UncountedStore.Change(
            wrong, replacement == null ? Cause.VOIDED : Cause.REPLACED, work.version(wrong)));
    work.touched().add(wrong);
    work.firstIds().add(wrong.firstId());
    Amendment amendment =
        new Amendment(
            id,
            wrong.id(),
            replacement == null ? Amendment.Kind.VOID : Amendment.Kind.REPLACE,
            replacement == null ? null : (Long) replacement.id(),
            key,
            reason,
            work.actor().name(),
            work.now());
    amendmentStore.insert(amendment);
    audit.record(
        work.actor(),
        replacement == null ? "voided" : "replaced",
        "reading",
        String.valueOf(wrong.id()),
        amendment);
    uncounted.begin(begin);
    return amendment;
  }
}
