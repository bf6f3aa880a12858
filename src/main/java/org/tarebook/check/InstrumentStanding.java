package org.tarebook.check;

import com.fasterxml.jackson.annotation.JsonInclude;
import io.swagger.v3.oas.annotations.media.Schema;
import java.time.Duration;
import java.time.Instant;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/** How an instrument stands at a moment. */
@JsonInclude(JsonInclude.Include.NON_NULL)
@Schema(name = "InstrumentStanding", description = "The standing of an instrument at a moment.")
record InstrumentStanding(
    String instrument,
    @Schema(description = "The standing as a code.") Standing standing,
    @Schema(description = "The same in a sentence.") String summary,
    @Schema(description = "When the check was made that found or left it wrong.")
        @Nullable Instant failedSince,
    @Schema(description = "Since when the next check is due, where that moment has passed.")
        @Nullable Instant overdueSince,
    @Schema(description = "The last check that left it right.") @Nullable Instant lastGoodCheck,
    @Schema(
            description =
                "The longest time from one check to the next; absent where the control plan asks"
                    + " for none.",
            example = "PT8H")
        @Nullable Duration checkEvery,
    @Schema(
            description =
                "Until when the next check is to be made; absent where none is asked for or none"
                    + " was good yet.")
        @Nullable Instant nextDue) {

  /** In one word; the first that applies, from the bottom. */
  @Schema(
      name = "InstrumentStandingCode",
      description =
          "How an instrument stands. Where several apply, the worst is given: FAILED,"
              + " UNCHECKED, OVERDUE, IN_ORDER.")
  enum Standing {
    @Schema(description = "The last check left it right, and the next is not overdue.")
    IN_ORDER,
    @Schema(description = "A check is overdue; readings measured since it was due are unverified.")
    OVERDUE,
    @Schema(description = "No check that left it right is on record.")
    UNCHECKED,
    @Schema(
        description =
            "A check found or left it wrong, and no later check has left it right. Its"
                + " readings are not judged.")
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
