package org.tarebook.compound;

import io.swagger.v3.oas.annotations.media.Schema;
import jakarta.validation.Valid;
import jakarta.validation.constraints.NotBlank;
import jakarta.validation.constraints.NotNull;
import jakarta.validation.constraints.Pattern;
import jakarta.validation.constraints.Size;
import java.math.BigDecimal;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.tarebook.http.FactKey;
import org.tarebook.plant.Quantity;
import org.tarebook.plant.Repeat;

/** What a person states of a compound under heat; kept as it was sent. */
@Schema(
    name = "KineticsRequest",
    description = "Kinetics of a compound: how it cures under heat, as a person states it.")
record KineticsRequest(
    @Schema(
            description =
                "The person's own key of this revision; a retry repeats it. 1 to 64 visible ASCII"
                    + " characters.",
            example = "lab-2026-017")
        @NotNull
        @FactKey
        String key,
    @Schema(
            description =
                "ARRHENIUS: one activation energy. TEMPERATURE_COEFFICIENT: the cure is factor times"
                    + " faster for every per.")
        @NotNull
        Law law,
    @Schema(description = "Temperature whose minutes are counted: Cel, [degF] or K.")
        @NotNull
        @Valid
        Quantity referenceTemperature,
    @Schema(
            description =
                "kJ/mol or J/mol. ARRHENIUS takes this, cureTimes or fromCurves; there is no default.")
        @Valid
        @Nullable Quantity activationEnergy,
    @Schema(
            description =
                "Standard uncertainty of the energy, kJ/mol or J/mol. Computed from three cure times"
                    + " or more, and not to be stated then.")
        @Valid
        @Nullable Quantity uncertainty,
    @Schema(description = "Times to 90 % of the cure at two temperatures or more.")
        @Size(min = 2, max = 100)
        @Nullable List<@NotNull @Valid StatedTime> cureTimes,
    @Schema(description = "Ids of cure-meter curves of this compound, whose tc90 are taken.")
        @Size(min = 2, max = 100)
        @Nullable
            List<
                @NotNull @Pattern(regexp = "[0-9]{1,18}", message = "must be the id of a curve")
                String>
            fromCurves,
    @Schema(
            description = "Under TEMPERATURE_COEFFICIENT: how many times faster, above 1.",
            example = "2")
        @Nullable BigDecimal factor,
    @Schema(
            description =
                "Under TEMPERATURE_COEFFICIENT: for how large a difference, K{difference} or"
                    + " [degR]{difference}.")
        @Valid
        @Nullable Quantity per,
    @Schema(description = "Until the cure begins, at the reference temperature: min or s.") @Valid
        @Nullable Quantity induction,
    @Schema(
            description =
                "To 90 % of the cure at the reference temperature, induction included: min or s.")
        @Valid
        @Nullable Quantity t90,
    @Schema(description = "Thermal diffusivity, mm2/s or m2/s.") @NotNull @Valid
        Quantity diffusivity,
    @Schema(description = "Relative standard uncertainty of the diffusivity, % or 1.")
        @NotNull
        @Valid
        Quantity diffusivityUncertainty,
    @Schema(description = "Thermal conductivity, W/(m.K).") @NotNull @Valid Quantity conductivity,
    @Schema(description = "Temperatures the kinetics hold for; left out where not known.") @Valid
        @Nullable Range range,
    @Schema(
            description =
                "True where the figures are on trial: every verdict that rests on them says so. Left"
                    + " out, they are not.")
        @Nullable Boolean trial,
    @Schema(
            description = "Where the figures come from: a laboratory report, a study.",
            example = "laboratory report 17, cure meter at 140, 150 and 160 Cel")
        @NotBlank
        @Size(max = 500)
        String source) {

  /** How the rate of cure depends on temperature. */
  @Schema(name = "KineticsLaw", description = "How the rate of cure depends on temperature.")
  enum Law {
    @Schema(description = "By an activation energy.")
    ARRHENIUS,
    @Schema(description = "By a factor for each step of temperature.")
    TEMPERATURE_COEFFICIENT
  }

  /** A time to 90 % of the cure at one temperature. */
  @Schema(name = "StatedCureTime", description = "Time to 90 % of the cure at one temperature.")
  record StatedTime(
      @Schema(description = "Cel, [degF] or K.") @NotNull @Valid Quantity temperature,
      @Schema(description = "min or s.") @NotNull @Valid Quantity t90) {}

  /** Temperatures from the lowest to the highest, both included. */
  @Schema(name = "KineticsRange", description = "A range of temperatures, ends included.")
  record Range(
      @Schema(description = "Lowest temperature, in unit.") @NotNull BigDecimal lowest,
      @Schema(description = "Highest temperature, in unit.") @NotNull BigDecimal highest,
      @Schema(description = "Cel, [degF] or K.") @NotBlank String unit) {}

  /** Whether the figures are on trial. */
  boolean onTrial() {
    return Boolean.TRUE.equals(trial);
  }

  /** The times the energy is found from, as stated; empty where none is. */
  List<StatedTime> statedTimes() {
    return cureTimes == null ? List.of() : cureTimes;
  }

  /** The curves the energy is found from; empty where none is named. */
  List<String> namedCurves() {
    return fromCurves == null ? List.of() : fromCurves;
  }

  /** What makes it the same fact as another. */
  Repeat content(String compound) {
    Repeat content =
        new Repeat()
            .with("/compound", compound)
            .with("/law", law)
            .with("/referenceTemperature", referenceTemperature)
            .with("/activationEnergy", activationEnergy)
            .with("/uncertainty", uncertainty);
    for (int i = 0; i < statedTimes().size(); i++) {
      StatedTime time = statedTimes().get(i);
      content
          .with("/cureTimes/" + i + "/temperature", time.temperature())
          .with("/cureTimes/" + i + "/t90", time.t90());
    }
    content
        .with("/fromCurves", fromCurves)
        .with("/factor", factor)
        .with("/per", per)
        .with("/induction", induction)
        .with("/t90", t90)
        .with("/diffusivity", diffusivity)
        .with("/diffusivityUncertainty", diffusivityUncertainty)
        .with("/conductivity", conductivity);
    if (range != null) {
      content
          .with("/range/lowest", range.lowest())
          .with("/range/highest", range.highest())
          .with("/range/unit", range.unit());
    }
    return content.with("/trial", onTrial()).with("/source", source);
  }
}
