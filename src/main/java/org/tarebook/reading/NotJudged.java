package org.tarebook.reading;

import io.swagger.v3.oas.annotations.media.Schema;

/** Why a reading was not judged. */
@Schema(name = "NotJudgedReason")
public enum NotJudged {
  NO_SPECIFICATION("no specification was in force when it was measured"),
  NO_UNCERTAINTY(
      "the specification keeps a guard band, and no measuring uncertainty of this station for this"
          + " characteristic is on record for that time; record one that begins no later than the"
          + " reading, and it is judged then"),
  OVERLOAD("the instrument was overloaded and showed no value"),
  UNDER("the instrument was below its range and showed no value"),
  UNSTABLE("the value was not at rest"),
  ABOVE_CAPACITY(
      "the value lies above the capacity of its instrument; weigh again on one that can weigh it"),
  CENSORED("the true value may lie on either side of a limit; only a bound of it is known"),
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
