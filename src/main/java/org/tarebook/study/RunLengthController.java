package org.tarebook.study;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.Parameter;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.validation.constraints.DecimalMax;
import jakarta.validation.constraints.DecimalMin;
import jakarta.validation.constraints.Max;
import jakarta.validation.constraints.Min;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.bind.annotation.RestController;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.stats.RunRule;
import org.tarebook.stats.chart.Ewma;

/** {@code /run-lengths}: what a choice of rules, weights or decision values costs. */
@Tag(name = "Signals")
@RestController
class RunLengthController {

  private static final String ONE = "; name rules, or weight and reach, or allowance and decision";

  @Operation(
      operationId = "getRunLengths",
      summary = "Tell how long a chart runs to a signal",
      description =
          "In control and at a lasting shift, of a chart with some run rules (exact by a Markov chain"
              + " where they have one that can be followed, else by simulation with its standard error), of an EWMA"
              + " (weight, reach) or of a CUSUM (allowance, decision, headStart). For independent"
              + " normal points and known limits; with baseline and subgroupSize also what it costs"
              + " that limits are estimated from so few points.")
  @GetMapping("/api/v1/run-lengths")
  RunLengthAnswer lengths(
      @Parameter(
              description = "Codes of rules, of any set.",
              example = "BEYOND_LIMITS,EIGHT_ON_ONE_SIDE")
          @RequestParam
          @Nullable List<String> rules,
      @Parameter(description = "Of an EWMA: weight of the newest point.")
          @RequestParam
          @DecimalMin("0.03")
          @DecimalMax("1")
          @Nullable Double weight,
      @Parameter(description = "Of an EWMA: distance of the limits, in sigma of the average.")
          @RequestParam
          @DecimalMin("0.5")
          @DecimalMax("5")
          @Nullable Double reach,
      @Parameter(description = "Of a CUSUM: half the shift that is to be found, in sigma.")
          @RequestParam
          @DecimalMin("0")
          @DecimalMax("3")
          @Nullable Double allowance,
      @Parameter(description = "Of a CUSUM: the decision value, in sigma.")
          @RequestParam
          @DecimalMin("0.5")
          @DecimalMax("20")
          @Nullable Double decision,
      @Parameter(description = "Of a CUSUM: where the sums begin, in sigma; 0 when left out.")
          @RequestParam
          @DecimalMin("0")
          @DecimalMax("20")
          @Nullable Double headStart,
      @Parameter(description = "Lasting shift of the mean, in sigma of a point.")
          @RequestParam(defaultValue = "1")
          @DecimalMin("-5")
          @DecimalMax("5")
          double shift,
      @Parameter(description = "Points of the baseline that limits are estimated from.")
          @RequestParam
          @Min(2)
          @Max(100_000)
          @Nullable Integer baseline,
      @Parameter(description = "Readings in a point of the baseline; 1 when left out.")
          @RequestParam
          @Min(1)
          @Max(100)
          @Nullable Integer subgroupSize) {
    boolean byRules = rules != null;
    boolean ewma = weight != null || reach != null;
    boolean cusum = allowance != null || decision != null || headStart != null;
    if ((byRules ? 1 : 0) + (ewma ? 1 : 0) + (cusum ? 1 : 0) != 1) {
      throw refused("rules", "one kind of chart is needed" + ONE);
    }
    if (subgroupSize != null && baseline == null) {
      throw refused("baseline", "is needed with subgroupSize: how many points gave the limits");
    }
    if (baseline != null && !byRules) {
      throw refused(
          "baseline",
          "goes with rules that judge single points by limits; for others it is not known");
    }
    if (rules != null) {
      List<RunRule> chosen =
          rules.stream().map(code -> RuleSetController.require(code, "rules")).toList();
      if (chosen.isEmpty()) {
        throw Problem.at(ProblemType.INVALID_REQUEST, "rules", "must name at least one rule");
      }
      return RunLengthAnswer.ofRules(
          chosen, shift, baseline, subgroupSize == null ? 1 : subgroupSize);
    }
    if (ewma) {
      return RunLengthAnswer.ofEwma(
          new Ewma(needed("weight", weight), needed("reach", reach)), shift);
    }
    double start = headStart == null ? 0 : headStart;
    double limit = needed("decision", decision);
    if (start >= limit) {
      throw refused("headStart", "must be below the decision value " + limit);
    }
    return RunLengthAnswer.ofSums(needed("allowance", allowance), limit, start, shift);
  }

  private static double needed(String name, @Nullable Double value) {
    if (value == null) {
      throw refused(name, "is needed" + ONE);
    }
    return value;
  }

  private static Problem refused(String pointer, String detail) {
    return Problem.at(ProblemType.RULE_BROKEN, pointer, detail);
  }
}
