package org.tarebook.cure;

import java.time.Clock;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Service;
import org.tarebook.audit.Actor;
import org.tarebook.audit.Audit;
import org.tarebook.cure.ChannelLog.Conflict;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.storage.Ids;
import org.tarebook.storage.Transactions;

/** What persons settle of samples in conflict; a closed cure gets a successor verdict by it. */
@Service
class Settlements {

  private final CureStore cures;
  private final SettlementStore store;
  private final Verdicts verdicts;
  private final Transactions transactions;
  private final Audit audit;
  private final Ids ids;
  private final Clock clock;

  Settlements(
      CureStore cures,
      SettlementStore store,
      Verdicts verdicts,
      Transactions transactions,
      Audit audit,
      Ids ids,
      Clock clock) {
    this.cures = cures;
    this.store = store;
    this.verdicts = verdicts;
    this.transactions = transactions;
    this.audit = audit;
    this.ids = ids;
    this.clock = clock;
  }

  /** A settlement, and whether it was on record before. */
  record Outcome(Settlement settlement, boolean replayed) {}

  List<Settlement> of(long cureId) {
    return store.of(cures.require(cureId).id());
  }

  /**
   * Settles the conflicts of a channel in a window. A repeat under the same key changes nothing.
   */
  Outcome settle(long cureId, Settlement.Asked asked, Actor actor) {
    return transactions.write(
        () -> {
          Optional<Settlement> early = stored(of(cureId), asked, actor);
          if (early.isPresent()) {
            return new Outcome(early.get(), true);
          }
          Cure cure = cures.lock(cureId);
          List<Settlement> before = store.of(cureId);
          Optional<Settlement> stored = stored(before, asked, actor);
          if (stored.isPresent()) {
            return new Outcome(stored.get(), true);
          }
          Settlement settlement = settlement(cure, before.size() + 1, asked, actor);
          store.add(settlement);
          audit.record(actor, "created", "settlement", cureId + "/" + settlement.number(), asked);
          if (!cure.open()) {
            verdicts.reach(cure, Verdict.Because.SETTLED, actor);
          }
          return new Outcome(settlement, false);
        });
  }

  private static Optional<Settlement> stored(
      List<Settlement> all, Settlement.Asked asked, Actor actor) {
    Optional<Settlement> stored =
        all.stream()
            .filter(one -> one.person().equals(actor.name()))
            .filter(one -> one.asked().key().equals(asked.key()))
            .findFirst();
    stored.ifPresent(
        one ->
            asked
                .content(one.from(), one.until())
                .requireSameAs(
                    one.asked().content(one.from(), one.until()),
                    asked.key(),
                    "settlement " + one.number() + " of cure " + one.cureId()));
    return stored;
  }

  private Settlement settlement(Cure cure, int number, Settlement.Asked asked, Actor actor) {
    CureLog log = verdicts.log(cure);
    ChannelLog channel = log.channels().get(asked.channel());
    if (channel == null) {
      throw Problem.at(
          ProblemType.UNKNOWN_CODE,
          "/channel",
          "'" + asked.channel() + "' is not a channel of cure " + cure.id());
    }
    List<Conflict> conflicts =
        channel.inConflict().stream()
            .filter(one -> within(log.at(one.at()), asked.from(), asked.until()))
            .toList();
    if (conflicts.isEmpty()) {
      throw Problem.at(
          ProblemType.RULE_BROKEN,
          "/channel",
          asked.channel()
              + " was not sent with different values for any moment of this window; GET"
              + " /api/v1/cures/"
              + cure.id()
              + "/samples shows which samples are in CONFLICT");
    }
    Set<String> among = new TreeSet<>();
    for (Conflict conflict : conflicts) {
      among.addAll(conflict.pieces());
      String stands = asked.stands();
      if (stands != null && conflict.of(stands).isEmpty()) {
        throw Problem.at(
            ProblemType.RULE_BROKEN,
            "/stands",
            "piece "
                + stands
                + " does not say one value for "
                + log.at(conflict.at())
                + "; name one of "
                + String.join(", ", conflict.pieces())
                + ", or settle a shorter window");
      }
    }
    return new Settlement(
        ids.next(),
        cure.id(),
        number,
        asked,
        log.at(conflicts.get(0).at()),
        log.at(conflicts.get(conflicts.size() - 1).at()),
        among,
        actor.name(),
        clock.instant());
  }

  private static boolean within(Instant moment, @Nullable Instant from, @Nullable Instant until) {
    return (from == null || !moment.isBefore(from)) && (until == null || !moment.isAfter(until));
  }
}
