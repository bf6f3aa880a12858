package org.tarebook.reading;

import io.swagger.v3.oas.annotations.media.Schema;

/** Why a reading does not count in statistics; the first that applies is told as its standing. */
@Schema(
    name = "StandingCause",
    description =
        "Why a reading does not count in statistics. Where several apply, the first of"
            + " this list is given.")
public enum Cause {
  @Schema(description = "An amendment voided it.")
  VOIDED("an amendment voided it"),
  @Schema(description = "An amendment replaced it.")
  REPLACED("an amendment replaced it"),
  @Schema(description = "Its instrument had failed a check and was not yet put right.")
  INSTRUMENT_FAILED("its instrument had failed and was not yet put right"),
  @Schema(description = "Its instrument failed the next check.")
  INSTRUMENT_SUSPECT("its instrument failed the next check"),
  @Schema(description = "The instrument showed no steady value.")
  NO_VALUE("the instrument showed no steady value"),
  @Schema(description = "The value lies above the capacity of its instrument.")
  ABOVE_CAPACITY("the value lies above the capacity of its instrument"),
  @Schema(description = "Only a bound of its value is known.")
  CENSORED("only a bound of its value is known"),
  @Schema(description = "The line was not running.")
  NOT_RUNNING("the line was not running"),
  @Schema(description = "An earlier reading of the same item counts.")
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
