package org.tarebook.capability;

import java.time.Clock;
import java.time.temporal.ChronoUnit;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.springframework.beans.factory.annotation.Value;
import org.springframework.stereotype.Service;
import org.tarebook.audit.Actor;
import org.tarebook.audit.Audit;
import org.tarebook.chart.Chart;
import org.tarebook.chart.Plan;
import org.tarebook.chart.Plans;
import org.tarebook.control.LimitSet;
import org.tarebook.control.LimitSets;
import org.tarebook.control.WithinSigma;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.CutStudies;
import org.tarebook.plant.Repeat;
import org.tarebook.plant.Shifts;
import org.tarebook.reading.AsOf;
import org.tarebook.spec.Specification;
import org.tarebook.stats.MethodRevision;
import org.tarebook.storage.Ids;
import org.tarebook.storage.Transactions;
import org.tarebook.storage.WriteLocks;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;

/** Keeps capability studies, and computes them again from the record as it stood. */
@Service
class KeptStudies implements CutStudies {

  private final KeptStudyStore store;
  private final Studies studies;
  private final LimitSets limitSets;
  private final Plans plans;
  private final WriteLocks locks;
  private final Transactions transactions;
  private final Audit audit;
  private final Ids ids;
  private final Clock clock;
  private final JsonMapper json;
  private final int readingsAtOnce;

  KeptStudies(
      KeptStudyStore store,
      Studies studies,
      LimitSets limitSets,
      Plans plans,
      WriteLocks locks,
      Transactions transactions,
      Audit audit,
      Ids ids,
      Clock clock,
      JsonMapper json,
      @Value("${tarebook.readings-at-once}") int readingsAtOnce) {
    this.store = store;
    this.studies = studies;
    this.limitSets = limitSets;
    this.plans = plans;
    this.locks = locks;
    this.transactions = transactions;
    this.audit = audit;
    this.ids = ids;
    this.clock = clock;
    this.json = json;
    this.readingsAtOnce = readingsAtOnce;
  }

  /** A kept study, and whether it was on record before. */
  record Done(KeptStudy study, boolean replayed) {}

  /**
   * A study computed again.
   *
   * @param fromReadings whether it was computed from the readings themselves; else from summaries
   * @param differences where the answer differs from the kept one; empty where it is the same
   * @param digestHolds whether the stored answer still has its digest
   * @param withdrawn the limit sets that judged its points and were withdrawn since
   * @param withdrawnSpecification the revision it was held against, where it was withdrawn since
   */
  record Again(
      KeptStudy kept,
      Study study,
      boolean fromReadings,
      List<KeptAnswer.Difference> differences,
      boolean digestHolds,
      List<LimitSet> withdrawn,
      @Nullable Specification withdrawnSpecification) {}

  KeptStudy get(String code) {
    return store.byCode(code).orElseThrow(() -> Problem.notFound("kept study", code));
  }

  /** The answer of a kept study as it was given. */
  JsonNode answer(KeptStudy kept) {
    return stored(kept).json();
  }

  private KeptAnswer stored(KeptStudy kept) {
    return new KeptAnswer(store.answer(kept), kept.methodRevision(), json);
  }

  /** The newest first, of a chart or of all, and only those by an earlier method if asked so. */
  List<KeptStudy> of(@Nullable Chart chart, boolean byEarlierMethod, long before, int limit) {
    return store.find(chart == null ? null : chart.id(), byEarlierMethod, before, limit);
  }

  Done keep(
      String key, String code, String reason, Chart chart, KeptStudy.Asked asked, Actor actor) {
    asked.question().window().check();
    WithinSigma.require(chart, asked.estimator(), "/estimator");
    while (true) {
      Optional<Computed> computed =
          transactions.snapshot(
              () ->
                  store.byKey(actor.name(), key).isPresent()
                      ? Optional.empty()
                      : Optional.of(compute(chart, asked.question())));
      Optional<Done> done =
          transactions.write(() -> keep(computed, key, code, reason, chart, asked, actor));
      if (done.isPresent()) {
        return done.get();
      }
    }
  }

