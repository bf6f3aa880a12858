package org.tarebook.cure;

import java.time.Clock;
import java.time.Instant;
import java.util.LinkedHashSet;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Service;
import org.tarebook.audit.Actor;
import org.tarebook.cure.PieceStore.Piece;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.Presses;
import org.tarebook.schedule.CureSchedules;
import org.tarebook.storage.Ids;
import org.tarebook.storage.Transactions;

/**
 * Takes in pieces of logs, and closes cures. Both hold the lock of the cure, so a piece is in the
 * verdict or it is refused, and never lost in between.
 */
@Service
class SampleIntake {

  private final CureStore cures;
  private final PieceStore pieces;
  private final CureIntake intake;
  private final Verdicts verdicts;
  private final Presses presses;
  private final CureSchedules schedules;
  private final Transactions transactions;
  private final Ids ids;
  private final Clock clock;

  SampleIntake(
      CureStore cures,
      PieceStore pieces,
      CureIntake intake,
      Verdicts verdicts,
      Presses presses,
      CureSchedules schedules,
      Transactions transactions,
      Ids ids,
      Clock clock) {
    this.cures = cures;
    this.pieces = pieces;
    this.intake = intake;
    this.verdicts = verdicts;
    this.presses = presses;
    this.schedules = schedules;
    this.transactions = transactions;
    this.ids = ids;
    this.clock = clock;
  }

  /**
   * A piece somebody posts.
   *
   * @param lateBecause why it comes after the cure was closed
   */
  record Posted(
      String key, @Nullable Long sequence, @Nullable String lateBecause, PieceContent content) {}

  /** A piece, and whether it was on record before. */
  record Outcome(Piece piece, boolean replayed) {}

  /** A cure with its verdict, and whether it was closed before. */
  record Closed(Cure cure, Verdict verdict, boolean replayed) {}

  /** The cure an address names, if the actor may post to it. */
  Cure own(long id, Actor actor) {
    Cure cure = cures.require(id);
    intake.requireOwn(presses.byId(cure.pressId()), actor);
    return cure;
  }

  /** Names of the steps a piece may mark; empty where no schedule was in force. */
  Set<String> steps(Cure cure) {
    Set<String> names = new LinkedHashSet<>();
    if (cure.revisionId() != null) {
      schedules
          .revisionById(cure.revisionId())
          .definition()
          .steps()
          .forEach(step -> names.add(step.name()));
    }
    return names;
  }

  Outcome add(long cureId, Posted posted, Actor actor) {
    byte[] body = PieceCodec.encode(posted.content());
    String hash = posted.content().hash();
    return transactions.write(
        () -> {
          Optional<Piece> early = pieces.find(cureId, posted.key());
          if (early.isPresent()) {
            return replay(early.get(), posted, hash);
          }
          Cure cure = cures.lock(cureId);
          Optional<Piece> stored = pieces.find(cureId, posted.key());
          if (stored.isPresent()) {
            return replay(stored.get(), posted, hash);
          }
          if (!cure.open() && posted.lateBecause() == null) {
            throw new Problem(
                ProblemType.CONFLICT,
                "Cure "
                    + cureId
                    + " was closed at "
                    + Objects.requireNonNull(cure.closing()).at()
                    + " and is judged. If these samples belong to it, send them again with"
                    + " lateBecause and the reason: the cure is then judged again, and the verdict"
                    + " there is stays on record.");
          }
          Instant now = clock.instant();
          Piece piece =
              new Piece(
                  ids.next(),
                  cureId,
                  posted.key(),
                  posted.sequence(),
                  hash,
                  now,
                  actor.name(),
                  cure.open() ? null : posted.lateBecause(),
                  posted.content().firstAt(),
                  posted.content().lastAt(),
                  posted.content().samples(),
                  body.length);
          pieces.add(piece, body);
          if (!cure.open()) {
            verdicts.reach(cure, Verdict.Because.LATE_SAMPLES, actor);
          }
          return new Outcome(piece, false);
        });
  }

