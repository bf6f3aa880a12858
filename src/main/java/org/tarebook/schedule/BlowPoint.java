package org.tarebook.schedule;

import io.swagger.v3.oas.annotations.media.Schema;
import jakarta.validation.constraints.DecimalMin;
import jakarta.validation.constraints.NotNull;
import jakarta.validation.constraints.Positive;
import java.math.BigDecimal;

/** The blow point. */
@Schema(
    name = "BlowPoint",
    description =
        "The blow point: the equivalent cure below which rubber is porous when the"
            + " pressure is released.")
public record BlowPoint(
    @Schema(
            description =
                "Equivalent minutes at the slowest place below which the rubber is porous when"
                    + " the pressure is released.")
        @NotNull
        @Positive
        BigDecimal equivalents,
    @Schema(description = "Safety factor by which equivalents is multiplied, at least 1.")
        @NotNull
        @DecimalMin("1")
        BigDecimal factor) {

  /** What must be reached by the release of pressure. */
  public BigDecimal needed() {
    return equivalents.multiply(factor);
  }

  /** Whether the rubber would be porous with so many equivalent minutes. */
  public boolean porousWith(BigDecimal minutes) {
    return minutes.compareTo(equivalents) < 0;
  }
}