  /** Keeps a study; empty where the masters have changed since it was computed. */
  private Optional<Done> keep(
      Optional<Computed> computed,
      String key,
      String code,
      String reason,
      Chart chart,
      KeptStudy.Asked asked,
      Actor actor) {
    Optional<KeptStudy> known = store.byKey(actor.name(), key);
    if (known.isPresent()) {
      content(code, reason, chart.code(), asked)
          .requireSameAs(content(known.get()), key, "kept study " + known.get().code());
      return Optional.of(new Done(known.get(), true));
    }
    if (store.byCode(code).isPresent()) {
      throw Problem.at(ProblemType.ALREADY_EXISTS, "/code", "There is a kept study " + code + ".");
    }
    locks.hold(chart.id()); // while calendars change, it is theirs
    if (plans.current().version() != computed.orElseThrow().masters()) {
      return Optional.empty();
    }
    plans.current().requireDoubtsApplied(chart);
    AsOf asOf = computed.orElseThrow().asOf();
    String answer = computed.orElseThrow().answer();
    KeptStudy kept =
        new KeptStudy(
            ids.next(),
            code,
            chart.id(),
            asked,
            asOf,
            MethodRevision.NOW,
            new KeptAnswer(answer, MethodRevision.NOW, json).digest(),
            new KeptStudy.Signed(key, actor.name(), reason, clock.instant()));
    store.insert(kept, answer);
    audit.record(actor, "kept", "study", code, asked);
    return Optional.of(new Done(kept, false));
  }

  /** A study, written down, and what of the record and of which masters it looked at. */
  private record Computed(AsOf asOf, long masters, String answer) {}

  /** The moment is that of the snapshot or later, so calendars that it sees are in use by then. */
  private Computed compute(Chart chart, Studies.Question question) {
    AsOf asOf = new AsOf(locks.version(chart.id()), clock.instant().truncatedTo(ChronoUnit.MICROS));
    return new Computed(
        asOf,
        plans.current().version(),
        json.writeValueAsString(studies.asOf(chart, question, asOf)));
  }

  @Override
  public long count(Shifts.Recut recut) {
    return store.asked().stream()
        .filter(
            asked ->
                asked.measuredBefore().isAfter(recut.from())
                    && (recut.before() == null || asked.measuredFrom().isBefore(recut.before())))
        .count();
  }

  /**
   * Computes a kept study again from the record as it stood, and compares: from the readings
   * themselves where they may be looked at one by one, so that a summary proves nothing by itself.
   */
  Again again(String code) {
    KeptStudy kept = get(code);
    Chart chart = plans.current().charts().get(kept.chartId());
    return transactions.snapshot(
        () -> {
          KeptAnswer answer = stored(kept);
          boolean fromReadings = answer.readings() <= readingsAtOnce;
          Studies.Question question = kept.asked().question();
          Study study =
              fromReadings
                  ? studies.ofRecord(chart, question, kept.asOf())
                  : studies.asOf(chart, question, kept.asOf());
          return new Again(
              kept,
              study,
              fromReadings,
              answer.differences(json.readTree(json.writeValueAsString(study))),
              answer.digest().equals(kept.digest()),
              withdrawn(chart, study),
              withdrawnSpecification(chart, study));
        });
  }

  private @Nullable Specification withdrawnSpecification(Chart chart, Study study) {
    Study.Used used = study.specification();
    Plan plan = plans.current();
    return plan.revisions(plan.characteristics().get(chart.characteristicId()))
        .withdrawn()
        .filter(each -> used != null && each.revision() == used.revision())
        .findFirst()
        .orElse(null);
  }

  private List<LimitSet> withdrawn(Chart chart, Study study) {
    Study.InControl control = study.control();
    return control == null
        ? List.of()
        : limitSets.every(chart).stream()
            .filter(set -> set.withdrawal() != null && control.limitSets().contains(set.code()))
            .toList();
  }

  private Repeat content(KeptStudy kept) {
    return content(
        kept.code(),
        kept.signed().reason(),
        plans.current().charts().get(kept.chartId()).code(),
        kept.asked());
  }

  private static Repeat content(String code, String reason, String chart, KeptStudy.Asked asked) {
    return new Repeat()
        .with("/code", code)
        .with("/reason", reason)
        .with("/chart", chart)
        .with("/measuredFrom", asked.measuredFrom())
        .with("/measuredBefore", asked.measuredBefore())
        .with("/stratum", asked.stratum())
        .with("/estimator", asked.estimator())
        .with("/confidence", asked.confidence())
        .with("/evenIfNotInControl", asked.evenIfNotInControl())
        .with("/mixture", Boolean.TRUE.equals(asked.mixture()))
        .with("/method", asked.method())
        .with("/seed", asked.seed());
  }
}
