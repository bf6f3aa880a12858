package org.tarebook.study;

import com.fasterxml.jackson.annotation.JsonSetter;
import com.fasterxml.jackson.annotation.Nulls;
import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.media.Schema;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.validation.Valid;
import jakarta.validation.constraints.DecimalMax;
import jakarta.validation.constraints.DecimalMin;
import jakarta.validation.constraints.NotBlank;
import jakarta.validation.constraints.NotNull;
import jakarta.validation.constraints.Positive;
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
import org.tarebook.control.NotComputed;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.Units;
import org.tarebook.quantity.Unit;
import org.tarebook.spec.CrossedReadings;
import org.tarebook.stats.Tolerance;
import org.tarebook.stats.measuring.AverageAndRange;
import org.tarebook.stats.measuring.Components;
import org.tarebook.stats.measuring.CrossedStudy;
import org.tarebook.stats.measuring.CrossedStudy.Divisor;
import org.tarebook.stats.measuring.DecisionRisk;
import org.tarebook.stats.measuring.GuardedAcceptance;

/** {@code /measuring-studies}, {@code /decision-risks}: what measuring itself adds and risks. */
@Tag(name = "Instrument checks")
@RestController
class MeasuringController {

  private static final double USUAL_FACTOR = 2;

  @Operation(
      operationId = "studyMeasuring",
      summary = "Study a measuring system",
      description =
          "A crossed study by analysis of variance: every operator measures every part several"
              + " times. Components of variance with and without interaction, shares of the study"
              + " and of the tolerance, the expanded uncertainty that follows, and both F"
              + " conventions named; the same by averages and ranges. A missing reading is refused"
              + " with its part and operator. Nothing is stored.")
  @PostMapping(path = "/api/v1/measuring-studies", consumes = MediaType.APPLICATION_JSON_VALUE)
  Study study(@Valid @RequestBody StudyRequest request) {
    Unit unit = Units.require(request.unit(), "/unit");
    double[][][] readings = new CrossedReadings(request.parts()).full("/parts");
    CrossedStudy crossed = CrossedStudy.of(readings);
    Double width =
        request.toleranceWidth() == null
            ? null
            : Double.valueOf(request.toleranceWidth().doubleValue());
    boolean several = crossed.operators() > 1;
    List<NotComputed> missing = new ArrayList<>();
    if (!several) {
      oneOperator("operator", missing);
    }
    if (crossed.components().truncated().total() == 0) {
      missing.add(
          new NotComputed(
              "shareOfStudy",
              NotComputed.Reason.ZERO_SPREAD,
              "Nothing varied, so there is no spread to compare with."));
    }
    return new Study(
        unit.code(),
        crossed.parts(),
        crossed.operators(),
        crossed.trials(),
        variances(crossed.components(), several, width),
        variances(crossed.componentsWithoutInteraction(), several, width),
        test("partsOverInteraction", crossed.ofParts(Divisor.INTERACTION), missing),
        test("partsOverRepeatability", crossed.ofParts(Divisor.REPEATABILITY), missing),
        several
            ? test("operatorsOverInteraction", crossed.ofOperators(Divisor.INTERACTION), missing)
            : oneOperator("operatorsOverInteraction", missing),
        several
            ? test(
                "operatorsOverRepeatability", crossed.ofOperators(Divisor.REPEATABILITY), missing)
            : oneOperator("operatorsOverRepeatability", missing),
        several
            ? test("interaction", crossed.ofInteraction(), missing)
            : oneOperator("interaction", missing),
        byAverageAndRange(readings, width),
        missing);
  }

  private static ByRange byAverageAndRange(double[][][] readings, @Nullable Double width) {
    AverageAndRange found = AverageAndRange.of(readings);
    return new ByRange(
        found.meanRange(),
        found.operatorRange(),
        found.partRange(),
        variances(found.components(), readings[0].length > 1, width));
  }

  private static Variances variances(Components raw, boolean several, @Nullable Double width) {
    Components of = raw.truncated();
    return new Variances(
        raw.repeatability(),
        several ? (Double) raw.operator() : null,
        several ? (Double) raw.interaction() : null,
        raw.part(),
        Math.sqrt(of.measuring()),
        USUAL_FACTOR * Math.sqrt(of.measuring()),
        of.total() > 0 ? (Double) of.shareOfStudy() : null,
        width == null ? null : of.shareOfTolerance(width));
  }

