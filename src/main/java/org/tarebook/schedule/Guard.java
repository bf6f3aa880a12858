package org.tarebook.schedule;

import io.swagger.v3.oas.annotations.media.Schema;

/** Sources of doubt about an estimate that a schedule's minimum may hold already. */
@Schema(
    name = "ScheduleGuard",
    description =
        "A source of doubt about an estimate of cure that a limit in the schedule may"
            + " already cover.")
public enum Guard {
  @Schema(description = "The uncertainty of the thermal diffusivity.")
  DIFFUSIVITY,
  @Schema(
      description =
          "The uncertainty of how the rate of cure depends on temperature: of the"
              + " activation energy or the temperature coefficient.")
  ACTIVATION_ENERGY,
  @Schema(description = "The error of the temperature sensors.")
  SENSOR
}
