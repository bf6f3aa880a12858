package org.tarebook.rejects;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.Parameter;
import io.swagger.v3.oas.annotations.responses.ApiResponse;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.validation.Valid;
import jakarta.validation.constraints.NotNull;
import java.time.Instant;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.springdoc.core.annotations.ParameterObject;
import org.springframework.web.bind.annotation.GetMapping;
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
      summary = "Ask for reject rates",
      description =
          """
          Items with at least one failed characteristic over items judged, first pass and final \
          apart, by any combination of members of groupBy and of plant time. Rates are shares of \
          items from 0 to 1, each with Wilson's interval and with one that allows for the spread \
          between shifts. A conditional result is no reject. Readings that take no part are counted \
          apart, by cause. By direction or reason an item may stand in several rows. A share of \
          nothing is absent and says NOTHING_JUDGED. At most 400 days and 5000 rows. Answered from \
          one picture of the record: the same question gives the same digits until a fact is added.
          """)
  @ApiResponse(responseCode = "200", description = "OK", useReturnTypeSchema = true)
  @ApiResponse(responseCode = "422", ref = "#/components/responses/Problem422")
  @GetMapping("/api/v1/reject-rates")
  RateAnswer find(@Valid @ParameterObject Query query) {
    return rates.of(query.question());
  }

  @Operation(
      summary = "Chart the rejects of a window",
      description =
          """
          A p chart of first-pass rejects: a point for each shift (or bucket) with judged items, the \
          share of the window as centre. Beside three-sigma lines it has exact limits by the \
          binomial; and since large shifts make both so narrow that every point signals, limits that \
          allow for the spread between points, with the dispersion tested and told in words.
          """)
  @ApiResponse(responseCode = "200", description = "OK", useReturnTypeSchema = true)
  @ApiResponse(responseCode = "422", ref = "#/components/responses/Problem422")
  @GetMapping("/api/v1/reject-rates/chart")
  RejectChart chart(@Valid @ParameterObject Query query) {
    RateQuestion asked = query.question();
    if (!asked.groupBy().isEmpty()) {
      throw Problem.at(
          ProblemType.RULE_BROKEN,
          "groupBy",
          "does not go with a chart, which is one series in time; narrow by line or station instead");
    }
    return RejectChart.of(
        rates.of(
            new RateQuestion(
                asked.measuredFrom(),
                asked.measuredBefore(),
                Set.of(),
                asked.bucket() == Bucket.NONE ? Bucket.SHIFT : asked.bucket(),
                asked.narrowing(),
                asked.confidence())));
  }

  /** The question as it is asked; whatever is left out does not narrow. */
  record Query(
      @Parameter(
              description = "First moment of the window, by the devices' clocks, with its offset.",
              example = "2026-03-02T06:00:00+01:00")
          @NotNull(message = "is needed: the first moment of the window, with its offset")
          Instant measuredFrom,
      @Parameter(
              description = "First moment behind the window, at most 400 days later.",
              example = "2026-03-09T06:00:00+01:00")
          @NotNull(message = "is needed: the first moment behind the window, with its offset")
          Instant measuredBefore,
      @Parameter(
              description =
                  "What to tell apart, with commas between. SHIFT: name of the shift. REASON:"
                      + " characteristic and side.",
              example = "LINE,SHIFT")
          @Nullable Set<Dimension> groupBy,
      @Parameter(
              description =
                  "How to cut time, by the plant's calendar and zone; NONE when left out.",
              example = "DAY")
          @Nullable Bucket bucket,
      @Parameter(description = "Code of the line.", example = "T1") @Nullable String line,
      @Parameter(description = "Code of the component.", example = "TR114")
          @Nullable String component,
      @Parameter(description = "Code of the product.", example = "F2-11-28-8PR")
          @Nullable String product,
      @Parameter(
              description = "Code of the station of an item's first judged reading.",
              example = "T1-W1")
          @Nullable String station,
      @Parameter(description = "Die of an item's first judged reading.", example = "D-114-B")
          @Nullable String die,
      @Parameter(description = "Code of the characteristic.", example = "TR114-MASS")
          @Nullable String characteristic,
      @Parameter(
              description = "Name of the shift of an item's first judged reading.",
              example = "early")
          @Nullable String shift,
      @Parameter(
              description = "Confidence of the intervals, between 0 and 1; 0.95 when left out.",
              example = "0.95")
          @Nullable Double confidence) {

    RateQuestion question() {
      return new RateQuestion(
          measuredFrom,
          measuredBefore,
          groupBy == null ? Set.of() : groupBy,
          bucket == null ? Bucket.NONE : bucket,
          new RateQuestion.Narrowing(line, component, product, station, die, characteristic, shift),
          confidence == null ? 0.95 : confidence);
    }
  }
}
