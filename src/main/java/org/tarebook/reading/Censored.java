package org.tarebook.reading;

import io.swagger.v3.oas.annotations.media.Schema;
import org.tarebook.quantity.Side;

/** That the true value lies at the value shown or beyond it: a test ended before it was found. */
@Schema(name = "CensoredSide")
public enum Censored {
  /** At least the value: the rope broke elsewhere, the drum ran its whole time. */
  ABOVE("or more", Side.UPPER),
  /** At most the value: less than the instrument can tell. */
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
