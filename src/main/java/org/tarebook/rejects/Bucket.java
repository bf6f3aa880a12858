package org.tarebook.rejects;

import io.swagger.v3.oas.annotations.media.Schema;

/** How time is cut, by the plant's calendar. */
@Schema(
    name = "RateBucket",
    description = "How a window is divided, by the plant's shift calendar.")
public enum Bucket {
  @Schema(description = "Not divided.")
  NONE,
  @Schema(description = "Hours by the plant's clock.")
  HOUR,
  @Schema(description = "Shifts.")
  SHIFT,
  @Schema(description = "Plant days.")
  DAY,
  @Schema(description = "Seven plant days from Monday on, numbered as ISO 8601 numbers weeks.")
  WEEK
}
