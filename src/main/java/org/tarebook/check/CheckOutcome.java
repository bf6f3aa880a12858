package org.tarebook.check;

import java.time.Instant;
import org.jspecify.annotations.Nullable;

/**
 * What a check says of its instrument.
 *
 * @param id of the check
 * @param at when it was made
 * @param asFound before any adjusting; absent where it was not looked at
 * @param asLeft after adjusting; absent where nothing was adjusted
 */
record CheckOutcome(
    long id, Instant at, @Nullable CheckResult asFound, @Nullable CheckResult asLeft) {

  /** At least one phase is present. */
  CheckOutcome {
    if (asFound == null && asLeft == null) {
      throw new IllegalArgumentException("check " + id + " has neither as found nor as left");
    }
  }

  /** Whether the instrument is known to have been wrong when the check began. */
  boolean foundWrong() {
    return asFound == CheckResult.FAIL;
  }

  /** Whether the instrument is known to be right when the check ends. */
  boolean leavesRight() {
    return (asLeft == null ? asFound : asLeft) == CheckResult.PASS;
  }
}
