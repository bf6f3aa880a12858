package org.tarebook.plant;

import io.swagger.v3.oas.annotations.media.Schema;
import jakarta.validation.constraints.NotBlank;
import jakarta.validation.constraints.NotNull;
import java.math.BigDecimal;
import org.tarebook.quantity.Decimals;
import org.tarebook.quantity.Unit;

/** A value with its unit, in a request or an answer. */
@Schema(name = "Quantity", description = "A value with its unit.")
public record Quantity(
    @Schema(description = "The value, in unit.") @NotNull BigDecimal value,
    @Schema(description = "UCUM code of the unit of value.") @NotBlank String unit) {

  /**
   * The value in another unit.
   *
   * @param pointer where it stands in the request, for a refusal of its unit
   */
  public double in(Unit wanted, String pointer) {
    Unit sent = Units.requireOfKind(unit, wanted, pointer + "/unit");
    return sent == wanted
        ? value.doubleValue()
        : Decimals.of(Unit.convert(value, sent, wanted)).doubleValue();
  }

  /** The value in another unit, where the unit was checked before. */
  public double in(Unit wanted) {
    return in(wanted, "");
  }
}
