package org.tarebook.capability;

import java.time.Clock;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.springframework.stereotype.Service;
import org.tarebook.audit.Actor;
import org.tarebook.audit.Audit;
import org.tarebook.chart.Chart;
import org.tarebook.chart.Plans;
import org.tarebook.control.WithinSigma;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.Repeat;
import org.tarebook.reading.AsOf;
import org.tarebook.storage.Ids;
import org.tarebook.storage.Sha256;
import org.tarebook.storage.Transactions;
import org.tarebook.storage.WriteLocks;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;

/** Keeps capability studies, and computes them again from the record as it stood. */
@Service
class KeptStudies {

  /** What says how much has changed since, and so is no part of what is kept. */
  private static final String CHANGED_SINCE = "/state/changedSince";

  private final KeptStudyStore store;
  private final Studies studies;
  private final Plans plans;
  private final WriteLocks locks;
  private final Transactions transactions;
  private final Audit audit;
  private final Ids ids;
  private final Clock clock;
  private final JsonMapper json;

  KeptStudies(
      KeptStudyStore store,
      Studies studies,
      Plans plans,
      WriteLocks locks,
      Transactions transactions,
      Audit audit,
      Ids ids,
      Clock clock,
      JsonMapper json) {
    this.store = store;
    this.studies = studies;
    this.plans = plans;
    this.locks = locks;
    this.transactions = transactions;
    this.audit = audit;
    this.ids = ids;
    this.clock = clock;
    this.json = json;
  }

  /** A kept study, and whether it was on record before. */
  record Done(KeptStudy study, boolean replayed) {}

  /**
   * A study computed again.
   *
   * @param differences where the answer differs from the kept one; empty where it is the same
   */
  record Again(KeptStudy kept, Study study, List<String> differences) {}

  KeptStudy get(String code) {
    return store.byCode(code).orElseThrow(() -> Problem.notFound("kept study", code));
  }

  /** The answer of a kept study as it was given. */
  JsonNode answer(KeptStudy kept) {
    return json.readTree(store.answer(kept));
  }

  List<KeptStudy> of(Chart chart) {
    return store.ofChart(chart.id());
  }

  Done keep(
      String key, String code, String reason, Chart chart, KeptStudy.Asked asked, Actor actor) {
    asked.question().window().check();
    WithinSigma.require(chart, asked.estimator(), "/estimator");
    Instant moment = clock.instant().truncatedTo(ChronoUnit.MICROS);
    Optional<Computed> computed =
        transactions.snapshot(
            () ->
                store.byKey(actor.name(), key).isPresent()
                    ? Optional.empty()
                    : Optional.of(compute(chart, asked.question(), moment)));
    return transactions.write(
        () -> {
          Optional<KeptStudy> known = store.byKey(actor.name(), key);
          if (known.isPresent()) {
            content(code, reason, chart.code(), asked)
                .requireSameAs(content(known.get()), key, "kept study " + known.get().code());
            return new Done(known.get(), true);
          }
          if (store.byCode(code).isPresent()) {
            throw Problem.at(
                ProblemType.ALREADY_EXISTS, "/code", "There is a kept study " + code + ".");
          }
          AsOf asOf = computed.orElseThrow().asOf();
          String answer = computed.orElseThrow().answer();
          KeptStudy kept =
              new KeptStudy(
                  ids.next(),
                  code,
                  chart.id(),
                  asked,
                  asOf,
                  Sha256.of(answer),
                  new KeptStudy.Signed(key, actor.name(), reason, clock.instant()));
          store.insert(kept, answer);
          audit.record(actor, "kept", "study", code, asked);
          return new Done(kept, false);
        });
  }

  /** A study, written down, and what of the record it looked at. */
  private record Computed(AsOf asOf, String answer) {}

  private Computed compute(Chart chart, Studies.Question question, Instant moment) {
    AsOf asOf = new AsOf(locks.version(chart.id()), moment);
    return new Computed(asOf, json.writeValueAsString(studies.asOf(chart, question, asOf)));
  }

  /** Computes a kept study again from the record as it stood, and compares. */
  Again again(String code) {
    KeptStudy kept = get(code);
    Chart chart = plans.current().charts().get(kept.chartId());
    return transactions.snapshot(
        () -> {
          Study study = studies.asOf(chart, kept.asked().question(), kept.asOf());
          String answer = store.answer(kept);
          List<String> differences = new ArrayList<>();
          compare(
              "",
              json.readTree(answer),
              json.readTree(json.writeValueAsString(study)),
              differences);
          if (!Sha256.of(answer).equals(kept.digest())) {
            differences.add("the stored answer, which no longer has its digest");
          }
          return new Again(kept, study, differences);
        });
  }

  /** Adds where a part of what was kept is no longer so; members that are new since are let be. */
  private static void compare(String at, JsonNode kept, JsonNode now, List<String> differences) {
    if (at.equals(CHANGED_SINCE)) {
      return;
    }
    if (kept.isObject() && now.isObject()) {
      kept.propertyNames()
          .forEach(name -> compare(at + "/" + name, kept.path(name), now.path(name), differences));
    } else if (kept.isArray() && now.isArray() && kept.size() == now.size()) {
      for (int i = 0; i < kept.size(); i++) {
        compare(at + "/" + i, kept.path(i), now.path(i), differences);
      }
    } else if (!kept.equals(now)) {
      differences.add(at);
    }
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
        .with("/method", asked.method())
        .with("/seed", asked.seed());
  }
}
