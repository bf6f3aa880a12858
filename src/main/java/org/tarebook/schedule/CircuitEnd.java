package org.tarebook.schedule;

import io.swagger.v3.oas.annotations.media.Schema;

/** Where in its circuit a channel sits. */
@Schema(name = "CircuitEnd")
public enum CircuitEnd {
  SUPPLY,
  RETURN
}
