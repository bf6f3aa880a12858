package org.tarebook.study;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.media.Schema;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.validation.Valid;
import jakarta.validation.constraints.DecimalMax;
import jakarta.validation.constraints.Min;
import jakarta.validation.constraints.NotBlank;
import jakarta.validation.constraints.NotNull;
import jakarta.validation.constraints.Positive;
import jakarta.validation.constraints.PositiveOrZero;
import jakarta.validation.constraints.Size;
import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import org.springframework.http.MediaType;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestBody;
import org.springframework.web.bind.annotation.RestController;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.Units;
import org.tarebook.quantity.Unit;
import org.tarebook.stats.measuring.MeasuringUncertainty;

/** {@code /uncertainty-budgets}: the measuring uncertainty of a station, from its parts. */
@Tag(name = "Instrument checks")
@RestController
class UncertaintyBudgetController {

  private static final double USUAL_FACTOR = 2;

  @Operation(
      operationId = "combineUncertainties",
      summary = "Combine a measuring uncertainty from its parts",
      description =
          "After JCGM 100:2008 (GUM): repeatability from repeated readings, rounding to the interval"
              + " of the instrument (a net weight is rounded twice: two parts), errors of which only"
              + " bounds are known (a permissible error, drift), and what certificates state. The"
              + " parts are taken as independent and a known bias as corrected. Nothing is stored;"
              + " record what comes out under /measuring-uncertainties.")
  @PostMapping(path = "/api/v1/uncertainty-budgets", consumes = MediaType.APPLICATION_JSON_VALUE)
  Budget combine(@Valid @RequestBody Request request) {
    Unit unit = Units.require(request.unit(), "/unit");
    double factor =
        request.coverageFactor() == null ? USUAL_FACTOR : request.coverageFactor().doubleValue();
    List<MeasuringUncertainty.Part> parts = new ArrayList<>();
    for (int i = 0; i < request.parts().size(); i++) {
      parts.add(part(request.parts().get(i), "/parts/" + i));
    }
    MeasuringUncertainty combined = new MeasuringUncertainty(parts);
    double variance = combined.standard() * combined.standard();
    return new Budget(
        unit.code(),
        parts.stream()
            .map(
                part ->
                    new Share(
                        part.name(),
                        part.standard(),
                        variance == 0 ? 0 : part.standard() * part.standard() / variance,
                        finite(part.degrees())))
            .toList(),
        combined.standard(),
        finite(combined.degrees()),
        factor,
        combined.expanded(factor));
  }

  private static MeasuringUncertainty.Part part(Part sent, String pointer) {
    long given =
        Stream.of(sent.sd(), sent.interval(), sent.halfWidth(), sent.expandedUncertainty())
            .filter(Objects::nonNull)
            .count();
    if (given != 1
        || (sent.sd() == null) != (sent.readings() == null)
        || (sent.coverageFactor() != null && sent.expandedUncertainty() == null)) {
      throw Problem.at(
          ProblemType.RULE_BROKEN,
          pointer,
          "'"
              + sent.name()
              + "' says one of: sd with the number of readings it is of; interval; halfWidth;"
              + " expandedUncertainty with its coverageFactor");
    }
    MeasuringUncertainty.Part part;
    if (sent.sd() != null && sent.readings() != null) {
      part = MeasuringUncertainty.Part.repeatability(sent.sd().doubleValue(), sent.readings());
    } else if (sent.interval() != null) {
      part = MeasuringUncertainty.Part.rounding(sent.interval().doubleValue());
    } else if (sent.halfWidth() != null) {
      part = MeasuringUncertainty.Part.within(sent.name(), sent.halfWidth().doubleValue());
    } else {
      part =
          MeasuringUncertainty.Part.certified(
              sent.name(),
              Objects.requireNonNull(sent.expandedUncertainty()).doubleValue(),
              sent.coverageFactor() == null ? USUAL_FACTOR : sent.coverageFactor().doubleValue());
    }
    return new MeasuringUncertainty.Part(sent.name(), part.standard(), part.degrees());
  }

  private static @Nullable Double finite(double degrees) {
    return Double.isInfinite(degrees) ? null : (Double) degrees;
  }

  /** The parts of an uncertainty. */
  @Schema(
      name = "UncertaintyBudgetRequest",
      description = "The parts of an uncertainty, all in unit.")
  record Request(
      @NotBlank String unit,
      @Schema(description = "The parts.") @NotNull @Size(min = 1, max = 50)
          List<@NotNull @Valid Part> parts,
      @Schema(description = "Expanded over standard uncertainty; 2 when left out.")
          @Positive
          @DecimalMax("10")
          @Nullable BigDecimal coverageFactor) {}

  /** One part, in unit: by exactly one of its ways. */
  @Schema(
      name = "UncertaintyPart",
      description = "One part of an uncertainty, given in exactly one way; values in unit.")
  record Part(
      @Schema(description = "What it comes from.") @NotBlank @Size(max = 80) String name,
      @Schema(description = "Standard deviation of repeated readings.") @PositiveOrZero
          @Nullable BigDecimal sd,
      @Schema(description = "How many readings sd is of.") @Min(2) @Nullable Integer readings,
      @Schema(description = "Interval that is rounded to, once.") @PositiveOrZero
          @Nullable BigDecimal interval,
      @Schema(description = "The error lies within plus or minus this.") @PositiveOrZero
          @Nullable BigDecimal halfWidth,
      @Schema(description = "As a certificate states it.") @PositiveOrZero
          @Nullable BigDecimal expandedUncertainty,
      @Schema(description = "Of the certificate; 2 when left out.") @Positive @DecimalMax("10")
          @Nullable BigDecimal coverageFactor) {}

  /** The combined uncertainty, in unit. */
  @Schema(
      name = "UncertaintyBudget",
      description = "A combined uncertainty and its parts; values in unit.")
  record Budget(
      String unit,
      @Schema(description = "What each part contributes.") List<Share> parts,
      @Schema(description = "Root of the sum of squares.") double standardUncertainty,
      @Schema(description = "After Welch and Satterthwaite; absent where unlimited.")
          @Nullable Double degreesOfFreedom,
      @Schema(description = "Expanded over standard uncertainty.") double coverageFactor,
      @Schema(description = "Expanded uncertainty, in unit.") double expandedUncertainty) {}

  /** What a part adds. */
  @Schema(name = "UncertaintyShare", description = "What a part contributes to an uncertainty.")
  record Share(
      @Schema(description = "What it comes from.") String name,
      @Schema(description = "Standard uncertainty of the part, in unit.")
          double standardUncertainty,
      @Schema(description = "Of the variance, 0 to 1.") double shareOfVariance,
      @Schema(description = "Absent where known for certain.") @Nullable Double degreesOfFreedom) {}
}
