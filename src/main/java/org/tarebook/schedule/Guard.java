package org.tarebook.schedule;

/** Sources of doubt about an estimate that a schedule's minimum may hold already. */
public enum Guard {
  DIFFUSIVITY,
  ACTIVATION_ENERGY,
  SENSOR
}
