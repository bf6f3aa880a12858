package org.tarebook.compound;

import io.swagger.v3.oas.annotations.media.Schema;
import jakarta.validation.Valid;
import jakarta.validation.constraints.NotBlank;
import jakarta.validation.constraints.NotNull;
import jakarta.validation.constraints.Pattern;
import jakarta.validation.constraints.Positive;
import jakarta.validation.constraints.PositiveOrZero;
import jakarta.validation.constraints.Size;
import java.math.BigDecimal;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.tarebook.plant.Quantity;

/** What a person says a compound does under heat. */
@Schema(name = "KineticsRequest")
public record KineticsRequest(
    @NotNull @Pattern(regexp = "[!-~]{1,64}", message = "must be 1 to 64 visible ASCII characters")
        String key,
    @Schema(
            description =
                "ARRHENIUS with an activation energy, or TEMPERATURE_COEFFICIENT, the rule that the"
                    + " cure is so many times faster for every so many degrees.")
        @NotNull
        Law law,
    @Schema(description = "Temperature whose minutes are counted; its unit Cel, [degF] or K.")
        @NotNull
        @Valid
        Quantity reference,
    @Schema(description = "In J/mol or kJ/mol; or give cureTimes or curves. There is no default.")
        @Valid
        @Nullable Quantity activationEnergy,
    @Schema(description = "Standard uncertainty of the activation energy. Needed beside it.") @Valid
        @Nullable Quantity energyUncertainty,
    @Schema(description = "Times to one state of cure at two temperatures or more.") @Size(max = 50)
        @Nullable List<@Valid @NotNull CureTimeRequest> cureTimes,
    @Schema(description = "Ids of cure-meter curves whose tc90 are taken.") @Size(max = 50)
        @Nullable List<@NotBlank String> curves,
    @Schema(description = "How many times faster, above 1.") @Positive @Nullable BigDecimal factor,
    @Schema(description = "For how large a step: K{difference} or [degR]{difference}.") @Valid
        @Nullable Quantity factorPer,
    @Schema(description = "Minutes at the reference temperature until the cure begins.")
        @PositiveOrZero
        @Nullable BigDecimal induction,
    @Schema(description = "Minutes at the reference temperature to 90 per cent.") @Positive
        @Nullable BigDecimal t90,
    @Schema(description = "Thermal diffusivity, in m2/s or mm2/s.") @NotNull @Valid
        Quantity diffusivity,
    @Schema(description = "Relative standard uncertainty of the diffusivity, in per cent.")
        @NotNull
        @PositiveOrZero
        BigDecimal diffusivityUncertainty,
    @Schema(description = "Thermal conductivity, in W/(m.K).") @NotNull @Valid
        Quantity conductivity,
    @Schema(description = "Where the figures come from: a laboratory report, a study.")
        @NotBlank
        @Size(max = 500)
        String source) {

  /** How the rate of cure depends on temperature. */
  public enum Law {
    ARRHENIUS,
    TEMPERATURE_COEFFICIENT
  }

  /**
   * A time to one state of cure.
   *
   * @param minutes as the cure meter showed
   */
  @Schema(name = "CureTime")
  public record CureTimeRequest(
      @NotNull @Valid Quantity temperature, @NotNull @Positive BigDecimal minutes) {}
}
