package org.tarebook.reading;

import io.swagger.v3.oas.annotations.media.Schema;
import org.tarebook.quantity.Kind;

/** On which side a reading failed. */
@Schema(name = "RejectDirection")
public enum Direction {
  BELOW,
  ABOVE;

  /** The word of the floor for it: a mass is light or heavy. */
  public String word(Kind kind) {
    if (kind == Kind.MASS) {
      return this == BELOW ? "light" : "heavy";
    }
    return this == BELOW ? "below" : "above";
  }
}
