package org.tarebook.reading;

import io.swagger.v3.oas.annotations.media.Schema;

/** What a reading was judged to be. */
@Schema(name = "Result", description = "The result of judging a reading.")
public enum Result {
  @Schema(
      description = "Inside the limits, and under guarded acceptance inside the acceptance limits.")
  PASS,
  @Schema(description = "Outside the limits.")
  FAIL,
  @Schema(description = "Between acceptance limit and tolerance limit, under guarded acceptance.")
  CONDITIONAL,
  @Schema(description = "It could not be judged; notJudged says why.")
  NOT_JUDGED
}
