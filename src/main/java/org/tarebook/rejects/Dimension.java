package org.tarebook.rejects;

import io.swagger.v3.oas.annotations.media.Schema;

/** What rates can be told apart by. */
@Schema(name = "RateDimension")
public enum Dimension {
  /** The line of the station. */
  LINE,
  /** The component measured. */
  COMPONENT,
  /** The product measured. */
  PRODUCT,
  /** The station of the item's first judged reading on a line. */
  STATION,
  /** The die, drum or mould of the item's first judged reading on a line. */
  DIE,
  /** The name of the shift of the item's first judged reading. */
  SHIFT,
  /** The side on which a reading failed. */
  DIRECTION,
  /** The characteristic that failed, with the word for the side. */
  REASON
}
