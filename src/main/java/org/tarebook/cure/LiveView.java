package org.tarebook.cure;

import io.swagger.v3.oas.annotations.media.Schema;
import java.math.BigDecimal;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/** How a load stands while it runs. */
@Schema(name = "CureLive")
record LiveView(
    String cure,
    long version,
    @Schema(description = "The moment of the newest sample; everything is told as of it.")
        @Nullable Instant at,
    @Schema(description = "Seconds from the start of the cure to that moment.") BigDecimal elapsed,
    @Nullable StepNow step,
    List<CavityNow> cavities,
    @Schema(description = "Channels that are out of their band now, or heading out of it.")
        List<Drift> drifts,
    String caution) {

  /**
   * The step that runs.
   *
   * @param elapsed seconds since it began
   * @param left seconds of its target time that are left; below 0 where it runs over
   */
  @Schema(name = "CureStepNow")
  record StepNow(
      String name,
      @Schema(description = "Seconds since the step began.") BigDecimal elapsed,
      @Schema(description = "Seconds left to its target; negative beyond it.") BigDecimal left) {}

  /**
   * Equivalents of a cavity so far.
   *
   * @param minutes equivalent minutes so far at the slowest place, by the log-mean, where the media
   *     are the coldest they can have been while they were not known
   * @param enoughAt when the slowest place has, or will have, what is wanted, if temperatures stay
   *     as they are; no later than the closing
   */
  @Schema(name = "CureCavityNow")
  record CavityNow(
      int cavity,
      @Schema(description = "Equivalent minutes so far at the slowest place.")
          @Nullable BigDecimal minutes,
      @Nullable String layer,
      @Schema(description = "Equivalent minutes that are wanted there.")
          @Nullable BigDecimal wanted,
      @Nullable Instant enoughAt,
      @Schema(
              description =
                  "Why the equivalents, or the moment of enough, are absent, and which time has no credit because a temperature was not known.")
          @Nullable String notComputed,
      @Schema(
              description =
                  "What the schedule wants of the media themselves, so far: with interval and limit as"
                      + " the verdict will hold them, up to now or to the end that counts. Empty where"
                      + " the schedule wants nothing of a medium.")
          List<CavityFigures.Equivalents> media,
      @Schema(description = "Which equivalents of media are absent, and why.")
          Map<String, String> mediaNotComputed) {}

  /**
   * A channel that is out of its band, or heading out of it.
   *
   * @param value what it shows, in unit
   * @param perMinute how it changes, in unit a minute, over the last two minutes
   */
  @Schema(name = "CureDrift")
  record Drift(
      String channel,
      String words,
      @Schema(description = "What it shows, in unit.") BigDecimal value,
      String unit,
      @Schema(description = "How it changes, in unit a minute, over the last two minutes.")
          BigDecimal perMinute,
      boolean outOfBand,
      boolean shared) {}
}
