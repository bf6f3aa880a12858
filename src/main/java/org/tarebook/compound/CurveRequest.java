package org.tarebook.compound;

import io.swagger.v3.oas.annotations.media.Schema;
import jakarta.validation.Valid;
import jakarta.validation.constraints.NotBlank;
import jakarta.validation.constraints.NotNull;
import jakarta.validation.constraints.Size;
import java.math.BigDecimal;
import java.time.Instant;
import java.util.List;
import org.tarebook.http.FactKey;
import org.tarebook.plant.Quantity;
import org.tarebook.plant.Repeat;
import org.tarebook.plant.Units;
import org.tarebook.quantity.Decimals;
import org.tarebook.quantity.Unit;

/** Torque over time at one temperature, as a cure meter showed it. */
@Schema(
    name = "CureMeterCurveRequest",
    description = "A curve of torque over time at one temperature, from a cure meter.")
record CurveRequest(
    @Schema(
            description =
                "The person's own key of this curve; a retry repeats it. 1 to 64 visible ASCII"
                    + " characters.",
            example = "meter-2:4711")
        @NotNull
        @FactKey
        String key,
    @Schema(description = "Of the test: Cel, [degF] or K.") @NotNull @Valid Quantity temperature,
    @Schema(description = "Of the points, rising, from 0 on: min or s.") @NotNull @Valid
        Series time,
    @Schema(description = "One for each time: dN.m or [lbf_av].[in_i].") @NotNull @Valid
        Series torque,
    @Schema(description = "The batch or lot that was tested.") @NotBlank @Size(max = 40) String lot,
    @Schema(description = "When it was tested, with the offset.") @NotNull Instant measuredAt,
    @Schema(description = "Which cure meter, which report.") @NotBlank @Size(max = 500)
        String source) {

  /** Values in one unit. */
  @Schema(name = "CureMeterSeries", description = "Values in one unit.")
  record Series(
      @Schema(description = "As shown.") @NotNull @Size(min = 3, max = 5000)
          List<@NotNull BigDecimal> values,
      @Schema(description = "UCUM code.") @NotBlank String unit) {

    /** The values in another unit. */
    double[] in(Unit wanted, String pointer) {
      Unit sent = Units.requireOfKind(unit, wanted, pointer + "/unit");
      return values.stream()
          .mapToDouble(
              value ->
                  sent == wanted
                      ? value.doubleValue()
                      : Decimals.of(Unit.convert(value, sent, wanted)).doubleValue())
          .toArray();
    }
  }

  /** What makes it the same fact as another. */
  Repeat content(String compound) {
    return new Repeat()
        .with("/compound", compound)
        .with("/temperature", temperature)
        .with("/time/values", time.values())
        .with("/time/unit", time.unit())
        .with("/torque/values", torque.values())
        .with("/torque/unit", torque.unit())
        .with("/lot", lot)
        .with("/measuredAt", measuredAt)
        .with("/source", source);
  }
}
