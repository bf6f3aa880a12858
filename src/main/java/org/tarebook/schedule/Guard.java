package org.tarebook.schedule;

import io.swagger.v3.oas.annotations.media.Schema;

/** Sources of doubt about an estimate that a schedule's minimum may hold already. */
@Schema(name = "ScheduleGuard")
public enum Guard {
  DIFFUSIVITY,
  /** How the rate of cure depends on temperature: the energy, or the temperature coefficient. */
  ACTIVATION_ENERGY,
  SENSOR
}
