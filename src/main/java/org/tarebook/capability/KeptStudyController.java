package org.tarebook.capability;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.Parameter;
import io.swagger.v3.oas.annotations.media.Schema;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.validation.Valid;
import jakarta.validation.constraints.DecimalMax;
import jakarta.validation.constraints.DecimalMin;
import jakarta.validation.constraints.NotBlank;
import jakarta.validation.constraints.NotNull;
import jakarta.validation.constraints.Size;
import java.time.Instant;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.springframework.http.MediaType;
import org.springframework.http.ResponseEntity;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestBody;
import org.springframework.web.bind.annotation.RequestMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.bind.annotation.RestController;
import org.tarebook.audit.Actor;
import org.tarebook.chart.Chart;
import org.tarebook.chart.Charts;
import org.tarebook.chart.Plans;
import org.tarebook.http.Code;
import org.tarebook.http.FactKey;
import org.tarebook.http.Page;
import org.tarebook.http.RetrySafe;
import org.tarebook.stats.Estimator;
import tools.jackson.databind.JsonNode;

/** {@code /kept-studies}: studies that must be proven years later. */
@Tag(name = "Capability")
@RestController
@RequestMapping("/api/v1/kept-studies")
class KeptStudyController {

  private final KeptStudies kept;
  private final Charts charts;
  private final Plans plans;

  KeptStudyController(KeptStudies kept, Charts charts, Plans plans) {
    this.kept = kept;
    this.charts = charts;
    this.plans = plans;
  }

  @Operation(
      summary = "Keep a study",
      description =
          "Needs a person's token. Studies one chart and keeps question, answer and its digest, with"
              + " the version of the chart's record it rests on. Figures that are known as of now only"
              + " are left out.")
  @RetrySafe
  @PostMapping(consumes = MediaType.APPLICATION_JSON_VALUE)
  ResponseEntity<View> keep(@Valid @RequestBody Request request, Actor actor) {
    Chart chart = charts.require(request.chart(), "/chart");
    KeptStudies.Done done =
        kept.keep(
            request.key(),
            request.code(),
            request.reason(),
            chart,
            new KeptStudy.Asked(
                request.measuredFrom(),
                request.measuredBefore(),
                request.stratum(),
                request.estimator(),
                request.confidence(),
                Boolean.TRUE.equals(request.evenIfNotInControl()),
                request.method() == null ? Method.NORMAL : request.method(),
                request.seed() == null ? 1 : request.seed()),
            actor);
    View view = view(done.study());
    return RetrySafe.Answer.of(done.replayed(), view, "kept-studies", view.code());
  }

  @Operation(summary = "List the kept studies of a chart", description = "The newest first.")
  @GetMapping
  Page<Row> list(@Parameter(description = "The chart's code.") @RequestParam String chart) {
    Chart found = charts.require(chart, "chart");
    return Page.whole(kept.of(found).stream().map(each -> row(each, found.code())).toList());
  }

  @Operation(
      summary = "Show a kept study",
      description = "The answer as it was given, with its digest.")
  @GetMapping("/{code}")
  View get(@PathVariable String code) {
    return view(kept.get(code));
  }

  @Operation(
      summary = "Compute a kept study again",
      description =
          "From the record as it stood: every digit must be as it was kept. Tells where it is not, and"
              + " how many readings of the window were written, voided or doubted since.")
  @GetMapping("/{code}/again")
  Again again(@PathVariable String code) {
    KeptStudies.Again again = kept.again(code);
    Long changed = again.study().state().changedSince();
    long since = changed == null ? 0 : changed;
    return new Again(
        row(again.kept()),
        again.differences().isEmpty(),
        again.differences(),
        since,
        (again.differences().isEmpty()
                ? "Every figure comes out as it was kept."
                : "The study no longer comes out as it was kept; see differences.")
            + (since == 0
                ? " Nothing was written to its window since."
                : " %d reading(s) of its window were written, voided or doubted since; a study of now"
                        .formatted(since)
                    + " may differ."),
        again.study());
  }

  /** A study to be kept. */
  @Schema(name = "KeptStudyRequest")
  record Request(
      @Schema(description = "The person's own key of this fact; a retry repeats it.")
          @NotNull
          @FactKey
          String key,
      @Schema(example = "CAP-2026-11") @NotNull @Code String code,
      @Schema(example = "Monthly report to the customer.") @NotBlank @Size(max = 500) String reason,
      @Schema(description = "The chart's code.") @NotNull @Code String chart,
      @Schema(description = "First measuring time of the window.") @NotNull Instant measuredFrom,
      @Schema(description = "First measuring time behind it.") @NotNull Instant measuredBefore,
      @Schema(example = "DIE=D7") @Size(max = 500) @Nullable String stratum,
      @Nullable Estimator estimator,
      @DecimalMin("0.5") @DecimalMax("0.999") @Nullable Double confidence,
      @Nullable Boolean evenIfNotInControl,
      @Nullable Method method,
      @Schema(description = "Kept with the question; no figure depends on it.")
          @Nullable Long seed) {}

  /** A kept study in a list. */
  @Schema(name = "KeptStudyRow")
  record Row(
      String code,
      String chart,
      @Schema(description = "Version of the chart's record it rests on.") long version,
      @Schema(description = "Masters and responses recorded by then went in.") Instant asOf,
      KeptStudy.Asked asked,
      @Schema(description = "SHA-256 of the answer.") String digest,
      String reason,
      String person,
      Instant recordedAt) {}

  /** A kept study. */
  @Schema(name = "KeptStudy")
  record View(
      String code,
      String chart,
      long version,
      Instant asOf,
      KeptStudy.Asked asked,
      String digest,
      String reason,
      String person,
      Instant recordedAt,
      @Schema(description = "The answer as it was given.", implementation = Study.class)
          JsonNode study) {}

  /** A kept study computed again. */
  @Schema(name = "KeptStudyAgain")
  record Again(
      Row kept,
      @Schema(description = "Whether every figure came out as it was kept.") boolean same,
      @Schema(description = "Where it did not, as JSON pointers.") List<String> differences,
      @Schema(description = "Readings of the window written, voided or doubted since.")
          long changedSince,
      String words,
      Study study) {}

  private Row row(KeptStudy of) {
    return row(of, plans.current().charts().get(of.chartId()).code());
  }

  private static Row row(KeptStudy of, String chart) {
    return new Row(
        of.code(),
        chart,
        of.asOf().version(),
        of.asOf().moment(),
        of.asked(),
        of.digest(),
        of.signed().reason(),
        of.signed().person(),
        of.signed().recordedAt());
  }

  private View view(KeptStudy of) {
    Row row = row(of);
    return new View(
        row.code(),
        row.chart(),
        row.version(),
        row.asOf(),
        row.asked(),
        row.digest(),
        row.reason(),
        row.person(),
        row.recordedAt(),
        kept.answer(of));
  }
}
