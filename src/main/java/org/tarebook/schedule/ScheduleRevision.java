package org.tarebook.schedule;

import java.time.Instant;
import org.jspecify.annotations.Nullable;

/**
 * One revision of a schedule. It is never edited: it holds from its start until the next begins,
 * and a wrong one is withdrawn, which leaves it on record.
 *
 * @param revision counted from 1 within the schedule
 * @param doubtReason why it was recorded though a load that meets its own targets exactly is not
 *     judged good; absent where such a load is
 * @param withdrawal absent while it stands
 */
public record ScheduleRevision(
    long id,
    long scheduleId,
    int revision,
    String key,
    Instant validFrom,
    ScheduleDefinition definition,
    String reason,
    @Nullable String doubtReason,
    String person,
    Instant recordedAt,
    @Nullable Withdrawal withdrawal) {

  /** That it was wrong. */
  public record Withdrawal(Instant at, String person, String reason) {}

  /** Whether it stands. */
  public boolean stands() {
    return withdrawal == null;
  }
}
