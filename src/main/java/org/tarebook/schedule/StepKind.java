package org.tarebook.schedule;

import io.swagger.v3.oas.annotations.media.Schema;

/** Kinds of steps of a cure schedule, in about the order in which they come. */
@Schema(
    name = "StepKind",
    description =
        "A kind of step of a cure schedule, in about the order in which steps follow"
            + " each other.")
public enum StepKind {
  @Schema(description = "Shaping of the green tyre by the bladder.")
  SHAPING,
  @Schema(description = "Closing of the press.")
  CLOSING,
  @Schema(description = "Steam inside the bladder.")
  INTERNAL_STEAM,
  @Schema(description = "Hot water inside the bladder.")
  HOT_WATER,
  @Schema(description = "Inert gas inside the bladder.")
  INERT_GAS,
  @Schema(description = "Cooling water inside the bladder.")
  COOLING_FLUSH,
  @Schema(description = "The pressure inside is released; here the blow point is counted.")
  RELEASE,
  @Schema(description = "Opening of the press.")
  OPENING,
  @Schema(description = "Cooling in air after opening.")
  FREE_COOLING,
  @Schema(description = "Inflation while the tyre cools.")
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
