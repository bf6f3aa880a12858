package org.tarebook.reading;

import io.swagger.v3.oas.annotations.media.Schema;
import org.tarebook.quantity.Side;

/** That the true value lies at the value shown or beyond it: a test ended before it was found. */
@Schema(
    name = "CensoredSide",
    description = "On which side of the value shown the true value lies.")
public enum Censored {
  @Schema(
      description =
          "At or above the value shown: the test ended before the true value was reached.")
  ABOVE("or more", Side.UPPER),
  @Schema(description = "At or below the value shown: it is less than the instrument can measure.")
  BELOW("or less", Side.LOWER);

  private final String words;
  private final Side open;

  Censored(String words, Side open) {
    this.words = words;
    this.open = open;
  }

  /** As it is said after a value. */
  String words() {
    return words;
  }

  /** The side on which the true value may lie. */
  Side open() {
    return open;
  }
}
