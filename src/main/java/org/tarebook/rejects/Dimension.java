package org.tarebook.rejects;

import io.swagger.v3.oas.annotations.media.Schema;

/** What rates can be told apart by. */
@Schema(name = "RateDimension", description = "What reject rates are grouped by.")
public enum Dimension {
  @Schema(description = "The line of the station.")
  LINE,
  @Schema(description = "The component measured.")
  COMPONENT,
  @Schema(description = "The product measured.")
  PRODUCT,
  @Schema(description = "The station of the item's first judged reading on a line.")
  STATION,
  @Schema(description = "The die, drum or mould of the item's first judged reading on a line.")
  DIE,
  @Schema(description = "The name of the shift of the item's first judged reading.")
  SHIFT,
  @Schema(description = "The side of the limits on which a reading failed.")
  DIRECTION,
  @Schema(description = "The characteristic that failed, with the side.")
  REASON
}