  private static @Nullable Test test(
      String figure, Optional<CrossedStudy.Test> of, List<NotComputed> missing) {
    if (of.isEmpty()) {
      String words = "The mean square that F is divided by is 0.";
      missing.add(new NotComputed(figure, NotComputed.Reason.ZERO_SPREAD, words));
      return null;
    }
    return new Test(of.get().f(), of.get().p());
  }

  private static @Nullable Test oneOperator(String figure, List<NotComputed> missing) {
    String words = "One operator measured; operators are compared from two on.";
    missing.add(new NotComputed(figure, NotComputed.Reason.TOO_FEW, words));
    return null;
  }

  @Operation(
      operationId = "assessDecisionRisks",
      summary = "Tell what a decision rule risks",
      description =
          "Before a rule is chosen: the consumer's risk (accepted though outside) and the"
              + " producer's risk (not accepted though inside) after JCGM 106:2012, for a normal"
              + " process and a normal measuring error, under simple acceptance and with a guard"
              + " band of guardFactor times the expanded uncertainty (twice the standard one)."
              + " Nothing is stored.")
  @PostMapping(path = "/api/v1/decision-risks", consumes = MediaType.APPLICATION_JSON_VALUE)
  Risks risks(@Valid @RequestBody RiskRequest request) {
    Unit unit = Units.require(request.unit(), "/unit");
    if (request.lower() == null && request.upper() == null) {
      throw Problem.at(ProblemType.RULE_BROKEN, "/lower", "or upper is needed");
    }
    Tolerance tolerance;
    GuardedAcceptance guarded;
    DecisionRisk simple;
    DecisionRisk withBand;
    try {
      tolerance = new Tolerance(number(request.lower()), number(request.upper()), null);
      double uncertainty = request.uncertainty().doubleValue();
      guarded =
          GuardedAcceptance.of(tolerance, 2 * uncertainty, request.guardFactor().doubleValue());
      simple =
          new DecisionRisk(
              request.mean().doubleValue(),
              request.sd().doubleValue(),
              uncertainty,
              tolerance,
              tolerance);
      withBand =
          new DecisionRisk(
              request.mean().doubleValue(),
              request.sd().doubleValue(),
              uncertainty,
              tolerance,
              guarded.acceptance());
    } catch (IllegalArgumentException refused) {
      throw new Problem(ProblemType.RULE_BROKEN, String.valueOf(refused.getMessage()));
    }
    return new Risks(
        unit.code(),
        guarded.guardBand(),
        new Risk(simple.consumers(), simple.producers()),
        new Risk(withBand.consumers(), withBand.producers()));
  }

  private static @Nullable Double number(@Nullable BigDecimal limit) {
    return limit == null ? null : Double.valueOf(limit.doubleValue());
  }

  /**
   * A crossed study.
   *
   * @param parts of each part, of each operator, the readings
   */
  @Schema(name = "MeasuringStudyRequest", description = "A crossed measurement system study.")
  record StudyRequest(
      @NotBlank String unit,
      @JsonSetter(contentNulls = Nulls.SET)
          @Schema(
              description = "A list of parts; each a list of operators; each a list of readings.")
          @NotNull
          @Size(min = 2, max = 100)
          List<
                  @NotNull @Size(min = 1, max = 20) List<
                      @NotNull @Size(max = 50) List<@Nullable BigDecimal>>>
              parts,
      @Schema(description = "Upper less lower specification limit, in unit.") @Positive
          @Nullable BigDecimal toleranceWidth) {}

  /** What a study found; variances in the unit squared. */
  @Schema(
      name = "MeasuringStudy",
      description =
          "The result of a crossed measurement system study. Variances are in the unit"
              + " squared.")
  record Study(
      String unit,
      @Schema(description = "Number of parts.") int parts,
      @Schema(description = "Number of operators.") int operators,
      @Schema(description = "Number of readings of each part by each operator.") int trials,
      @Schema(description = "Components of variance with the interaction.")
          Variances withInteraction,
      @Schema(
              description =
                  "Components of variance with the interaction pooled into the repeatability.")
          Variances withoutInteraction,
      @Schema(description = "F of parts over the interaction, as random effects ask for.")
          @Nullable Test partsOverInteraction,
      @Schema(description = "F of parts over the repeatability, as the AIAG manual prints.")
          @Nullable Test partsOverRepeatability,
      @Schema(
              description =
                  "F of operators over the interaction; notComputed says why it is absent.")
          @Nullable Test operatorsOverInteraction,
      @Schema(
              description =
                  "F of operators over the repeatability; notComputed says why it is absent.")
          @Nullable Test operatorsOverRepeatability,
      @Schema(
              description =
                  "F of the interaction over the repeatability; notComputed says why it is absent.")
          @Nullable Test interaction,
      @Schema(description = "The same by averages and ranges, as on paper forms.")
          ByRange byAverageAndRange,
      @Schema(description = "Figures that do not exist, and why.") List<NotComputed> notComputed) {}