  Closed close(long cureId, String key, @Nullable Instant closedAt, Actor actor) {
    return transactions.write(
        () -> {
          Cure seen = cures.require(cureId);
          Cure cure = seen.open() ? cures.lock(cureId) : seen;
          Cure.Closing before = cure.closing();
          if (before != null) {
            return closedBefore(cure, before, key, closedAt, actor);
          }
          Instant now = clock.instant();
          Instant at = closedAt == null ? now : closedAt;
          intake.requireNotAhead(at, now, "/closedAt");
          if (at.isBefore(cure.startedAt())) {
            throw Problem.at(
                ProblemType.RULE_BROKEN,
                "/closedAt",
                "is before the cure started, at " + cure.startedAt());
          }
          cures.close(cureId, new Cure.Closing(at, key, actor.name()));
          cures.judgeBy(cureId, verdicts.revisionNow(cure));
          Cure closed = cures.require(cureId);
          Verdict verdict = verdicts.reach(closed, Verdict.Because.CLOSED, actor);
          return new Closed(closed, verdict, false);
        });
  }

  /** Judges a closed cure again because a person asks for it. */
  Closed judgeAgain(long cureId, Verdict.Asked asked, Actor actor) {
    return transactions.write(
        () -> {
          Cure seen = cures.require(cureId);
          Optional<Verdict> before = answered(cureId, asked, actor);
          if (before.isPresent()) {
            return new Closed(seen, before.get(), true);
          }
          if (seen.open()) {
            throw new Problem(
                ProblemType.CONFLICT,
                "Cure " + cureId + " is not closed yet, so it has no verdict to succeed.");
          }
          Cure cure = cures.lock(cureId);
          before = answered(cureId, asked, actor);
          if (before.isPresent()) {
            return new Closed(cure, before.get(), true);
          }
          if (verdicts.last(cureId).method() == Verdict.METHOD) {
            throw new Problem(
                ProblemType.CONFLICT,
                "Cure "
                    + cureId
                    + " was judged by the present method, "
                    + Verdict.METHOD
                    + ", from all its samples; judging it again would say the same.");
          }
          return new Closed(cure, verdicts.reach(cure, asked, actor), false);
        });
  }

  private Optional<Verdict> answered(long cureId, Verdict.Asked asked, Actor actor) {
    Optional<Verdict> stored =
        verdicts.of(cureId).stream()
            .filter(one -> one.asked() != null && one.asked().key().equals(asked.key()))
            .filter(one -> one.reachedBy().equals(actor.name()))
            .findFirst();
    if (stored.isPresent() && !asked.equals(stored.get().asked())) {
      throw Problem.at(
          ProblemType.KEY_REUSED,
          "/reason",
          "differs from the stored one under this key; a new question needs a new key");
    }
    return stored;
  }

  /** The first verdict again, to whoever repeats the closing. */
  private Closed closedBefore(
      Cure cure, Cure.Closing before, String key, @Nullable Instant closedAt, Actor actor) {
    if (!before.key().equals(key) || !before.by().equals(actor.name())) {
      throw new Problem(
          ProblemType.CONFLICT,
          "Cure "
              + cure.id()
              + " was closed at "
              + before.at()
              + " by "
              + before.by()
              + " under the key "
              + before.key()
              + ".");
    }
    if (closedAt != null && !closedAt.equals(before.at())) {
      throw Problem.at(
          ProblemType.KEY_REUSED, "/closedAt", "is " + before.at() + " in the stored cure");
    }
    return new Closed(cure, verdicts.of(cure.id()).get(0), true);
  }

  private static Outcome replay(Piece stored, Posted posted, String hash) {
    if (!stored.hash().equals(hash)) {
      throw new Problem(
          ProblemType.KEY_REUSED,
          "The key "
              + posted.key()
              + " names a piece with other samples ("
              + stored.samples()
              + " from "
              + stored.firstAt()
              + " to "
              + stored.lastAt()
              + "); a new piece needs a new key. The stored piece is unchanged.");
    }
    return new Outcome(stored, true);
  }
}
