package org.tarebook.reading;

import io.swagger.v3.oas.annotations.media.Schema;

/** Something worth knowing about a reading, for the person at the station. */
@Schema(name = "Notice", description = "A notice about a reading, for the person at the station.")
public record Notice(
    @Schema(description = "Kind of notice, for a program.") Code code,
    @Schema(description = "The notice as a sentence for people.") String words) {

  /** Kinds of notices. */
  @Schema(name = "NoticeCode", description = "A kind of notice about a reading.")
  public enum Code {
    @Schema(description = "The device's clock is ahead of the server's.")
    CLOCK_AHEAD,
    @Schema(description = "The reading arrived long after it was measured.")
    CLOCK_BEHIND,
    @Schema(description = "The item's number is not registered.")
    UNKNOWN_ITEM,
    @Schema(
        description =
            "The item was measured before; only the first valid reading counts in statistics.")
    REPEATED_ITEM,
    @Schema(description = "The reading declares to remeasure a posting that is not on record.")
    REMEASURES_NOTHING,
    @Schema(description = "An item that failed or was conditional passes now, within moments.")
    PASS_AFTER_FAIL,
    @Schema(description = "The control plan has no row for it.")
    NO_CHART,
    @Schema(
        description =
            "The chart tells dies, lots, operators or instruments apart, and the reading"
                + " names none.")
    STRATUM_MISSING,
    @Schema(description = "The sample has readings in two shifts; each part is a point of its own.")
    SAMPLE_ACROSS_SHIFTS,
    @Schema(description = "Net differs from gross less tare.")
    NET_DIFFERS,
    @Schema(description = "The station has no single instrument of the kind.")
    INSTRUMENT_NOT_NAMED,
    @Schema(description = "The instrument hangs at another station.")
    INSTRUMENT_ELSEWHERE,
    @Schema(
        description = "The instrument's check is overdue; results are unverified until it is made.")
    CHECK_OVERDUE,
    @Schema(
        description =
            "The instrument failed the check that followed the reading; it does not count.")
    INSTRUMENT_SUSPECT,
    @Schema(
        description =
            "The instrument had failed its check and was not put right; the reading does not"
                + " count.")
    INSTRUMENT_FAILED,
    @Schema(
        description =
            "The value lies above the instrument's capacity; it is neither judged nor"
                + " counted.")
    ABOVE_CAPACITY,
    @Schema(description = "Something named is retired.")
    RETIRED,
    @Schema(
        description = "The reading completed a point, or run of points, that is out of control.")
    SIGNAL
  }
}
