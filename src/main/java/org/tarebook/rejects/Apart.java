package org.tarebook.rejects;

import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.tarebook.reading.Cause;
import org.tarebook.reading.Result;

/**
 * Why a reading or a cure takes no part in rates and is counted apart; the first that applies
 * counts.
 */
enum Apart {
  VOIDED,
  REPLACED,
  NOT_JUDGED,
  NOT_RUNNING,
  /** A cavity whose standing verdict is not judged. */
  CURE_NOT_JUDGED,
  /** A cavity of a load that runs, was never closed, or was closed without a sample. */
  CURE_WITHOUT_LOG,
  /** Judged with an instrument that a check found doubtful, and the question leaves those out. */
  INSTRUMENT_SUSPECT;

  /**
   * What sets a reading apart, in the order in which causes are told as its standing. A doubtful
   * instrument does not: its value leaves the statistics, but what was rejected was rejected.
   */
  static @Nullable Apart of(Set<Cause> causes, Result result) {
    for (Cause cause : Cause.values()) {
      Apart apart = causes.contains(cause) ? of(cause) : null;
      if (apart != null) {
        return apart;
      }
    }
    return result == Result.NOT_JUDGED ? NOT_JUDGED : null;
  }

  private static @Nullable Apart of(Cause cause) {
    return switch (cause) {
      case VOIDED -> VOIDED;
      case REPLACED -> REPLACED;
      case NO_VALUE, ABOVE_CAPACITY -> NOT_JUDGED;
      case NOT_RUNNING -> NOT_RUNNING;
      case CENSORED, INSTRUMENT_FAILED, INSTRUMENT_SUSPECT, REMEASUREMENT -> null;
    };
  }
}
