package org.tarebook.schedule;

import io.swagger.v3.oas.annotations.media.Schema;
import jakarta.validation.Valid;
import jakarta.validation.constraints.DecimalMax;
import jakarta.validation.constraints.DecimalMin;
import jakarta.validation.constraints.NotBlank;
import jakarta.validation.constraints.NotEmpty;
import jakarta.validation.constraints.NotNull;
import jakarta.validation.constraints.Positive;
import jakarta.validation.constraints.Size;
import java.math.BigDecimal;
import java.time.Duration;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.tarebook.http.Code;
import org.tarebook.plant.Quantity;

/**
 * What a cure should be: steps with their set points, the section of the tyre from the bladder to
 * the mould, what is wanted of it, and what the judging may assume. Limits are inclusive.
 */
@Schema(
    name = "ScheduleDefinition",
    description =
        "What a cure should be: steps with their set points, the section of the tyre"
            + " from the bladder to the mould, what is wanted of it, and what the judging may"
            + " assume. Limits are inclusive.")
public record ScheduleDefinition(
    @Schema(description = "In the order they are run.") @NotEmpty @Size(max = 40)
        List<@Valid @NotNull Step> steps,
    @Schema(
            description = "The longest time without a sample that may be judged across.",
            example = "PT10S")
        @NotNull
        Duration largestGap,
    @Schema(
            description =
                "True where the press sends no marks of steps: a log without marks is then judged by"
                    + " the target times of the schedule, and a remark says so. Left out, such a load"
                    + " is not judged.")
        @Nullable Boolean stepsBySchedule,
    @Schema(
            description =
                "A sampled channel that shows one and the same value for longer is taken as stuck;"
                    + " left out, only a value that stays when the set point moves is.",
            example = "PT10M")
        @Nullable Duration longestFlat,
    @Schema(description = "Left out, no heat penetration is estimated.") @Valid
        @Nullable Section section,
    @Schema(description = "What is wanted of the cure at places of the section.") @Size(max = 20)
        @Nullable List<@Valid @NotNull Wanted> wanted,
    @Schema(
            description =
                "What is wanted of the media themselves, where a plant judges by them; needs no"
                    + " section.")
        @Size(max = 10)
        @Nullable List<@Valid @NotNull WantedOfMedium> media,
    @Schema(description = "The blow point; left out, none is judged.") @Valid
        @Nullable BlowPoint blowPoint,
    @Schema(
            description =
                "Doubts that the minimum equivalents hold already, so that they are not guarded"
                    + " twice. The others widen the interval that must lie above the minimum."
                    + " ACTIVATION_ENERGY is the doubt about how the rate of cure depends on"
                    + " temperature: about the activation energy, or the temperature coefficient.")
        @Nullable Set<@NotNull Guard> minimumHolds,
    @Schema(
            description =
                "Doubts that the maximum equivalents hold already. The others widen the interval that"
                    + " must lie below the maximum.")
        @Nullable Set<@NotNull Guard> maximumHolds,
    @Schema(description = "Largest difference of internal and outside temperature, either way.")
        @Valid
        @Nullable Quantity mostInsideOutside,
    @Schema(
            description =
                "Largest depression of the dome below saturation; air is claimed only beyond the"
                    + " sensors' own error.")
        @Valid
        @Nullable Quantity mostDomeDepression,
    @Schema(description = "Least subcooling of hot water, at the lowest pressure of its circuit.")
        @Valid
        @Nullable Quantity leastWaterMargin,
    @Schema(
            description =
                "Least pressure difference of supply and return during hot water; less means that"
                    + " nothing circulates.")
        @Valid
        @Nullable Quantity leastCirculation,
    @Schema(description = "What the green tyre may be like.") @NotNull @Valid GreenTyre greenTyre) {

  /** One step. */
  @Schema(name = "ScheduleStep", description = "One step of a schedule.")
  public record Step(
      @Schema(description = "Name of the step, by which marks refer to it.")
          @NotBlank
          @Size(max = 40)
          String name,
      @Schema(description = "What kind of step it is.") @NotNull StepKind kind,
      @Schema(description = "Shortest time it may take.", example = "PT29M30S") @NotNull
          Duration least,
      @Schema(description = "Time it is meant to take.", example = "PT30M") @NotNull
          Duration target,
      @Schema(description = "Longest time it may take.", example = "PT31M") @NotNull Duration most,
      @Schema(description = "What channels must show during the step.") @NotNull @Size(max = 20)
          List<@Valid @NotNull SetPoint> setPoints) {}

  /**
   * What one kind of channel must show during a step.
   *
   * @param tolerated an excursion no longer than this is let pass; none when left out
   * @param toleratedTotal all excursions of the step together are let pass up to this; not limited
   *     when left out
   */
  @Schema(name = "SetPoint", description = "What one kind of channel must show during a step.")
  public record SetPoint(
      @Schema(description = "What the channels measure.") @NotNull Measured measured,
      @Schema(description = "Left out, channels at either end of the circuit are meant.")
          @Nullable CircuitEnd circuitEnd,
      @Schema(description = "Target, in unit.") @NotNull BigDecimal target,
      @Schema(description = "Lower limit, in unit.") @NotNull BigDecimal lower,
      @Schema(description = "Upper limit, in unit.") @NotNull BigDecimal upper,
      @Schema(description = "UCUM code.", example = "bar") @NotBlank String unit,
      @Schema(description = "Needed of pressures.") @Nullable PressureKind pressure,
      @Schema(
              description =
                  "Time from the start of the step until the band must be reached; none when left"
                      + " out.",
              example = "PT2M")
          @Nullable Duration settle,
      @Schema(
              description = "An excursion from the band no longer than this is let pass.",
              example = "PT5S")
          @Nullable Duration tolerated,
      @Schema(
              description =
                  "All excursions of the step together may last so long; not limited when left out."
                      + " Several excursions are summed in a remark either way.",
              example = "PT20S")
          @Nullable Duration toleratedTotal) {}

  /** The tyre in its mould as layers from inside to outside. */
  @Schema(
      name = "CureSection",
      description = "The tyre in its mould as layers from inside to outside.")
  public record Section(
      @Schema(description = "The layers from inside to outside.") @NotEmpty @Size(max = 12)
          List<@Valid @NotNull Layer> layers,
      @Schema(description = "How heat passes from the medium inside into the first layer.")
          @NotNull
          @Valid
          Face inside,
      @Schema(description = "How heat passes from the medium outside into the last layer.")
          @NotNull
          @Valid
          Face outside,
      @Schema(description = "Left out, nothing is counted after the press has opened.") @Valid
          @Nullable Cooling afterOpening) {}

  /** What a layer is. */
  @Schema(name = "LayerKind", description = "What a layer of the section is.")
  public enum LayerKind {
    @Schema(description = "The wall of the bladder or bag; it leaves when the press opens.")
    BLADDER,
    @Schema(description = "Rubber, which cures by the kinetics of its compound.")
    RUBBER,
    @Schema(description = "Metal of the mould; it leaves when the press opens.")
    METAL
  }

  /** How warm a layer is when the cure starts. */
  @Schema(name = "StepStart", description = "How warm a layer is when the cure starts.")
  public enum StartsAt {
    @Schema(description = "As warm as the green tyre.")
    GREEN_TYRE,
    @Schema(description = "As warm as the medium inside.")
    INSIDE,
    @Schema(description = "As warm as the medium outside.")
    OUTSIDE
  }

  /** One layer. */
  @Schema(name = "CureLayer", description = "One layer of the section.")
  public record Layer(
      @Schema(description = "Name of the layer, by which places refer to it.")
          @NotBlank
          @Size(max = 40)
          String name,
      @Schema(description = "What the layer is.") @NotNull LayerKind kind,
      @Schema(description = "Thickness of the layer.") @NotNull @Valid Quantity thickness,
      @Schema(
              description =
                  "Code of the compound whose kinetics and diffusivity are used; needed"
                      + " for rubber.")
          @Code
          @Nullable String compound,
      @Schema(description = "Revision of the compound's kinetics; the latest when left out.")
          @Nullable Integer revision,
      @Schema(description = "Of a layer without a compound, in m2/s or mm2/s.") @Valid
          @Nullable Quantity diffusivity,
      @Schema(description = "Of a layer without a compound, in W/(m.K).") @Valid
          @Nullable Quantity conductivity,
      @Schema(description = "GREEN_TYRE when left out.") @Nullable StartsAt startsAt) {}

  /**
   * How heat passes from a channel's medium into the section: through a film, or not at all because
   * the channel is a couple in the face itself.
   */
  @Schema(
      name = "CureFace",
      description =
          "Either a film, or faceCouple true where the sensor lies in the face. Taking the medium"
              + " for the face errs unsafe, so one must be said.")
  public record Face(
      @Schema(description = "Heat transfer coefficient in W/(m2.K).") @Valid
          @Nullable Quantity film,
      @Schema(
              description =
                  "true where the sensor of the channel lies in the face itself; left out with"
                      + " film.")
          @Nullable Boolean faceCouple,
      @Schema(
              description =
                  "The coldest the medium can be, whatever fails. Counted where its log has a gap;"
                      + " left out, the coldest temperature that the schedule names.")
          @Valid
          @Nullable Quantity coldest,
      @Schema(
              description =
                  "The hottest the medium can be, whatever fails, such as the steam of the safety"
                      + " valve's pressure. Counted where its log has a gap; left out, a gap has no"
                      + " upper bound, and what it touches is not judged.")
          @Valid
          @Nullable Quantity hottest) {}

  /** Free cooling after opening: bladder and mould are gone, the tyre hangs in air. */
  @Schema(
      name = "CureCooling",
      description =
          "Free cooling after opening: bladder and mould are gone, and the tyre hangs in air.")
  public record Cooling(
      @Schema(description = "Temperature of the air.") @NotNull @Valid Quantity air,
      @Schema(description = "Heat transfer coefficient in W/(m2.K), both faces.") @NotNull @Valid
          Quantity film,
      @Schema(description = "How long the tyre hangs in air.") @NotNull Duration duration) {}

  /** A place of the section. */
  @Schema(name = "ChannelPlace", description = "A place in the section of the tyre.")
  public enum Place {
    @Schema(description = "Where the rubber has cured least.")
    SLOWEST,
    @Schema(description = "Where the rubber has cured most.")
    FASTEST,
    @Schema(description = "In the layer named, at the depth named.")
    IN_LAYER
  }

  /**
   * What is wanted at a place.
   *
   * @param depth part of the layer's thickness from its inner side, 0 to 1
   * @param minimum equivalent minutes at the compound's reference temperature
   * @param maximum equivalent minutes at the compound's reference temperature
   */
  @Schema(name = "WantedCure", description = "The equivalent cure that is wanted at a place.")
  public record Wanted(
      @Schema(description = "Name of the place, by which verdicts and studies refer to it.")
          @NotBlank
          @Size(max = 40)
          String name,
      @Schema(description = "Where in the section.") @NotNull Place place,
      @Schema(description = "Name of the layer; needed for IN_LAYER, left out otherwise.")
          @Nullable String layer,
      @Schema(description = "Part of the layer's thickness from its inner side, 0 to 1.")
          @Nullable
          @DecimalMin("0")
          @DecimalMax("1")
          BigDecimal depth,
      @Schema(description = "Up to which moment the minutes are counted.") @NotNull Until until,
      @Schema(
              description =
                  "Least that is wanted, in equivalent minutes at the compound's reference temperature.")
          @Positive
          @Nullable BigDecimal minimum,
      @Schema(
              description =
                  "Most that is wanted, in equivalent minutes at the compound's reference temperature.")
          @Positive
          @Nullable BigDecimal maximum) {}

  /** A medium that heats the tyre. */
  @Schema(name = "Medium", description = "A medium that heats the tyre.")
  public enum Medium {
    @Schema(
        description =
            "Hot water, steam or gas in the bladder, measured by the channels of internal"
                + " temperature.")
    INSIDE,
    @Schema(
        description =
            "Steam of the dome, or the platens, measured by the channels of temperature"
                + " outside the mould.")
    OUTSIDE;

    /** Whether a channel of that kind shows its temperature. */
    public boolean isShownBy(Measured measured) {
      return this == INSIDE
          ? measured == Measured.INTERNAL_TEMPERATURE
          : measured.outsideTemperature();
    }
  }

  /**
   * What is wanted of a medium itself: the minutes that rubber at its temperature would have,
   * without a tyre between.
   */
  @Schema(
      name = "WantedOfMedium",
      description =
          "The equivalent cure that is wanted of a medium itself: the minutes that rubber"
              + " at its temperature would have, without a tyre in between.")
  public record WantedOfMedium(
      @Schema(description = "Name of the requirement, by which verdicts refer to it.")
          @NotBlank
          @Size(max = 40)
          String name,
      @Schema(description = "The medium.") @NotNull Medium medium,
      @Schema(description = "Code of the compound whose kinetics are used.") @NotNull @Code
          String compound,
      @Schema(description = "Revision of the compound's kinetics; the latest when left out.")
          @Nullable Integer revision,
      @Schema(description = "RELEASE or OPENING.") @NotNull Until until,
      @Schema(
              description =
                  "Least that is wanted, in equivalent minutes at the compound's reference"
                      + " temperature; left out where there is no minimum.")
          @Positive
          @Nullable BigDecimal minimum,
      @Schema(
              description =
                  "Most that is wanted, in equivalent minutes at the compound's reference"
                      + " temperature; left out where there is no maximum.")
          @Positive
          @Nullable BigDecimal maximum,
      @Schema(
              description =
                  "The hottest the medium can be, whatever fails. Counted where its log has a gap;"
                      + " left out, a gap has no upper bound, and a maximum it touches is not judged.")
          @Valid
          @Nullable Quantity hottest) {}

  /** The same with another section and other media. */
  ScheduleDefinition with(@Nullable Section other, @Nullable List<WantedOfMedium> otherMedia) {
    return new ScheduleDefinition(
        steps,
        largestGap,
        stepsBySchedule,
        longestFlat,
        other,
        wanted,
        otherMedia,
        blowPoint,
        minimumHolds,
        maximumHolds,
        mostInsideOutside,
        mostDomeDepression,
        leastWaterMargin,
        leastCirculation,
        greenTyre);
  }

  /** What is wanted of places; empty where nothing is. */
  public List<Wanted> wantedOrNone() {
    return wanted == null ? List.of() : wanted;
  }

  /** What is wanted of media; empty where nothing is. */
  public List<WantedOfMedium> mediaOrNone() {
    return media == null ? List.of() : media;
  }

  /** Doubts that minima hold, or maxima; empty where none. */
  public Set<Guard> holds(boolean minimum) {
    Set<Guard> held = minimum ? minimumHolds : maximumHolds;
    return held == null ? Set.of() : held;
  }
}
