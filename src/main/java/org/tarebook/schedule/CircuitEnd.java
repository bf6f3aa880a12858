package org.tarebook.schedule;

import io.swagger.v3.oas.annotations.media.Schema;

/** Where in its circuit a channel sits. */
@Schema(name = "CircuitEnd", description = "Where in its circuit a channel measures.")
public enum CircuitEnd {
  @Schema(description = "At the supply, before the press.")
  SUPPLY,
  @Schema(description = "At the return, after the press.")
  RETURN
}
