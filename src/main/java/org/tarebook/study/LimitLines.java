package org.tarebook.study;

import io.swagger.v3.oas.annotations.media.Schema;
import org.tarebook.stats.ControlLimits;

/** Control limits and the centre between them, in the unit told beside them. */
@Schema(name = "LimitLines", description = "Control limits and the centre between them.")
record LimitLines(
    @Schema(description = "Centre line.") double centre,
    @Schema(description = "Lower control limit.") double lower,
    @Schema(description = "Upper control limit.") double upper) {

  static LimitLines of(ControlLimits limits) {
    return new LimitLines(limits.centre(), limits.lower(), limits.upper());
  }

  /** Whether a figure lies outside; one on a limit does not. */
  boolean beyond(double figure) {
    return figure < lower || figure > upper;
  }
}
