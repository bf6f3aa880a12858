package org.tarebook.reading;

import io.swagger.v3.oas.annotations.media.Schema;

/** Why a reading does not count in statistics; the first that applies is told as its standing. */
@Schema(name = "StandingCause")
public enum Cause {
  VOIDED("an amendment voided it"),
  REPLACED("an amendment replaced it"),
  INSTRUMENT_FAILED("its instrument had failed and was not yet put right"),
  INSTRUMENT_SUSPECT("its instrument failed the next check"),
  NO_VALUE("the instrument showed no steady value"),
  ABOVE_CAPACITY("the value lies above the capacity of its instrument"),
  CENSORED("only a bound of its value is known"),
  NOT_RUNNING("the line was not running"),
  REMEASUREMENT("an earlier reading of the same item counts");

  private final String words;

  Cause(String words) {
    this.words = words;
  }

  /** The cause in words. */
  public String words() {
    return words;
  }
}
