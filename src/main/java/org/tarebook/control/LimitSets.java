package org.tarebook.control;

import java.time.Clock;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collection;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import org.springframework.stereotype.Service;
import org.tarebook.audit.Actor;
import org.tarebook.audit.Audit;
import org.tarebook.chart.Chart;
import org.tarebook.chart.Plan;
import org.tarebook.chart.Plans;
import org.tarebook.control.LimitSet.Withdrawal;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.Repeat;
import org.tarebook.reading.ReadingWindow;
import org.tarebook.storage.Ids;
import org.tarebook.storage.Transactions;
import org.tarebook.storage.WriteLocks;

/** The control limits of charts: computed from a baseline, frozen, never changed, withdrawn. */
@Service
public class LimitSets {

  private final LimitSetStore store;
  private final RoundStore rounds;
  private final Baselines baselines;
  private final ChartedWindows windows;
  private final SignalWatch watch;
  private final Plans plans;
  private final WriteLocks locks;
  private final Transactions transactions;
  private final Audit audit;
  private final Ids ids;
  private final Clock clock;

  LimitSets(
      LimitSetStore store,
      RoundStore rounds,
      Baselines baselines,
      ChartedWindows windows,
      SignalWatch watch,
      Plans plans,
      WriteLocks locks,
      Transactions transactions,
      Audit audit,
      Ids ids,
      Clock clock) {
    this.store = store;
    this.rounds = rounds;
    this.baselines = baselines;
    this.windows = windows;
    this.watch = watch;
    this.plans = plans;
    this.locks = locks;
    this.transactions = transactions;
    this.audit = audit;
    this.ids = ids;
    this.clock = clock;
  }

  /** Limits that somebody wants frozen. */
  record Draft(
      String key, String code, Baselines.Wanted wanted, Instant inForceFrom, String reason) {}

  /** A limit set, and whether it was on record before. */
  record Done(LimitSet set, boolean replayed) {}

  /** The set with this code. */
  public LimitSet get(String code) {
    return store.byCode(code).orElseThrow(() -> Problem.notFound("limit set", code));
  }

  /** Every set of a chart, withdrawn ones included, in the order in which they come into force. */
  public List<LimitSet> every(Chart chart) {
    return store.ofChart(chart.id());
  }

  /** The sets of a chart that stand, and which of them is in force when. */
  public LimitsInForce of(Chart chart) {
    return new LimitsInForce(store.ofChart(chart.id()));
  }

  /** The same of several charts, by their ids. */
  public Map<Long, LimitsInForce> of(Collection<Chart> charts) {
    Map<Long, List<LimitSet>> sets = store.ofCharts(charts.stream().map(Chart::id).toList());
    return charts.stream()
        .collect(
            Collectors.toMap(
                Chart::id, chart -> new LimitsInForce(sets.getOrDefault(chart.id(), List.of()))));
  }

  /** How many readings of a baseline came, went, changed or moved into other shifts since. */
  public long baselineChanged(Chart chart, LimitSet set) {
    return windows.changedSince(
        new ReadingWindow.Asked(chart, set.baseline().from(), set.baseline().before()),
        set.baseline().version());
  }

  /** The rounds in which a set was found; none for sets from before rounds were recorded. */
  List<Round> rounds(LimitSet set) {
    return rounds.of(set.id());
  }

  /** Tells beforehand what limits a baseline would give. */
  Baselines.Computed preview(Baselines.Wanted wanted) {
    return transactions.snapshot(() -> baselines.compute(plans.current(), wanted));
  }

  /** Freezes limits, and judges every point by them from the moment they are in force. */
  Done freeze(Draft draft, Actor actor) {
    return transactions.write(() -> freezeNow(draft, actor));
  }

  private Done freezeNow(Draft draft, Actor actor) {
    Chart chart = draft.wanted().chart();
    long version = locks.take(Set.of(chart.id())).getOrDefault(chart.id(), 0L);
    Optional<LimitSet> known = store.byKey(actor.name(), draft.key());
    if (known.isPresent()) {
      requireSame(known.get(), draft);
      return new Done(known.get(), true);
    }
    requireFree(draft);
    Plan plan = plans.current();
    plan.requireDoubtsApplied(chart);
    Baselines.Computed preview = baselines.compute(plan, draft.wanted());
    Limits limits = requireLimits(preview);
    ChartedWindow window = preview.window();
    LimitSet set =
        new LimitSet(
            ids.next(),
            draft.code(),
            chart.id(),
            draft.wanted().stratum(),
            new LimitSet.Baseline(
                draft.wanted().from(),
                draft.wanted().before(),
                version,
                window.readings().size(),
                window.points().size(),
                window.incomplete(),
                window.uncounted()),
            window.unit(),
            limits,
            draft.inForceFrom(),
            new LimitSet.Signed(draft.key(), actor.name(), draft.reason(), clock.instant()),
            null);
    store.insert(set, chart.cut().subgroupSize());
    rounds.insert(set.id(), preview.outcome().rounds());
    audit.record(actor, "frozen", "limit set", set.code(), set);
    watch.judgeFrom(plan, chart, set.inForceFrom());
    return new Done(set, false);
  }

