package org.tarebook.reading;

import io.swagger.v3.oas.annotations.media.Schema;

/**
 * Something worth knowing about a reading, for the person at the station.
 *
 * @param code what kind, for a program
 * @param words what it is, for a person
 */
@Schema(name = "Notice")
public record Notice(Code code, String words) {

  /** Kinds of notices. */
  @Schema(name = "NoticeCode")
  public enum Code {
    /** The device's clock is ahead of the server's. */
    CLOCK_AHEAD,
    /** The reading arrived long after it was measured. */
    CLOCK_BEHIND,
    /** The item's number is not registered. */
    UNKNOWN_ITEM,
    /** The item was measured before; only the first valid reading counts in statistics. */
    REPEATED_ITEM,
    /** The reading declares to remeasure a posting that is not on record. */
    REMEASURES_NOTHING,
    /** An item that failed or was conditional passes now, within moments. */
    PASS_AFTER_FAIL,
    /** The control plan has no row for it. */
    NO_CHART,
    /** The chart tells dies, lots, operators or instruments apart, and the reading names none. */
    STRATUM_MISSING,
    /** The sample has readings in two shifts; each part is a point of its own. */
    SAMPLE_ACROSS_SHIFTS,
    /** Net differs from gross less tare. */
    NET_DIFFERS,
    /** The station has no single instrument of the kind. */
    INSTRUMENT_NOT_NAMED,
    /** The instrument hangs at another station. */
    INSTRUMENT_ELSEWHERE,
    /** The instrument's check is overdue; results are unverified until it is made. */
    CHECK_OVERDUE,
    /** The instrument failed the check that followed the reading; it does not count. */
    INSTRUMENT_SUSPECT,
    /** The instrument had failed its check and was not put right; the reading does not count. */
    INSTRUMENT_FAILED,
    /** The value lies above the instrument's capacity; it is neither judged nor counted. */
    ABOVE_CAPACITY,
    /** Something named is retired. */
    RETIRED,
    /** The reading completed a point, or run of points, that is out of control. */
    SIGNAL
  }
}
