package org.tarebook.schedule;

import io.swagger.v3.oas.annotations.media.Schema;

/** Kinds of steps of a cure schedule, in about the order in which they come. */
@Schema(name = "StepKind")
public enum StepKind {
  SHAPING,
  CLOSING,
  INTERNAL_STEAM,
  HOT_WATER,
  INERT_GAS,
  COOLING_FLUSH,
  /** The pressure inside is let go; here the blow point is counted. */
  RELEASE,
  OPENING,
  FREE_COOLING,
  POST_CURE_INFLATION;

  /** Whether the press is still shut on the tyre. */
  public boolean inPress() {
    return compareTo(OPENING) < 0;
  }

  /** Whether the pressure inside has not been let go yet. */
  public boolean beforeRelease() {
    return compareTo(RELEASE) < 0;
  }
}
