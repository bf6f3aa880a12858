package org.tarebook.cure;

import io.swagger.v3.oas.annotations.media.Schema;
import java.math.BigDecimal;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/** How a load stands while it runs. */
@Schema(name = "CureLive", description = "The state of a load while it runs.")
record LiveView(
    String cure,
    @Schema(
            description =
                "Version of the cure; it grows with each piece, the closing and each verdict.")
        long version,
    @Schema(description = "The moment of the newest sample; everything is told as of it.")
        @Nullable Instant at,
    @Schema(description = "Seconds from the start of the cure to that moment.") BigDecimal elapsed,
    @Schema(description = "The step that runs; absent where the log does not show one.")
        @Nullable StepNow step,
    @Schema(description = "Equivalent cure of each cavity so far.") List<CavityNow> cavities,
    @Schema(description = "Channels that are out of their band now, or heading out of it.")
        List<Drift> drifts,
    String caution) {

  /**
   * The step that runs.
   *
   * @param elapsed seconds since it began
   * @param left seconds of its target time that are left; below 0 where it runs over
   */
  @Schema(name = "CureStepNow", description = "The step that runs.")
  record StepNow(
      @Schema(description = "Name of the step in the schedule.") String name,
      @Schema(description = "Seconds since the step began.") BigDecimal elapsed,
      @Schema(description = "Seconds left to its target; negative beyond it.") BigDecimal left) {}

  /**
   * Equivalents of a cavity so far.
   *
   * @param minutes equivalent minutes so far at the slowest place, by the log-mean, where the media
   *     are the coldest they can have been while they were not known
   */
  @Schema(name = "CureCavityNow", description = "Equivalent cure of a cavity so far.")
  record CavityNow(
      int cavity,
      @Schema(description = "Equivalent minutes so far at the slowest place.")
          @Nullable BigDecimal minutes,
      @Schema(
              description =
                  "What a minimum there will be held against: the lower end of the interval so far,"
                      + " without the sources of doubt that the minimum already covers. Absent where"
                      + " a source of doubt has no known uncertainty.")
          @Nullable BigDecimal lower,
      @Schema(
              description =
                  "Name of the layer in which the slowest place lies; absent where the equivalents"
                      + " are.")
          @Nullable String layer,
      @Schema(description = "Equivalent minutes that are wanted there.")
          @Nullable BigDecimal wanted,
      @Schema(
              description =
                  "When lower is, or will be, the equivalent minutes that are wanted, before now"
                      + " or to come, if temperatures stay as they are; no later than the closing."
                      + " Absent"
                      + " where this cannot be computed.")
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
  @Schema(
      name = "CureDrift",
      description = "A channel that is outside its band, or heading out of it.")
  record Drift(
      @Schema(description = "Code of the channel.") String channel,
      String words,
      @Schema(description = "What it shows, in unit.") BigDecimal value,
      String unit,
      @Schema(description = "How it changes, in unit a minute, over the last two minutes.")
          BigDecimal perMinute,
      @Schema(description = "Whether it is outside its band now.") boolean outOfBand,
      @Schema(description = "Whether it serves several cavities.") boolean shared) {}
}
