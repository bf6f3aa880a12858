package org.tarebook.reading;

import io.swagger.v3.oas.annotations.media.Schema;

/** What an instrument says about itself while it shows a value. */
@Schema(name = "ReadingFlag", description = "What an instrument reports about a value it shows.")
public enum Flag {
  @Schema(description = "The value was at rest.")
  STABLE,
  @Schema(description = "The value was still moving: it is stored but not judged.")
  UNSTABLE,
  @Schema(description = "The load was more than the instrument can show; there is no value.")
  OVERLOAD,
  @Schema(description = "The load was less than the instrument can show; there is no value.")
  UNDER,
  @Schema(description = "The instrument stood at zero.")
  ZERO
}
