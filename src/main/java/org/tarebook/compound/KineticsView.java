package org.tarebook.compound;

import com.fasterxml.jackson.annotation.JsonInclude;
import io.swagger.v3.oas.annotations.media.Schema;
import java.math.BigDecimal;
import java.time.Instant;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.tarebook.compound.RecordedKinetics.Energy;
import org.tarebook.compound.RecordedKinetics.UsedTime;
import org.tarebook.plant.Quantity;
import org.tarebook.quantity.Decimals;
import org.tarebook.quantity.Unit;

/** A revision of kinetics as it is answered: what was stated, and the energy found from it. */
@Schema(
    name = "Kinetics",
    description =
        "A revision of the kinetics of a compound: what was stated, and the energy found"
            + " from it.")
@JsonInclude(JsonInclude.Include.NON_NULL)
record KineticsView(
    @Schema(description = "Code of the compound.") String compound,
    @Schema(description = "Counted from 1 within the compound.") int revision,
    @Schema(description = "The person's own key.") String key,
    @Schema(description = "How the rate of cure depends on temperature.") KineticsRequest.Law law,
    @Schema(description = "Temperature whose minutes are counted.") Quantity referenceTemperature,
    @Schema(
            description =
                "As stated, or found from the cure times in J/mol; absent under"
                    + " TEMPERATURE_COEFFICIENT.")
        @Nullable Quantity activationEnergy,
    @Schema(
            description =
                "Standard uncertainty of the energy: as stated, or from three cure times or more the"
                    + " standard error of the slope. Absent under TEMPERATURE_COEFFICIENT.")
        @Nullable Quantity uncertainty,
    @Schema(description = "What the energy was found from; absent where it was stated.")
        @Nullable List<CureTime> cureTimes,
    @Schema(
            description =
                "Under TEMPERATURE_COEFFICIENT: how many times faster it cures for every per;"
                    + " absent otherwise.")
        @Nullable BigDecimal factor,
    @Schema(
            description =
                "Under TEMPERATURE_COEFFICIENT: the step of temperature that factor belongs to;"
                    + " absent otherwise.")
        @Nullable Quantity per,
    @Schema(description = "Until the cure begins, at the reference temperature.")
        @Nullable Quantity induction,
    @Schema(description = "To 90 % of the cure at the reference temperature.")
        @Nullable Quantity t90,
    @Schema(description = "Thermal diffusivity.") Quantity diffusivity,
    @Schema(description = "Relative standard uncertainty of the diffusivity.")
        Quantity diffusivityUncertainty,
    @Schema(description = "Thermal conductivity.") Quantity conductivity,
    @Schema(description = "Temperatures the kinetics hold for.")
        KineticsRequest.@Nullable Range range,
    @Schema(description = "Whether the figures are on trial.") boolean trial,
    @Schema(description = "Where the figures come from.") String source,
    @Schema(description = "Who answers for it.") String person,
    @Schema(description = "The server's clock.") Instant recordedAt,
    @Schema(description = "Figures that do not exist, and why.") List<NotComputed> notComputed) {

  /** A time to 90 % of the cure at one temperature. */
  @Schema(name = "CureTime", description = "Time to 90 % of the cure at one temperature.")
  record CureTime(
      @Schema(description = "Temperature of the test.") Quantity temperature,
      @Schema(description = "Time to 90 % of the cure.") Quantity t90,
      @Schema(description = "The id of the curve whose tc90 it is; absent where it was stated.")
          @Nullable String curve) {

    static CureTime of(UsedTime time) {
      return new CureTime(
          time.temperature(),
          time.t90(),
          time.curve() == null ? null : String.valueOf(time.curve()));
    }
  }

  static KineticsView of(RecordedKinetics kinetics, String compound) {
    KineticsRequest stated = kinetics.stated();
    Energy energy = kinetics.energy();
    List<UsedTime> used = kinetics.used();
    return new KineticsView(
        compound,
        kinetics.revision(),
        stated.key(),
        stated.law(),
        stated.referenceTemperature(),
        stated.activationEnergy() != null || energy == null
            ? stated.activationEnergy()
            : joulesPerMole(energy.joulesPerMole()),
        stated.uncertainty() != null || energy == null || energy.error() == null
            ? stated.uncertainty()
            : joulesPerMole(energy.error()),
        used.isEmpty() ? null : used.stream().map(CureTime::of).toList(),
        stated.factor(),
        stated.per(),
        stated.induction(),
        stated.t90(),
        stated.diffusivity(),
        stated.diffusivityUncertainty(),
        stated.conductivity(),
        stated.range(),
        stated.onTrial(),
        stated.source(),
        kinetics.person(),
        kinetics.recordedAt(),
        missing(energy, used));
  }

  private static List<NotComputed> missing(@Nullable Energy energy, List<UsedTime> used) {
    if (energy == null) {
      return List.of(
          new NotComputed(
              "uncertainty",
              NotComputed.Reason.NOT_STATED,
              "A temperature coefficient has none, so limits that do not hold this doubt already"
                  + " (minimumHolds, maximumHolds: ACTIVATION_ENERGY) are not judged by it."));
    }
    if (energy.error() != null) {
      return List.of();
    }
    return List.of(
        used.isEmpty()
            ? new NotComputed(
                "uncertainty",
                NotComputed.Reason.NOT_STATED,
                "The energy was stated without its uncertainty.")
            : new NotComputed(
                "uncertainty",
                NotComputed.Reason.TOO_FEW,
                "Two cure times leave nothing to judge the energy by; a third gives its standard"
                    + " error."));
  }

  /** To twelve digits, beyond which a double of this size is noise. */
  private static Quantity joulesPerMole(double figure) {
    return new Quantity(Decimals.rounded(figure, 12), Unit.JOULE_PER_MOLE.code());
  }
}
