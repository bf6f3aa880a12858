package org.tarebook.check;

import com.fasterxml.jackson.annotation.JsonInclude;
import java.time.Duration;
import java.time.Instant;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/**
 * How an instrument stands at a moment.
 *
 * @param instrument its code
 * @param standing in one word
 * @param summary the same in a sentence
 * @param failedSince when the check was made that found or left it wrong; absent unless failed
 * @param overdueSince since when the next check is due; absent unless overdue
 * @param lastGoodCheck the last check that left it right; absent where there is none
 * @param checkEvery the longest time from one check to the next; absent where the control plan asks
 *     for none
 * @param nextDue until when the next check is to be made; absent where none is asked for or none
 *     was good yet
 */
@JsonInclude(JsonInclude.Include.NON_NULL)
record InstrumentStanding(
    String instrument,
    Standing standing,
    String summary,
    @Nullable Instant failedSince,
    @Nullable Instant overdueSince,
    @Nullable Instant lastGoodCheck,
    @Nullable Duration checkEvery,
    @Nullable Instant nextDue) {

  /** In one word; the first that applies, from the bottom. */
  enum Standing {
    IN_ORDER,
    OVERDUE,
    UNCHECKED,
    FAILED
  }

  static InstrumentStanding of(
      String instrument,
      InstrumentState state,
      @Nullable Instant lastGood,
      Optional<Duration> every,
      Instant now) {
    Instant failedSince =
        state.doubts().stream().filter(Doubt::open).map(Doubt::failedAt).findFirst().orElse(null);
    Instant due = lastGood == null ? null : state.unverifiedFrom().orElse(null);
    Instant overdueSince = due == null || now.isBefore(due) ? null : due;
    Standing standing;
    String summary;
    if (failedSince != null) {
      standing = Standing.FAILED;
      summary = "Its readings are not judged until a check leaves it right.";
    } else if (lastGood == null) {
      standing = Standing.UNCHECKED;
      summary =
          every.isPresent()
              ? "No check is on record; its readings are unverified."
              : "No check is on record and the control plan asks for none.";
    } else if (overdueSince != null) {
      standing = Standing.OVERDUE;
      summary = "A check is overdue; readings measured since it was due are unverified.";
    } else {
      standing = Standing.IN_ORDER;
      summary = "The last check left it right.";
    }
    return new InstrumentStanding(
        instrument,
        standing,
        summary,
        failedSince,
        overdueSince,
        lastGood,
        every.orElse(null),
        due);
  }
}
