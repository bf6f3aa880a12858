package org.tarebook.capability;

import io.swagger.v3.oas.annotations.media.Schema;
import java.time.Instant;
import org.jspecify.annotations.Nullable;
import org.tarebook.control.StudyWindow;
import org.tarebook.reading.AsOf;
import org.tarebook.stats.Estimator;

/**
 * A capability study that was answered, and what it takes to compute it again; its answer is kept
 * beside it.
 *
 * @param methodRevision of the methods it was computed by
 * @param digest SHA-256 of the answer
 */
record KeptStudy(
    long id,
    String code,
    long chartId,
    Asked asked,
    AsOf asOf,
    int methodRevision,
    String digest,
    Signed signed) {

  /** What was asked. */
  @Schema(name = "KeptQuestion", description = "What was asked for when the study was kept.")
  record Asked(
      Instant measuredFrom,
      Instant measuredBefore,
      @Schema(description = "The one stratum asked for; absent for all.") @Nullable String stratum,
      @Schema(
              description =
                  "Estimator of sigma that was asked for; absent where the chart's own was used.")
          @Nullable Estimator estimator,
      @Schema(
              description =
                  "Confidence level of the intervals that was asked for, between 0 and 1; absent"
                      + " where the chart's own was used.")
          @Nullable Double confidence,
      @Schema(
              description =
                  "Whether the indices by the sigma within subgroups were asked for even if the"
                      + " process was not in control.")
          boolean evenIfNotInControl,
      @Schema(
              description =
                  "Whether the indices were asked for of several streams together; absent where an"
                      + " earlier revision of the service did not keep it.")
          @Nullable Boolean mixture,
      @Schema(description = "How the indices were to be computed.") Method method,
      @Schema(description = "Kept with the question; it has no effect on any figure.") long seed) {

    Studies.Question question() {
      return new Studies.Question(
          new StudyWindow(measuredFrom, measuredBefore),
          stratum,
          estimator,
          confidence,
          evenIfNotInControl,
          Boolean.TRUE.equals(mixture),
          method,
          null);
    }
  }

  /** Who keeps it, and why. */
  record Signed(String key, String person, String reason, Instant recordedAt) {}
}
