package org.tarebook.reading;

import io.swagger.v3.oas.annotations.media.Schema;

/** What the line was doing. Only running counts in statistics. */
@Schema(name = "Phase", description = "What the line was doing. Only RUNNING counts in statistics.")
public enum Phase {
  @Schema(description = "Regular production.")
  RUNNING,
  @Schema(description = "Starting up.")
  START_UP,
  @Schema(description = "A trial.")
  TRIAL,
  @Schema(description = "Changing over to another product or component.")
  CHANGEOVER
}
