package org.tarebook.cure;

import io.swagger.v3.oas.annotations.media.Schema;
import jakarta.validation.constraints.Max;
import jakarta.validation.constraints.Min;
import jakarta.validation.constraints.NotBlank;
import jakarta.validation.constraints.NotEmpty;
import jakarta.validation.constraints.NotNull;
import jakarta.validation.constraints.Positive;
import jakarta.validation.constraints.Size;
import java.math.BigDecimal;
import java.time.Duration;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.tarebook.http.Code;
import org.tarebook.quantity.Unit;
import org.tarebook.schedule.CircuitEnd;
import org.tarebook.schedule.Measured;
import org.tarebook.schedule.PressureKind;
import org.tarebook.schedule.ScheduleDefinition.SetPoint;
import org.tarebook.thermal.SensorClass;

/** One sensor's trace: what it measures, how well, and which cavities it serves. */
@Schema(
    name = "CureChannel",
    description =
        "The trace of one sensor: what it measures, how well, and which cavities it serves.")
public record Channel(
    @Schema(description = "Code of the channel, by which samples name it.", example = "TI-17")
        @NotNull
        @Code
        String code,
    @Schema(description = "What it measures.") @NotNull Measured measured,
    @Schema(description = "Where in its circuit; left out where there is no circuit.")
        @Nullable CircuitEnd circuitEnd,
    @Schema(description = "UCUM code of what it sends.", example = "Cel") @NotBlank String unit,
    @Schema(description = "Needed of pressures: what they are counted from.")
        @Nullable PressureKind pressure,
    @Schema(
            description =
                "SAMPLED: a line runs from sample to sample. ON_CHANGE: a value holds until the next"
                    + " is reported.")
        @NotNull
        Recording recording,
    @Schema(
            description =
                "Of an ON_CHANGE recorder: it reports at least so often, whatever its channel does."
                    + " A value is known for so long after its report; longer silence is a gap. Left"
                    + " out, silence longer than the schedule's largestGap is one.",
            example = "PT1M")
        @Nullable Duration heartbeat,
    @Schema(description = "Class of a temperature sensor; or give accuracy.")
        @Nullable SensorClass sensorClass,
    @Schema(
            description =
                "Largest error of the sensor, plus and minus, in unit (of a temperature: in degrees"
                    + " of unit). Needed where there is no class.")
        @Positive
        @Nullable BigDecimal accuracy,
    @Schema(description = "Least value the sensor can show, in unit.")
        @Nullable BigDecimal rangeFrom,
    @Schema(description = "Greatest value the sensor can show, in unit.")
        @Nullable BigDecimal rangeUntil,
    @Schema(description = "Cavities it serves; one alone is that cavity's own trace.")
        @NotEmpty(
            message = "must name at least one cavity; a channel that serves nothing tells nothing")
        @Size(max = 100)
        List<@NotNull @Min(1) @Max(100) Integer> serves) {

  /** How a recorder reports. */
  @Schema(name = "ChannelRecording", description = "How a recorder reports a channel.")
  public enum Recording {
    @Schema(description = "It sends a value at each sampling moment.")
    SAMPLED,
    @Schema(description = "It sends a value only when the value changes.")
    ON_CHANGE
  }

  /** Whether it serves a cavity. */
  public boolean serves(int cavity) {
    return serves.contains(cavity);
  }

  /** Whether other cavities look at the same trace. */
  public boolean shared() {
    return serves.size() > 1;
  }

  /** Whether a set point means it. */
  boolean meantBy(SetPoint setPoint) {
    return setPoint.measured() == measured
        && (setPoint.circuitEnd() == null || setPoint.circuitEnd() == circuitEnd);
  }

  /** The unit it sends. */
  Unit sent() {
    return Unit.of(unit);
  }

  /** What it is called in sentences: its code and what it measures. */
  String words() {
    return measured.words()
        + (circuitEnd == null ? "" : circuitEnd == CircuitEnd.SUPPLY ? " (supply)" : " (return)")
        + " "
        + code;
  }
}
