package org.tarebook.rejects;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.Parameter;
import io.swagger.v3.oas.annotations.responses.ApiResponse;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.validation.Valid;
import jakarta.validation.constraints.Size;
import java.time.Instant;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.springdoc.core.annotations.ParameterObject;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.bind.annotation.RestController;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.reading.AsOf;

/** {@code /reject-rates/comparison}, {@code /first-pass-yield}: several rates together. */
@Tag(name = "Reject rates")
@RestController
class RejectComparisonController {

  private final RejectRates rates;

  RejectComparisonController(RejectRates rates) {
    this.rates = rates;
  }

  @Operation(
      operationId = "compareRejects",
      summary = "Hold two reject rates against each other",
      description =
          """
          Two lines, stations, dies, shifts, components or products in one window (by, first, \
          second), or one and the same in two windows (secondFrom, secondBefore): difference and \
          ratio of the rates with intervals, the chance of such a difference without one by the \
          score test and by Fisher's exact test; and the same with the spread between shifts allowed \
          for. The other parameters narrow both sides.
          """)
  @ApiResponse(responseCode = "200", description = "OK", useReturnTypeSchema = true)
  @ApiResponse(responseCode = "422", ref = "#/components/responses/Problem422")
  @GetMapping("/api/v1/reject-rates/comparison")
  RejectComparison compare(
      @Valid @ParameterObject RejectQuery query, @ParameterObject ComparisonQuery compared) {
    List<RateQuestion> asked = compared.questions(query.question());
    return RejectComparison.of(asked, rates.totals(asked), compared.first(), compared.second());
  }

  @Operation(
      operationId = "getFirstPassYield",
      summary = "Tell the first-pass yield of several steps",
      description =
          """
          The share of items that pass each line at the first attempt, and the product: the share \
          that passes all of them, if failures at different lines are unrelated.
          """)
  @ApiResponse(responseCode = "200", description = "OK", useReturnTypeSchema = true)
  @ApiResponse(responseCode = "422", ref = "#/components/responses/Problem422")
  @GetMapping("/api/v1/first-pass-yield")
  FirstPassYields firstPassYield(
      @Parameter(description = "Codes of the lines, in the order of the route.", example = "T1,B1")
          @RequestParam
          @Size(min = 1, max = 20, message = "must name 1 to 20 lines")
          List<String> line,
      @Parameter(description = "First moment of the window, with its offset.") @RequestParam
          Instant measuredFrom,
      @Parameter(description = "First moment after the window, at most 400 days later.")
          @RequestParam
          Instant measuredBefore,
      @Parameter(description = "Confidence of the intervals.") @RequestParam(defaultValue = "0.95")
          double confidence,
      @Parameter(description = "How the interval of each step is made.")
          @RequestParam(defaultValue = "WILSON")
          IntervalMethod method,
      @Parameter(
              description =
                  "Whether readings count that rest on an instrument which a check found doubtful.")
          @RequestParam(defaultValue = "true")
          boolean includeSuspect,
      @Parameter(description = AsOf.ASKED) @RequestParam(required = false) @Nullable Instant asOf) {
    if (new HashSet<>(line).size() < line.size()) {
      throw Problem.at(
          ProblemType.RULE_BROKEN, "line", "names a line twice; an item passes each step once");
    }
    RateQuestion asked =
        new RateQuestion(
            measuredFrom,
            measuredBefore,
            Set.of(),
            Bucket.NONE,
            RateQuestion.Narrowing.NONE,
            confidence,
            method,
            includeSuspect,
            asOf);
    return FirstPassYields.of(
        asked, line, rates.totals(line.stream().map(code -> asked.of(ofLine(code))).toList()));
  }

  private static RateQuestion.Narrowing ofLine(@Nullable String code) {
    return new RateQuestion.Narrowing(code, null, null, null, null, null, null);
  }
}
