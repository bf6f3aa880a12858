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

  /**
   * What was asked.
   *
   * @param mixture absent in what earlier revisions of the service kept: not asked for
   * @param seed of intervals by resampling, which earlier revisions of the service gave; no effect
   */
  @Schema(name = "KeptQuestion")
  record Asked(
      Instant measuredFrom,
      Instant measuredBefore,
      @Nullable String stratum,
      @Nullable Estimator estimator,
      @Nullable Double confidence,
      boolean evenIfNotInControl,
      @Nullable Boolean mixture,
      Method method,
      long seed) {

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