  /**
   * Withdraws a set that was frozen wrongly: its points are judged by what is then in force, as if
   * it had never been frozen. A repeat under the same key changes nothing.
   */
  Done withdraw(String code, String key, String reason, Actor actor) {
    return transactions.write(() -> withdrawNow(code, key, reason, actor));
  }

  private Done withdrawNow(String code, String key, String reason, Actor actor) {
    long chartId = get(code).chartId();
    long version = locks.take(Set.of(chartId)).getOrDefault(chartId, 0L);
    Optional<LimitSet> same = store.findWithdrawn(actor.name(), key);
    if (same.isPresent()) {
      LimitSet known = same.get();
      content(code, reason)
          .requireSameAs(
              content(
                  known.code(), same.map(LimitSet::withdrawal).map(Withdrawal::reason).orElse("")),
              key,
              "the withdrawal of limit set " + known.code());
      return new Done(known, true);
    }
    LimitSet wrong = get(code);
    Withdrawal earlier = wrong.withdrawal();
    if (earlier != null) {
      throw new Problem(
          ProblemType.CONFLICT,
          "Limit set %s was withdrawn already by %s at %s (%s). Freeze a new one where limits are wanted."
              .formatted(code, earlier.person(), earlier.recordedAt(), earlier.reason()));
    }
    Withdrawal withdrawal = new Withdrawal(key, reason, actor.name(), clock.instant(), version);
    store.addWithdrawal(wrong.id(), withdrawal);
    audit.record(actor, "withdrawn", "limit set", code, withdrawal);
    Plan plan = plans.current();
    watch.judgeFrom(plan, plan.charts().get(chartId), wrong.inForceFrom());
    return new Done(get(code), false);
  }

  private static Repeat content(String code, String reason) {
    return new Repeat().with("/limitSet", code).with("/reason", reason);
  }

  private void requireFree(Draft draft) {
    if (store.byCode(draft.code()).isPresent()) {
      throw Problem.at(
          ProblemType.ALREADY_EXISTS, "/code", "There is a limit set " + draft.code() + ".");
    }
    of(draft.wanted().chart()).standing().stream()
        .filter(set -> set.stratum().equals(draft.wanted().stratum()))
        .filter(set -> set.inForceFrom().equals(draft.inForceFrom()))
        .findFirst()
        .ifPresent(
            set -> {
              throw Problem.at(
                  ProblemType.CONFLICT,
                  "/inForceFrom",
                  "is when "
                      + set.code()
                      + " comes into force; limits never change, so let the new ones begin at"
                      + " another moment, or withdraw that set first");
            });
    if (draft.inForceFrom().isBefore(draft.wanted().from())) {
      throw Problem.at(
          ProblemType.RULE_BROKEN,
          "/inForceFrom",
          "lies before the baseline, which begins "
              + draft.wanted().from()
              + "; limits judge no points from before their own baseline");
    }
  }

  private static Limits requireLimits(Baselines.Computed preview) {
    preview
        .notComputed()
        .ifPresent(
            reason -> {
              throw Problem.at(ProblemType.RULE_BROKEN, "/measuredBefore", reason.words());
            });
    return preview.usable().orElseThrow();
  }

  private void requireSame(LimitSet set, Draft draft) {
    Baselines.Wanted wanted = draft.wanted();
    List<String> differences = new ArrayList<>();
    addIfDifferent("code", set.code(), draft.code(), differences);
    addIfDifferent("chart", set.chartId(), wanted.chart().id(), differences);
    addIfDifferent("measuredFrom", set.baseline().from(), wanted.from(), differences);
    addIfDifferent("measuredBefore", set.baseline().before(), wanted.before(), differences);
    addIfDifferent("stratum", set.stratum(), wanted.stratum(), differences);
    addIfDifferent(
        "estimator",
        set.limits().sigma().estimator(),
        wanted.estimator() == null ? wanted.chart().usual().estimator() : wanted.estimator(),
        differences);
    addIfDifferent("inForceFrom", set.inForceFrom(), draft.inForceFrom(), differences);
    addIfDifferent(
        "setAside", asked(rounds.of(set.id())), Set.copyOf(wanted.setAside()), differences);
    addIfDifferent("reason", set.signed().reason(), draft.reason(), differences);
    if (!differences.isEmpty()) {
      throw Problem.at(
          ProblemType.KEY_REUSED,
          "/key",
          "names limit set "
              + set.code()
              + ", which differs in "
              + String.join(", ", differences)
              + "; give the new set a new key");
    }
  }

  private static Set<SetAside> asked(List<Round> rounds) {
    Set<SetAside> asked = new HashSet<>();
    for (Round round : rounds) {
      for (Round.Aside aside : round.setAside()) {
        asked.add(new SetAside(round.number(), aside.lastReading(), aside.cause()));
      }
    }
    return asked;
  }

  private static void addIfDifferent(
      String member, Object stored, Object sent, List<String> differences) {
    if (!Objects.equals(stored, sent)) {
      differences.add(member);
    }
  }
}
