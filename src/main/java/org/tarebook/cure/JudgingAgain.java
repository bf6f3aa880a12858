package org.tarebook.cure;

import java.time.Instant;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.springframework.scheduling.annotation.Scheduled;
import org.springframework.stereotype.Service;
import org.tarebook.audit.Actor;
import org.tarebook.schedule.JudgedCures;
import org.tarebook.storage.DatabaseFailure;
import org.tarebook.storage.Outages;
import org.tarebook.storage.Transactions;

/**
 * Judges cures again whose schedule revision was withdrawn: in the background, a transaction for
 * each, the oldest first. What is left to do stands in the database, so a restart loses nothing and
 * several copies of the service share the work.
 */
@Service
class JudgingAgain implements JudgedCures {

  private static final Logger log = LoggerFactory.getLogger(JudgingAgain.class);
  private static final int AT_ONCE = 50;

  private final CureStore cures;
  private final Verdicts verdicts;
  private final Transactions transactions;
  private final Outages outages;

  JudgingAgain(CureStore cures, Verdicts verdicts, Transactions transactions, Outages outages) {
    this.outages = outages;
    this.cures = cures;
    this.verdicts = verdicts;
    this.transactions = transactions;
  }

  @Override
  public long cures(long revisionId) {
    return cures.judgedBy(revisionId);
  }

  @Override
  public long curesSince(long scheduleId, Instant from) {
    return cures.closedSince(scheduleId, from);
  }

  @Override
  public void changed(long scheduleId, Instant from) {
    cures.markToBeJudgedAgain(scheduleId, from);
  }

  /**
   * Judges what is to be judged again. One that cannot be holds up no other, and is tried again.
   */
  @Scheduled(fixedDelayString = "${tarebook.judging-again}")
  void run() {
    List<Long> waiting = cures.toBeJudgedAgain(0, AT_ONCE);
    while (!waiting.isEmpty()) {
      log.info(
          "{} cures are judged again, since the revision in force for them has changed",
          waiting.size());
      for (long cureId : waiting) {
        try {
          judgeAgain(cureId);
        } catch (RuntimeException failure) {
          Optional<DatabaseFailure> database = outages.note(failure);
          if (database.isEmpty()) {
            log.error("Cure {} could not be judged again", cureId, failure);
          } else if (database.get() != DatabaseFailure.BUSY) {
            return; // the next round goes on
          }
        }
      }
      waiting = cures.toBeJudgedAgain(waiting.get(waiting.size() - 1), AT_ONCE);
    }
  }

  private void judgeAgain(long cureId) {
    transactions.write(
        () -> {
          Cure cure = cures.lock(cureId);
          Long revision = verdicts.revisionNow(cure);
          cures.judgeBy(cureId, revision);
          if (Objects.equals(revision, cure.revisionId())) {
            return false;
          }
          verdicts.reach(cures.require(cureId), Verdict.Because.REVISION_CHANGED, Actor.TAREBOOK);
          return true;
        });
  }
}
