package org.tarebook.capability;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.Parameter;
import io.swagger.v3.oas.annotations.media.Schema;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.validation.Valid;
import jakarta.validation.constraints.DecimalMax;
import jakarta.validation.constraints.DecimalMin;
import jakarta.validation.constraints.Max;
import jakarta.validation.constraints.Min;
import jakarta.validation.constraints.NotBlank;
import jakarta.validation.constraints.NotNull;
import jakarta.validation.constraints.Size;
import java.time.Instant;
import java.util.List;
import java.util.Objects;
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
import org.tarebook.control.LimitSet;
import org.tarebook.http.Code;
import org.tarebook.http.Cursor;
import org.tarebook.http.FactKey;
import org.tarebook.http.Page;
import org.tarebook.http.RetrySafe;
import org.tarebook.spec.Specification;
import org.tarebook.stats.Estimator;
import org.tarebook.stats.MethodRevision;
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
      operationId = "keepStudy",
      summary = "Keep a study",
      description =
          "Studies one chart and keeps question, answer and its digest, with"
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
                Boolean.TRUE.equals(request.mixture()),
                request.method() == null ? Method.NORMAL : request.method(),
                request.seed() == null ? 1 : request.seed()),
            actor);
    View view = view(done.study());
    return RetrySafe.Answer.of(done.replayed(), view, "kept-studies", view.code());
  }

  @Operation(
      operationId = "listKeptStudies",
      summary = "List kept studies",
      description =
          "The newest first. After an upgrade byEarlierMethod=true lists those whose figures may"
              + " differ when they are computed again; each stays as it was kept. Whoever needs the"
              + " present figures keeps a new study.")
  @GetMapping
  Page<Row> list(
      @Parameter(description = "The chart's code; all charts where it is absent.") @RequestParam
          @Nullable String chart,
      @Parameter(description = "Only those computed by an earlier revision of the methods.")
          @RequestParam(defaultValue = "false")
          boolean byEarlierMethod,
      @RequestParam(defaultValue = "100") @Min(1) @Max(1000) int limit,
      @RequestParam @Nullable String cursor) {
    Chart of = chart == null ? null : charts.require(chart, "chart");
    String question = "kept-studies " + chart + " " + byEarlierMethod;
    Cursor place = Cursor.open(cursor, question);
    long before = place == null ? Long.MAX_VALUE : place.at(Long::parseLong);
    Page<KeptStudy> page =
        Page.cut(
            kept.of(of, byEarlierMethod, before, limit + 1),
            limit,
            last -> new Cursor(String.valueOf(last.id())).seal(question));
    return page.of(page.items().stream().map(this::row).toList());
  }

  @Operation(
      operationId = "getKeptStudy",
      summary = "Show a kept study",
      description = "The answer as it was given, with its digest.")
  @GetMapping("/{code}")
  View get(@PathVariable String code) {
    return view(kept.get(code));
  }

  @Operation(
      operationId = "computeKeptStudyAgain",
      summary = "Compute a kept study again",
      description =
          "From the record as it stood, by the present methods: every digit must be as it was kept"
              + " where they are those it was kept with. The service has no earlier methods; where"
              + " they changed, each difference says whether the record or the method makes it."
              + " Sentences are not compared.")
  @GetMapping("/{code}/again")
  Again again(@PathVariable String code) {
    KeptStudies.Again again = kept.again(code);
    Long changed = again.study().state().changedSince();
    return new Again(
        row(again.kept()),
        MethodRevision.NOW,
        again.differences().isEmpty(),
        again.differences(),
        again.digestHolds(),
        again.fromReadings(),
        changed == null ? 0 : changed,
        again.withdrawn().stream().map(LimitSet::code).toList(),
        words(again, changed == null ? 0 : changed),
        again.study());
  }

  private static String words(KeptStudies.Again again, long since) {
    int revision = again.kept().methodRevision();
    boolean record =
        again.differences().stream().anyMatch(each -> each.because() != KeptAnswer.Because.METHOD);
    StringBuilder words = new StringBuilder();
    if (revision != MethodRevision.NOW) {
      words.append(
          "It was kept by revision %d of the methods, which this service no longer has, and computed again by revision %d. "
              .formatted(revision, MethodRevision.NOW));
    }
    words.append(
        again.differences().isEmpty()
            ? "Every figure comes out as it was kept."
            : record
                ? "The record no longer gives what was kept; see differences."
                : "The record gives the same; figures differ because the method changed.");
    if (!again.digestHolds()) {
      words.append(" The stored answer no longer has its digest: it was altered.");
    }
    words.append(
        since == 0
            ? " Nothing was written to its window since."
            : " %d reading(s) of its window were written, voided or doubted since; a study of now may differ."
                .formatted(since));
    for (LimitSet set : again.withdrawn()) {
      LimitSet.Withdrawal withdrawal = Objects.requireNonNull(set.withdrawal());
      words.append(
          " Limit set %s, which judged its points, was withdrawn by %s at %s (%s)."
              .formatted(
                  set.code(), withdrawal.person(), withdrawal.recordedAt(), withdrawal.reason()));
    }
    Specification wrong = again.withdrawnSpecification();
    if (wrong != null) {
      words.append(
          " Revision %d of the specification, which its readings were held against, was withdrawn by %s at %s (%s)."
              .formatted(
                  wrong.revision(),
                  wrong.withdrawnBy(),
                  wrong.withdrawnAt(),
                  wrong.withdrawnReason()));
    }
    return words.toString();
  }

  /** A study to be kept. */
  @Schema(name = "KeptStudyRequest", description = "A study to be kept.")
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
      @Schema(description = "The one stratum to be studied; left out for all.", example = "DIE=D7")
          @Size(max = 500)
          @Nullable String stratum,
      @Schema(description = "Estimator of sigma; the chart's own when left out.")
          @Nullable Estimator estimator,
      @Schema(
              description =
                  "Confidence level of the intervals, between 0.5 and 0.999; the chart's own when"
                      + " left out.")
          @DecimalMin("0.5")
          @DecimalMax("0.999")
          @Nullable Double confidence,
      @Schema(
              description =
                  "Whether to compute the indices by the sigma within subgroups even if the"
                      + " process is not in control; false when left out.")
          @Nullable Boolean evenIfNotInControl,
      @Schema(description = "Whether Cp to Cpl are wanted of several streams together too.")
          @Nullable Boolean mixture,
      @Schema(
              description =
                  "How the indices are computed; by the normal distribution when left out.")
          @Nullable Method method,
      @Schema(description = "Kept with the question; no figure depends on it.")
          @Nullable Long seed) {}

  /** A kept study in a list. */
  @Schema(name = "KeptStudyRow", description = "A kept study without its answer.")
  record Row(
      String code,
      String chart,
      @Schema(description = "Version of the chart's record it rests on.") long version,
      @Schema(description = "Masters and responses recorded by then went in.") Instant asOf,
      @Schema(description = "What was asked for.") KeptStudy.Asked asked,
      @Schema(description = MethodRevision.MEANING) int methodRevision,
      @Schema(
              description =
                  "SHA-256 of the answer as compact JSON without its sentences (words, criterion,"
                      + " because, and estimator and intervals of method); of the whole answer where"
                      + " methodRevision is 1.")
          String digest,
      String reason,
      String person,
      Instant recordedAt) {}

  /** A kept study. */
  @Schema(name = "KeptStudy", description = "A kept study with the answer as it was given.")
  record View(
      String code,
      String chart,
      @Schema(description = "Version of the chart's record that the study rests on.") long version,
      @Schema(description = "The study rests on master data and responses recorded by this moment.")
          Instant asOf,
      @Schema(description = "What was asked for.") KeptStudy.Asked asked,
      @Schema(description = MethodRevision.MEANING) int methodRevision,
      @Schema(
              description =
                  "SHA-256 of the stored answer; see the list of kept studies for what it covers.")
          String digest,
      String reason,
      String person,
      Instant recordedAt,
      @Schema(description = "The answer as it was given.", implementation = Study.class)
          JsonNode study) {}

  /** A kept study computed again. */
  @Schema(name = "KeptStudyAgain", description = "A kept study that was computed again.")
  record Again(
      @Schema(description = "The study as it was kept.") Row kept,
      @Schema(description = "Revision of the methods by which it was computed again.")
          int methodRevision,
      @Schema(description = "Whether every figure came out as it was kept.") boolean same,
      @Schema(description = "Where it did not, and why.") List<KeptAnswer.Difference> differences,
      @Schema(description = "Whether the stored answer still has its digest.") boolean digestHolds,
      @Schema(
              description =
                  "Whether it was computed from the readings themselves. A window of more readings"
                      + " than tarebook.readings-at-once is computed from the summaries of shifts"
                      + " and months, which the command check-segments compares with the record.")
          boolean fromReadings,
      @Schema(description = "Readings of the window written, voided or doubted since.")
          long changedSince,
      @Schema(description = "Codes of limit sets that judged its points and were withdrawn since.")
          List<String> limitSetsWithdrawn,
      @Schema(description = "Whether the figures came out the same, as a sentence for people.")
          String words,
      @Schema(description = "The study as it is computed now.") Study study) {}

  private Row row(KeptStudy of) {
    return new Row(
        of.code(),
        plans.current().charts().get(of.chartId()).code(),
        of.asOf().version(),
        of.asOf().moment(),
        of.asked(),
        of.methodRevision(),
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
        row.methodRevision(),
        row.digest(),
        row.reason(),
        row.person(),
        row.recordedAt(),
        kept.answer(of));
  }
}