  /** A study by averages and ranges; ranges in unit. It sees no interaction. */
  @Schema(
      name = "MeasuringByRange",
      description =
          "A measurement system study by averages and ranges; ranges in unit. It does not"
              + " see the interaction.")
  record ByRange(
      @Schema(description = "Mean range of a cell.") double meanRange,
      @Schema(description = "Range of the operators' means.") double operatorRange,
      @Schema(description = "Range of the parts' means.") double partRange,
      @Schema(description = "Components of variance by this method, in the unit squared.")
          Variances variances) {}

  /** Components of variance; a negative one is an estimate of a small one and counts as 0 below. */
  @Schema(
      name = "MeasuringVariances",
      description =
          "Components of variance, in the unit squared. A negative one is an estimate of a"
              + " small one and counts as 0 in the figures made from it.")
  record Variances(
      @Schema(description = "Variance of repeated readings of one part by one operator.")
          double repeatability,
      @Schema(description = "Variance between operators; absent where one operator measured.")
          @Nullable Double operator,
      @Schema(
              description =
                  "Variance of the interaction of operators and parts; absent where one operator"
                      + " measured.")
          @Nullable Double interaction,
      @Schema(description = "Variance between parts.") double part,
      @Schema(description = "Standard deviation of measuring, in unit.") double sdOfMeasuring,
      @Schema(
              description =
                  "Twice that: the expanded uncertainty to record under /measuring-uncertainties,"
                      + " where bias and what the study held fixed are small beside it.")
          double expandedUncertainty,
      @Schema(
              description =
                  "Over that of all readings: below 0.1 good, to 0.3 conditional (AIAG); absent where"
                      + " nothing varied.")
          @Nullable Double shareOfStudy,
      @Schema(description = "Six of it over the width of the tolerance.")
          @Nullable Double shareOfTolerance) {}

  /** A ratio of mean squares. */
  @Schema(name = "FTest", description = "An F test: a ratio of mean squares.")
  record Test(
      @Schema(description = "The ratio F.") double f,
      @Schema(
              description =
                  "p value: the probability of a ratio at least this large without an effect.")
          double p) {}

  /** A process, a measuring error, a tolerance and a rule; all in unit. */
  @Schema(
      name = "DecisionRiskRequest",
      description =
          "A process, a measurement error, a tolerance and a decision rule; all values in"
              + " unit.")
  record RiskRequest(
      @NotBlank String unit,
      @Schema(description = "Lower specification limit; left out where there is none.")
          @Nullable BigDecimal lower,
      @Schema(description = "Upper specification limit; left out where there is none.")
          @Nullable BigDecimal upper,
      @Schema(description = "Mean of the true values.") @NotNull BigDecimal mean,
      @Schema(description = "Standard deviation of the true values.") @NotNull @Positive
          BigDecimal sd,
      @Schema(description = "Standard uncertainty of measuring.") @NotNull @Positive
          BigDecimal uncertainty,
      @Schema(description = "Guard band over the expanded uncertainty; 0 is simple acceptance.")
          @NotNull
          @DecimalMin("0")
          @DecimalMax("2")
          BigDecimal guardFactor) {}

  /** What two rules risk. */
  @Schema(name = "DecisionRisks", description = "The risks of two decision rules.")
  record Risks(
      String unit,
      @Schema(description = "The guard band of guarded acceptance, in unit.") double guardBand,
      @Schema(description = "The risks under simple acceptance.") Risk simpleAcceptance,
      @Schema(description = "The risks under guarded acceptance.") Risk guardedAcceptance) {}

  /** Shares of all items. */
  @Schema(
      name = "DecisionRisk",
      description = "Probabilities of a wrong decision, as shares of all items.")
  record Risk(
      @Schema(description = "Accepted though outside the tolerance.") double consumer,
      @Schema(description = "Not accepted though inside the tolerance.") double producer) {}
}
