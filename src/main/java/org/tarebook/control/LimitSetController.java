package org.tarebook.control;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.Parameter;
import io.swagger.v3.oas.annotations.media.Schema;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.validation.Valid;
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
import org.tarebook.http.Code;
import org.tarebook.http.FactKey;
import org.tarebook.http.Page;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.http.RetrySafe;
import org.tarebook.stats.Estimator;

/** {@code /limit-sets}: control limits, computed and frozen. */
@Tag(name = "Charts")
@RestController
@RequestMapping("/api/v1/limit-sets")
class LimitSetController {

  private static final String PREVIEW = "preview";

  private final LimitSets limitSets;
  private final Charts charts;

  LimitSetController(LimitSets limitSets, Charts charts) {
    this.limitSets = limitSets;
    this.charts = charts;
  }

  @Operation(
      operationId = "listLimitSets",
      summary = "List the limit sets of a chart",
      description =
          "In the order in which they come into force; limits never change. Withdrawn sets stay"
              + " listed.")
  @GetMapping
  Page<LimitSetView> list(
      @Parameter(description = "The chart's code.") @RequestParam String chart) {
    Chart of = charts.require(chart, "chart");
    return Page.whole(limitSets.every(of).stream().map(set -> view(of, set)).toList());
  }

  @Operation(
      operationId = "getLimitSet",
      summary = "Show a limit set",
      description =
          "As frozen, and how many readings of the chart in the baseline's window were added,"
              + " amended or doubted since; and who withdrew it, when and why.")
  @GetMapping("/{code}")
  LimitSetView get(@PathVariable String code) {
    LimitSet set = limitSets.get(code);
    return view(charts.byId(set.chartId()), set);
  }

  @Operation(
      operationId = "previewLimits",
      summary = "Tell beforehand what limits a baseline gives",
      description =
          "Three-sigma limits of the points about their grand mean, and of the ranges, standard"
              + " deviations or moving ranges (NIST/SEMATECH e-Handbook, 6.3.2). Nothing is stored."
              + " Told besides: points beyond these limits in the baseline itself, and what makes"
              + " the limits doubtful.")
  @GetMapping("/" + PREVIEW)
  LimitSetPreview preview(
      @Parameter(description = "The chart's code.") @RequestParam String chart,
      @Parameter(description = "First measuring time of the baseline.") @RequestParam
          Instant measuredFrom,
      @Parameter(description = "First measuring time behind it.") @RequestParam
          Instant measuredBefore,
      @Parameter(
              description =
                  "The one stratum they are for, as points name it; left out for the whole chart.",
              example = "DIE=D7")
          @RequestParam(defaultValue = "")
          String stratum,
      @Parameter(
              description =
                  "R_BAR, POOLED or POOLED_C4 for XBAR_R, S_BAR, POOLED or POOLED_C4 for XBAR_S, MOVING_RANGE for"
                      + " INDIVIDUALS; that of the control plan when left out.")
          @RequestParam(required = false)
          @Nullable Estimator estimator) {
    Chart of = charts.require(chart, "chart");
    return LimitSetPreview.of(
        limitSets.preview(
            new Baselines.Wanted(of, measuredFrom, measuredBefore, stratum, estimator, List.of())));
  }

  @Operation(
      operationId = "previewLimitsSettingAside",
      summary = "Tell beforehand what limits a baseline gives without some of its points",
      description =
          "As the preview above, with points set aside in rounds, each for a named cause. A moving"
              + " range that touches such a point is left out with it. Told besides: the limits of"
              + " every round. Nothing is stored.")
  @PostMapping(path = "/" + PREVIEW, consumes = MediaType.APPLICATION_JSON_VALUE)
  LimitSetPreview previewSettingAside(@Valid @RequestBody Question question) {
    Chart of = charts.require(question.chart(), "/chart");
    return LimitSetPreview.of(
        limitSets.preview(
            new Baselines.Wanted(
                of,
                question.measuredFrom(),
                question.measuredBefore(),
                question.stratum() == null ? "" : question.stratum(),
                question.estimator(),
                orNone(question.setAside()))));
  }

