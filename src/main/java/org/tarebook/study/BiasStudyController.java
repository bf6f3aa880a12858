package org.tarebook.study;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.media.Schema;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.validation.Valid;
import jakarta.validation.constraints.DecimalMax;
import jakarta.validation.constraints.DecimalMin;
import jakarta.validation.constraints.NotBlank;
import jakarta.validation.constraints.NotNull;
import jakarta.validation.constraints.Size;
import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.springframework.http.MediaType;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestBody;
import org.springframework.web.bind.annotation.RestController;
import org.tarebook.http.Faults;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.Units;
import org.tarebook.quantity.Unit;
import org.tarebook.stats.Interval;
import org.tarebook.stats.LinearTrend;
import org.tarebook.stats.measuring.Bias;

/** {@code /bias-studies}: how far readings of known standards lie from them, over the range. */
@Tag(name = "Instrument checks")
@RestController
class BiasStudyController {

  private static final double USUAL_CONFIDENCE = 0.95;

  @Operation(
      operationId = "studyBias",
      summary = "Study bias and linearity against standards",
      description =
          "Readings of one or more known standards. Of each the bias, mean reading less standard,"
              + " with its interval by Student's t; over several the line through the single errors"
              + " against the standard. What is shown is told apart from what chance explains. Nothing"
              + " is stored; an instrument check is what stands on record.")
  @PostMapping(path = "/api/v1/bias-studies", consumes = MediaType.APPLICATION_JSON_VALUE)
  Study study(@Valid @RequestBody Request request) {
    Unit unit = Units.require(request.unit(), "/unit");
    double confidence =
        request.confidence() == null ? USUAL_CONFIDENCE : request.confidence().doubleValue();
    requireReadings(request.standards());
    List<AtStandard> found = new ArrayList<>();
    for (Standard standard : request.standards()) {
      Bias bias = Bias.of(numbers(standard.readings()), standard.standard().doubleValue());
      Interval interval = bias.interval(confidence);
      found.add(
          new AtStandard(
              standard.standard(),
              bias.readings(),
              bias.bias(),
              bias.sd(),
              interval,
              excludesZero(interval)));
    }
    return new Study(unit.code(), confidence, found, linearity(request.standards(), confidence));
  }

  private static void requireReadings(List<Standard> standards) {
    Faults faults = new Faults();
    for (int i = 0; i < standards.size(); i++) {
      faults.require(
          standards.get(i).readings().size() >= 2,
          "/standards/" + i + "/readings",
          "standard %d, %s, has %d readings; it takes at least 2, and ten tell more"
              .formatted(
                  i + 1,
                  standards.get(i).standard().toPlainString(),
                  standards.get(i).readings().size()));
    }
    faults.throwIfAny(ProblemType.RULE_BROKEN);
  }

  private static @Nullable Linearity linearity(List<Standard> standards, double confidence) {
    double[] at =
        standards.stream()
            .flatMap(one -> one.readings().stream().map(reading -> one.standard()))
            .mapToDouble(BigDecimal::doubleValue)
            .toArray();
    double[] shown =
        standards.stream()
            .flatMap(one -> one.readings().stream())
            .mapToDouble(BigDecimal::doubleValue)
            .toArray();
    Optional<LinearTrend> line = Bias.linearity(at, shown);
    return line.map(
            found -> {
              Interval slope = found.slopeInterval(confidence);
              return new Linearity(
                  found.slope(), slope, excludesZero(slope), found.at(0), found.residualSd());
            })
        .orElse(null);
  }

  private static boolean excludesZero(Interval interval) {
    return interval.lower() > 0 || interval.upper() < 0;
  }

  private static double[] numbers(List<BigDecimal> readings) {
    return readings.stream().mapToDouble(BigDecimal::doubleValue).toArray();
  }

  /** Readings of standards, all in unit. */
  @Schema(name = "BiasStudyRequest", description = "Readings of standards, all in unit.")
  record Request(
      @NotBlank String unit,
      @Schema(description = "The standards with their readings.") @NotNull @Size(min = 1, max = 50)
          List<@NotNull @Valid Standard> standards,
      @Schema(description = "Confidence level of the intervals; 0.95 when left out.")
          @DecimalMin("0.5")
          @DecimalMax("0.9999")
          @Nullable BigDecimal confidence) {}

  /** One known standard and its readings. */
  @Schema(name = "BiasStudyStandard", description = "A known standard and its readings.")
  record Standard(
      @Schema(description = "Its known value.") @NotNull BigDecimal standard,
      @Schema(description = "The readings of it, in unit.") @NotNull @Size(max = 1000)
          List<@NotNull BigDecimal> readings) {}

  /** What a study found, in unit. */
  @Schema(name = "BiasStudy", description = "The result of a bias study; values in unit.")
  record Study(
      String unit,
      double confidence,
      @Schema(description = "The bias at each standard.") List<AtStandard> standards,
      @Schema(
              description =
                  "Over the range; absent with one standard only or fewer than three readings.")
          @Nullable Linearity linearity) {}

  /** The bias at one standard. */
  @Schema(name = "BiasAtStandard", description = "The bias at one standard.")
  record AtStandard(
      @Schema(description = "Known value of the standard, in the unit of the study.")
          BigDecimal standard,
      @Schema(description = "Number of readings.") int readings,
      @Schema(description = "Mean reading less the standard.") double bias,
      @Schema(description = "Standard deviation of the readings.") double sd,
      @Schema(description = "Confidence interval of the bias, in the unit of the study.")
          Interval interval,
      @Schema(description = "Whether the interval leaves 0 out.") boolean biasShown) {}

  /** The line through single errors against the standard. */
  @Schema(
      name = "BiasLinearity",
      description = "The line through single errors against the value of the standard.")
  record Linearity(
      @Schema(description = "Change of the bias per unit of the standard, dimensionless.")
          double slope,
      @Schema(description = "Confidence interval of the slope.") Interval slopeInterval,
      @Schema(description = "Whether the interval leaves 0 out.") boolean linearityErrorShown,
      @Schema(description = "The line at a standard of 0.") double biasAtZero,
      @Schema(description = "Of single errors about the line.") double residualSd) {}
}
