package org.tarebook.cure;

import io.swagger.v3.oas.annotations.media.Schema;
import java.math.BigDecimal;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.tarebook.schedule.Guard;
import org.tarebook.schedule.ScheduleDefinition.Medium;
import org.tarebook.schedule.Until;

/**
 * Figures of one cavity. What could not be computed is absent and stands in {@code notComputed}
 * with the reason.
 */
@Schema(
    name = "CureFigures",
    description =
        "Figures of one cavity. A figure that could not be computed is absent, and"
            + " notComputed says why.")
public record CavityFigures(
    @Schema(
            description =
                "Estimates by heat penetration, never a measurement; and of the media themselves"
                    + " where the schedule wants that.")
        List<Equivalents> equivalents,
    @Schema(description = "Time the internal temperature was within its set points, in seconds.")
        @Nullable BigDecimal soak,
    @Schema(description = "Depression of the dome below saturation in its worst minute, in K.")
        @Nullable BigDecimal domeDepression,
    @Schema(description = "How far the sensors may err on it, in K.")
        @Nullable BigDecimal domeDepressionError,
    @Schema(description = "Part of the dome that is air; absent within the sensors' error.")
        @Nullable BigDecimal airFraction,
    @Schema(description = "The same were the depression less by the sensors' error.")
        @Nullable BigDecimal airFractionLower,
    @Schema(description = "The same were the depression more by the sensors' error.")
        @Nullable BigDecimal airFractionUpper,
    @Schema(description = "Least subcooling of the hot water at any moment, in K.")
        @Nullable BigDecimal waterMargin,
    @Schema(description = "Greatest difference of internal and outside temperature, in K.")
        @Nullable BigDecimal insideOutside,
    @Schema(description = "Time the cooling flush took, in seconds.") @Nullable BigDecimal cooling,
    @Schema(description = "Channels that served this cavity alone.") List<String> ownTraces,
    @Schema(description = "Channels that served others as well.") List<String> sharedTraces,
    @Schema(description = "What is absent, and why.") Map<String, String> notComputed) {

  /**
   * Equivalent cure at one place, or of a medium itself.
   *
   * @param depth from the inner face of the rubber, in mm; absent of a medium
   * @param minutes the estimate: log-mean for minima, trapezoid for maxima
   * @param temperature at the place when the time ends (RELEASE: when the pressure was let go), in
   *     °C; absent in verdicts of earlier methods
   * @param bridged how long a temperature that heats the tyre was not known before the opening, in
   *     seconds; the estimate bridges it by a line, the bounds do not. Absent where nothing is
   *     bridged
   * @param lower end of the interval by every source of doubt, without credit for what is not
   *     known; absent where a source has no known uncertainty
   * @param upper other end of it; absent too where nothing states how hot a gap can have been
   * @param decidingLower end of the interval by the other sources of doubt: what the limit is held
   *     against; absent where a source that is not held has no known uncertainty
   * @param decidingUpper other end of it
   * @param otherRule the same by the other rule; the truth lies between where temperatures run
   *     straight between samples
   * @param contributions relative standard uncertainty by each source of doubt
   * @param wanted the limit it is held against
   * @param study what a thermocouple study of this schedule revision said of the place
   * @param studyDifference estimate less study, as a part of the study
   */
  @Schema(
      name = "CureEquivalents",
      description = "Equivalent cure at one place of the tyre, or of a medium itself.")
  public record Equivalents(
      @Schema(description = "What the schedule calls the place, or SLOWEST or FASTEST.")
          String place,
      @Schema(description = "Up to which moment the minutes are counted.") Until until,
      @Schema(
              description =
                  "The medium whose own equivalent minutes these are; absent of a place in the"
                      + " tyre.")
          @Nullable Medium medium,
      @Schema(description = "Name of the layer it lies in; absent of a medium.")
          @Nullable String layer,
      @Schema(description = "From the inner face of the rubber, in mm; absent of a medium.")
          @Nullable BigDecimal depth,
      @Schema(description = "The estimate, in equivalent minutes.") BigDecimal minutes,
      @Schema(description = "How the rate of cure was taken between two samples.")
          org.tarebook.thermal.Rule rule,
      @Schema(
              description =
                  "At the place when the time ends, in °C; absent in verdicts of earlier methods.")
          @Nullable BigDecimal temperature,
      @Schema(
              description =
                  "Seconds for which a temperature that heats the tyre was not known; absent where nothing is bridged.")
          @Nullable BigDecimal bridged,
      @Schema(
              description =
                  "Lower end of the interval, in equivalent minutes; absent where a source of doubt has no known uncertainty.")
          @Nullable BigDecimal lower,
      @Schema(description = "Upper end of the interval, in equivalent minutes.")
          @Nullable BigDecimal upper,
      @Schema(
              description =
                  "Sources of doubt that the limit already covers; absent where there is no limit.")
          @Nullable List<Guard> holds,
      @Schema(description = "What a minimum is held against, in equivalent minutes.")
          @Nullable BigDecimal decidingLower,
      @Schema(description = "What a maximum is held against, in equivalent minutes.")
          @Nullable BigDecimal decidingUpper,
      @Schema(description = "The same by the other rule, in equivalent minutes.")
          BigDecimal otherRule,
      @Schema(description = "Relative standard uncertainty by each source of doubt, dimensionless.")
          Map<String, BigDecimal> contributions,
      @Schema(description = "The limit it is held against, in equivalent minutes.")
          @Nullable BigDecimal wanted,
      @Schema(
              description =
                  "What a thermocouple study of this revision found at the place, in equivalent minutes.")
          @Nullable BigDecimal study,
      @Schema(description = "Estimate less study, as a part of the study, dimensionless.")
          @Nullable BigDecimal studyDifference) {}
}
