package org.tarebook.rejects;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.Parameter;
import io.swagger.v3.oas.annotations.responses.ApiResponse;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.validation.Valid;
import org.springdoc.core.annotations.ParameterObject;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.bind.annotation.RestController;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;

/** {@code /reject-rates}: how much failed, where, when and why. */
@Tag(name = "Reject rates")
@RestController
class RejectRateController {

  private final RejectRates rates;

  RejectRateController(RejectRates rates) {
    this.rates = rates;
  }

  @Operation(
      operationId = "getRejectRates",
      summary = "Ask for reject rates",
      description =
          """
          Items with at least one failed characteristic over items judged, first pass and final \
          apart, by any combination of members of groupBy and of plant time. Rates are shares of \
          items from 0 to 1, each with an interval by the method asked for and with one that allows for the spread \
          between shifts. A conditional result is no reject. Readings that take no part are counted \
          apart, by cause. By direction or reason an item may stand in several rows. With a bucket, an hour, shift, day or \
          week without items is a row too. Cavities of press loads count as cures of the tyres in them. \
          A share of \
          nothing is absent and says NOTHING_JUDGED. At most 400 days and 5000 rows. Answered from \
          one picture of the record: the same question gives the same digits until a fact is added.
          """)
  @ApiResponse(responseCode = "200", description = "OK", useReturnTypeSchema = true)
  @ApiResponse(responseCode = "422", ref = "#/components/responses/Problem422")
  @GetMapping("/api/v1/reject-rates")
  RateAnswer find(@Valid @ParameterObject RejectQuery query) {
    return rates.of(query.question());
  }

  @Operation(
      operationId = "chartRejects",
      summary = "Chart the rejects of a window",
      description =
          """
          A chart of first-pass rejects: a point for each shift (or bucket) with judged items, the \
          share of the window as centre. P charts shares, NP counts, where all points have as many \
          items. Beside three-sigma lines it has exact limits by the binomial; and since large shifts \
          make both so narrow that every point signals, limits that allow for the spread between \
          points, with the dispersion tested and told in words. A bucket without judged items is no \
          point and is counted.
          """)
  @ApiResponse(responseCode = "200", description = "OK", useReturnTypeSchema = true)
  @ApiResponse(responseCode = "422", ref = "#/components/responses/Problem422")
  @GetMapping("/api/v1/reject-rates/chart")
  RejectChart chart(
      @Valid @ParameterObject RejectQuery query,
      @Parameter(description = "P for shares, NP for counts.", example = "P")
          @RequestParam(defaultValue = "P")
          RejectChart.Kind kind) {
    RateQuestion asked = query.question();
    if (!asked.groupBy().isEmpty()) {
      throw Problem.at(
          ProblemType.RULE_BROKEN,
          "groupBy",
          "does not go with a chart, which is one series in time; narrow by line or station instead");
    }
    return RejectChart.of(
        rates.ofBucketsInUse(asked.bucket() == Bucket.NONE ? asked.by(Bucket.SHIFT) : asked), kind);
  }
}
