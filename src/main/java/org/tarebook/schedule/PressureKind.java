package org.tarebook.schedule;

import io.swagger.v3.oas.annotations.media.Schema;

/** What a pressure is counted from. */
@Schema(name = "PressureKind", description = "The reference of a pressure.")
public enum PressureKind {
  @Schema(
      description = "Above the pressure of the ambient air; an absolute value needs the barometer.")
  GAUGE,
  @Schema(description = "Above vacuum.")
  ABSOLUTE
}