  @Operation(
      operationId = "freezeLimits",
      summary = "Freeze limits",
      description =
          "Limits are computed from the baseline and never change"
              + " afterwards. They judge every point from inForceFrom on, which may lie in the"
              + " past, until the next set of the same stratum; signals are raised and withdrawn"
              + " accordingly.")
  @RetrySafe
  @PostMapping(consumes = MediaType.APPLICATION_JSON_VALUE)
  ResponseEntity<LimitSetView> freeze(@Valid @RequestBody Request request, Actor actor) {
    if (request.code().equals(PREVIEW)) {
      throw Problem.at(ProblemType.RULE_BROKEN, "/code", "names the preview; choose another code");
    }
    Chart chart = charts.require(request.chart(), "/chart");
    LimitSets.Done frozen =
        limitSets.freeze(
            new LimitSets.Draft(
                request.key(),
                request.code(),
                new Baselines.Wanted(
                    chart,
                    request.measuredFrom(),
                    request.measuredBefore(),
                    request.stratum() == null ? "" : request.stratum(),
                    request.estimator(),
                    orNone(request.setAside())),
                request.inForceFrom(),
                request.reason()),
            actor);
    LimitSetView view = view(chart, frozen.set());
    return RetrySafe.Answer.of(frozen.replayed(), view, "limit-sets", view.code());
  }

  @Operation(
      operationId = "withdrawLimits",
      summary = "Withdraw a limit set",
      description =
          "For limits that were frozen wrongly, such as those of another"
              + " baseline: the set stays on record and judges nothing any more. The set before it of"
              + " the same stratum, or that of the whole chart, is in force again where it was;"
              + " signals are raised and withdrawn accordingly, as after freezing. A set that begins"
              + " at the same moment may then be frozen, under a code of its own. Figures as of an"
              + " earlier moment keep it. The same key with the same content is answered as stored.")
  @RetrySafe
  @PostMapping(path = "/{code}/withdrawals", consumes = MediaType.APPLICATION_JSON_VALUE)
  ResponseEntity<LimitSetView> withdraw(
      @PathVariable String code, @Valid @RequestBody WithdrawalRequest request, Actor actor) {
    LimitSets.Done done = limitSets.withdraw(code, request.key(), request.reason(), actor);
    LimitSetView view = view(charts.byId(done.set().chartId()), done.set());
    return RetrySafe.Answer.of(done.replayed(), view, "limit-sets", view.code());
  }

  /** That a set is to be withdrawn. */
  @Schema(name = "LimitSetWithdrawalRequest", description = "A request to withdraw a limit set.")
  record WithdrawalRequest(
      @Schema(description = "The person's own key; a retry repeats it.") @NotNull @FactKey
          String key,
      @Schema(example = "Its baseline holds the trial of the new die.") @NotBlank @Size(max = 500)
          String reason) {}

  /** A baseline, and what is left out of it. */
  @Schema(name = "LimitSetQuestion", description = "A baseline, and what is left out of it.")
  record Question(
      @Schema(description = "The chart's code.") @NotNull @Code String chart,
      @Schema(description = "First measuring time of the baseline.") @NotNull Instant measuredFrom,
      @Schema(description = "First measuring time behind it.") @NotNull Instant measuredBefore,
      @Schema(description = "The one stratum they are for; left out for the whole chart.")
          @Size(max = 500)
          @Nullable String stratum,
      @Schema(description = "The usual one of the kind of chart when left out.")
          @Nullable Estimator estimator,
      @Schema(description = "Points left out of the baseline, each for a named cause.")
          @Size(max = 1000)
          @Nullable List<@NotNull @Valid SetAside> setAside) {}

  /** Limits to be frozen. */
  @Schema(name = "LimitSetRequest", description = "Control limits to be frozen.")
  record Request(
      @Schema(description = "The person's own key of this fact; a retry repeats it.")
          @NotNull
          @FactKey
          String key,
      @Schema(example = "L-2026-1") @NotNull @Code String code,
      @Schema(description = "The chart's code.") @NotNull @Code String chart,
      @Schema(description = "First measuring time of the baseline.") @NotNull Instant measuredFrom,
      @Schema(description = "First measuring time behind it.") @NotNull Instant measuredBefore,
      @Schema(
              description = "The one stratum they are for; left out for the whole chart.",
              example = "DIE=D7")
          @Size(max = 500)
          @Nullable String stratum,
      @Schema(description = "The usual one of the kind of chart when left out.")
          @Nullable Estimator estimator,
      @Schema(
              description =
                  "Points left out of the baseline, each for a named cause; recorded with the set.")
          @Size(max = 1000)
          @Nullable List<@NotNull @Valid SetAside> setAside,
      @Schema(description = "The first moment whose points they judge; not before the baseline.")
          @NotNull
          Instant inForceFrom,
      @Schema(example = "First baseline after the new die.") @NotBlank @Size(max = 500)
          String reason) {}

  private LimitSetView view(Chart chart, LimitSet set) {
    return LimitSetView.of(
        chart, set, limitSets.baselineChanged(chart, set), limitSets.rounds(set));
  }

  private static List<SetAside> orNone(@Nullable List<SetAside> setAside) {
    return setAside == null ? List.of() : setAside;
  }
}
