package org.tarebook.schedule;

/** Sources of doubt about an estimate that a schedule's minimum may hold already. */
public enum Guard {
  DIFFUSIVITY,
  /** How the rate of cure depends on temperature: the energy, or the temperature coefficient. */
  ACTIVATION_ENERGY,
  SENSOR
}
