package org.tarebook.check;

import java.time.Instant;
import org.jspecify.annotations.Nullable;

/**
 * A stretch of time in which an instrument is not to be trusted. Derived from its checks.
 *
 * @param failedCheckId the check that opened it; no other doubt has the same
 * @param suspectFrom the last moment the instrument was known to be right; {@link Instant#EPOCH}
 *     where it never was
 * @param failedAt when that check was made
 * @param rightCheckId the check that closed it; absent while open
 * @param rightAt when the instrument was put right, not before {@code failedAt}; absent while open
 */
public record Doubt(
    long failedCheckId,
    Instant suspectFrom,
    Instant failedAt,
    @Nullable Long rightCheckId,
    @Nullable Instant rightAt) {

  /** Whether it is not put right yet. */
  public boolean open() {
    return rightAt == null;
  }

  /**
   * Whether a reading measured then is suspect: from the last good check, before the failed one.
   */
  public boolean suspectAt(Instant measuredAt) {
    return !measuredAt.isBefore(suspectFrom) && measuredAt.isBefore(failedAt);
  }

  /** Whether a reading measured then cannot be judged: from the failed check until put right. */
  public boolean failedAt(Instant measuredAt) {
    return !measuredAt.isBefore(failedAt) && (rightAt == null || measuredAt.isBefore(rightAt));
  }

  Doubt closedBy(CheckOutcome check) {
    return new Doubt(failedCheckId, suspectFrom, failedAt, check.id(), check.at());
  }
}
