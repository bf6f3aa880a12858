package org.tarebook.reading;

import io.swagger.v3.oas.annotations.media.Schema;

/** Why a reading was not judged. */
@Schema(name = "NotJudgedReason", description = "Why a reading was not judged.")
public enum NotJudged {
  @Schema(description = "No specification was in force when it was measured.")
  NO_SPECIFICATION("no specification was in force when it was measured"),
  @Schema(
      description =
          "The specification has a guard band, and no uncertainty of this station for this"
              + " characteristic was on record for that time.")
  NO_UNCERTAINTY(
      "the specification keeps a guard band, and no measuring uncertainty of this station for this"
          + " characteristic is on record for that time; record one that begins no later than the"
          + " reading, and it is judged then"),
  @Schema(description = "The instrument was overloaded and showed no value.")
  OVERLOAD("the instrument was overloaded and showed no value"),
  @Schema(description = "The instrument was below its range and showed no value.")
  UNDER("the instrument was below its range and showed no value"),
  @Schema(description = "The value was not at rest.")
  UNSTABLE("the value was not at rest"),
  @Schema(description = "The value lies above the capacity of its instrument.")
  ABOVE_CAPACITY(
      "the value lies above the capacity of its instrument; weigh again on one that can weigh it"),
  @Schema(
      description =
          "The true value may lie on either side of a limit; only a bound of it is known.")
  CENSORED("the true value may lie on either side of a limit; only a bound of it is known"),
  @Schema(description = "The instrument had failed a check and was not yet put right.")
  INSTRUMENT_FAILED("the instrument had failed its check and was not yet put right");

  private final String words;

  NotJudged(String words) {
    this.words = words;
  }

  /** The reason in words. */
  public String words() {
    return words;
  }
}
