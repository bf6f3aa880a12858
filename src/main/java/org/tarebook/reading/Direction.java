package org.tarebook.reading;

import io.swagger.v3.oas.annotations.media.Schema;
import org.tarebook.quantity.Kind;

/** On which side a reading failed. */
@Schema(name = "RejectDirection", description = "On which side of its limits a reading failed.")
public enum Direction {
  @Schema(description = "Below the lower limit.")
  BELOW,
  @Schema(description = "Above the upper limit.")
  ABOVE;

  /** The word of the floor for it: a mass is light or heavy. */
  public String word(Kind kind) {
    if (kind == Kind.MASS) {
      return this == BELOW ? "light" : "heavy";
    }
    return this == BELOW ? "below" : "above";
  }
}
