package org.tarebook.study;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.Parameter;
import io.swagger.v3.oas.annotations.media.Schema;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.validation.constraints.Positive;
import jakarta.validation.constraints.PositiveOrZero;
import java.math.BigDecimal;
import java.math.MathContext;
import org.jspecify.annotations.Nullable;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.bind.annotation.RestController;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.Units;
import org.tarebook.quantity.Decimals;
import org.tarebook.quantity.Kind;
import org.tarebook.quantity.Unit;
import org.tarebook.stats.measuring.MeasuringUncertainty;

/** {@code /resolution}: whether an instrument reads finely enough for a tolerance or a weight. */
@Tag(name = "Instrument checks")
@RestController
class ResolutionController {

  private static final BigDecimal TWO = BigDecimal.valueOf(2);
  private static final double USUAL_FACTOR = 2;

  @Operation(
      operationId = "getResolution",
      summary = "Tell whether an instrument reads finely enough",
      description =
          "With lower and upper: how many intervals the tolerance holds, and the ten-to-one rule in"
              + " both its readings, on the full width and on half of it (people mean either, so say"
              + " which). With sd and requirement: the least a scale can weigh, twice the larger of sd"
              + " and 0.41 intervals over the requirement (USP chapter 41). Nothing is stored.")
  @GetMapping("/api/v1/resolution")
  Resolution tell(
      @Parameter(description = "UCUM code; all figures are in it.") @RequestParam String unit,
      @Parameter(description = "The step the instrument shows.") @RequestParam @Positive
          BigDecimal interval,
      @Parameter(description = "Lower limit of the tolerance.") @RequestParam
          @Nullable BigDecimal lower,
      @Parameter(description = "Upper limit of the tolerance.") @RequestParam
          @Nullable BigDecimal upper,
      @Parameter(description = "Standard deviation of at least ten weighings of one load.")
          @RequestParam
          @PositiveOrZero
          @Nullable BigDecimal sd,
      @Parameter(description = "Largest relative uncertainty of a weighing, such as 0.001.")
          @RequestParam
          @Positive
          @Nullable BigDecimal requirement) {
    Unit of = Units.require(unit, "unit");
    requirePair("lower", lower, "upper", upper);
    requirePair("sd", sd, "requirement", requirement);
    if (lower == null && sd == null) {
      throw Problem.at(
          ProblemType.RULE_BROKEN, "lower", "give lower and upper, or sd and requirement, or all");
    }
    return new Resolution(
        of.code(),
        interval,
        lower == null || upper == null ? null : ofTolerance(interval, lower, upper),
        sd == null || requirement == null ? null : ofWeight(of, interval, sd, requirement));
  }

  private static OfTolerance ofTolerance(BigDecimal interval, BigDecimal lower, BigDecimal upper) {
    BigDecimal width = upper.subtract(lower);
    if (width.signum() <= 0) {
      throw Problem.at(
          ProblemType.RULE_BROKEN, "upper", "must lie above lower, so that there is a width");
    }
    BigDecimal tenIntervals = interval.movePointRight(1);
    return new OfTolerance(
        new TenToOne(shown(width, interval), width.compareTo(tenIntervals) >= 0),
        new TenToOne(
            shown(width, interval.multiply(TWO)),
            width.compareTo(tenIntervals.multiply(TWO)) >= 0));
  }

  private static OfWeight ofWeight(
      Unit unit, BigDecimal interval, BigDecimal sd, BigDecimal requirement) {
    if (unit.kind() != Kind.MASS) {
      throw Problem.at(
          ProblemType.UNIT_MISMATCH,
          "unit",
          "is a unit of " + unit.kind().label() + "; a minimum weight needs one of mass");
    }
    double least =
        MeasuringUncertainty.minimumWeight(
            sd.doubleValue(), interval.doubleValue(), requirement.doubleValue(), USUAL_FACTOR);
    return new OfWeight(requirement, least);
  }

  private static void requirePair(
      String first, @Nullable BigDecimal a, String second, @Nullable BigDecimal b) {
    if ((a == null) != (b == null)) {
      throw Problem.at(
          ProblemType.RULE_BROKEN,
          a == null ? first : second,
          "goes together with " + (a == null ? second : first) + "; give both or neither");
    }
  }

  private static BigDecimal shown(BigDecimal width, BigDecimal interval) {
    return Decimals.plain(width.divide(interval, MathContext.DECIMAL64));
  }

  /** Whether an instrument reads finely enough. */
  @Schema(name = "Resolution", description = "Whether an instrument reads finely enough.")
  record Resolution(
      String unit,
      @Schema(description = "The step of what the instrument shows, in unit.") BigDecimal interval,
      @Schema(
              description =
                  "The interval compared with the tolerance; absent where no tolerance was given.")
          @Nullable OfTolerance tolerance,
      @Schema(description = "The least that a scale can weigh; absent where it was not asked for.")
          @Nullable OfWeight minimumWeight) {}

  /** The ten-to-one rule in both its readings. */
  @Schema(
      name = "ResolutionOfTolerance",
      description = "The ten-to-one rule in both of its readings.")
  record OfTolerance(
      @Schema(description = "On upper less lower limit.") TenToOne onFullWidth,
      @Schema(description = "On half of that, the plus-or-minus of a drawing.")
          TenToOne onHalfWidth) {}

  /** One reading of the rule; compared exactly. */
  @Schema(name = "TenToOne", description = "The ten-to-one rule for one width; compared exactly.")
  record TenToOne(
      @Schema(description = "Intervals in the width; 16 digits at most.") BigDecimal intervals,
      @Schema(description = "Whether it is ten or more.") boolean met) {}

  /** The least a scale can weigh. */
  @Schema(
      name = "MinimumWeight",
      description = "The least that a scale can weigh with the required uncertainty.")
  record OfWeight(
      @Schema(description = "Largest relative uncertainty.") BigDecimal requirement,
      @Schema(description = "In unit.") double weight) {}
}
