package org.tarebook.control;

import io.swagger.v3.oas.annotations.Parameter;
import java.time.Instant;
import org.jspecify.annotations.Nullable;

/** Which part of a chart's record is asked for, as it is asked. */
public record WindowQuery(
    @Parameter(description = "First moment; when left out, 30 days before measuredBefore.")
        @Nullable Instant measuredFrom,
    @Parameter(description = "First moment after it; when left out, now.")
        @Nullable Instant measuredBefore,
    @Parameter(
            description = "One stratum, as points name it; all when left out.",
            example = "DIE=D7")
        @Nullable String stratum,
    @Parameter(
            description =
                "As the record stood at this moment, found to the minute: without what was written"
                    + " since. When left out, as it stands now.")
        @Nullable Instant asOf) {

  /**
   * The window.
   *
   * @throws org.tarebook.http.Problem if it is empty or too long
   */
  public StudyWindow window(Instant now) {
    return StudyWindow.of(measuredFrom, measuredBefore, now);
  }
}
