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
      summary = "List the limit sets of a chart",
      description = "In the order in which they come into force; limits never change.")
  @GetMapping
  Page<View> list(@Parameter(description = "The chart's code.") @RequestParam String chart) {
    Chart of = charts.require(chart, "chart");
    return Page.whole(limitSets.of(of).all().stream().map(set -> view(of, set)).toList());
  }

  @Operation(
      summary = "Show a limit set",
      description =
          "As frozen, and how many readings of the chart in the baseline's window were added,"
              + " amended or doubted since.")
  @GetMapping("/{code}")
  View get(@PathVariable String code) {
    LimitSet set = limitSets.get(code);
    return view(charts.byId(set.chartId()), set);
  }

  @Operation(
      summary = "Tell beforehand what limits a baseline gives",
      description =
          "Three-sigma limits of the points about their grand mean, and of the ranges, standard"
              + " deviations or moving ranges (NIST/SEMATECH e-Handbook, 6.3.2). Nothing is stored."
              + " Told besides: points beyond these limits in the baseline itself, and what makes"
              + " the limits doubtful.")
  @GetMapping("/" + PREVIEW)
  Preview preview(
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
                  "R_BAR or POOLED for XBAR_R, S_BAR or POOLED for XBAR_S, MOVING_RANGE for"
                      + " INDIVIDUALS; the first of them when left out.")
          @RequestParam(required = false)
          @Nullable Estimator estimator) {
    Chart of = charts.require(chart, "chart");
    return preview(
        limitSets.preview(
            new LimitSets.Wanted(of, measuredFrom, measuredBefore, stratum, estimator)));
  }

  @Operation(
      summary = "Freeze limits",
      description =
          "Needs a person's token. Limits are computed from the baseline and never change"
              + " afterwards. They judge every point from inForceFrom on, which may lie in the"
              + " past, until the next set of the same stratum; signals are raised and withdrawn"
              + " accordingly.")
  @RetrySafe
  @PostMapping(consumes = MediaType.APPLICATION_JSON_VALUE)
  ResponseEntity<View> freeze(@Valid @RequestBody Request request, Actor actor) {
    if (request.code().equals(PREVIEW)) {
      throw Problem.at(ProblemType.RULE_BROKEN, "/code", "names the preview; choose another code");
    }
    Chart chart = charts.require(request.chart(), "/chart");
    LimitSets.Frozen frozen =
        limitSets.freeze(
            new LimitSets.Draft(
                request.key(),
                request.code(),
                new LimitSets.Wanted(
                    chart,
                    request.measuredFrom(),
                    request.measuredBefore(),
                    request.stratum() == null ? "" : request.stratum(),
                    request.estimator()),
                request.inForceFrom(),
                request.reason()),
            actor);
    View view = view(chart, frozen.set());
    return RetrySafe.Answer.of(frozen.replayed(), view, "limit-sets", view.code());
  }

  /** Limits to be frozen. */
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
      @Schema(description = "The first moment whose points they judge; not before the baseline.")
          @NotNull
          Instant inForceFrom,
      @Schema(example = "First baseline after the new die.") @NotBlank @Size(max = 500)
          String reason) {}

  /** What limits were or would be computed from. */
  record Baseline(
      Instant measuredFrom,
      Instant measuredBefore,
      @Schema(description = "Readings that count.", example = "100") long readings,
      @Schema(description = "Points they make.", example = "20") long points,
      @Schema(description = "Counted readings that make no point.", example = "3") long incomplete,
      @Schema(description = "Readings of the chart's window that do not count.")
          List<Excluded> excluded) {}

  /** A limit set. */
  record View(
      String code,
      String chart,
      @Schema(description = "Empty: every stratum without a set of its own.") String stratum,
      @Schema(description = "UCUM code of the unit of all limits.", example = "[lb_av]")
          String unit,
      Baseline baseline,
      @Schema(
              description =
                  "Readings of the chart in the baseline's window that were added, amended or"
                      + " doubted since; of all strata.")
          long baselineChanged,
      ShownLimits limits,
      @Schema(description = "Readings in one point.", example = "5") int subgroupSize,
      Instant inForceFrom,
      String reason,
      String person,
      Instant recordedAt) {}

  /** A point beyond the limits that it went into itself. */
  record Beyond(
      @Schema(example = "BEYOND_LIMITS") String rule,
      Instant at,
      String stratum,
      @Schema(description = "Id of the first of its readings.") long firstReading,
      @Schema(description = "Id of the last of its readings.") long lastReading,
      @Schema(description = "The point, or its spread, in the unit.") double value) {}

  /** What limits a baseline gives. */
  @Schema(name = "LimitSetPreview")
  record Preview(
      String chart,
      String stratum,
      String unit,
      Baseline baseline,
      @Schema(description = "Absent where they do not exist; notComputed says why.")
          @Nullable ShownLimits limits,
      @Schema(description = "Points of the baseline beyond these limits.") List<Beyond> beyond,
      List<Flag> flags,
      List<NotComputed> notComputed) {}

  private View view(Chart chart, LimitSet set) {
    LimitSet.Baseline baseline = set.baseline();
    return new View(
        set.code(),
        chart.code(),
        set.stratum(),
        set.unit().code(),
        new Baseline(
            baseline.from(),
            baseline.before(),
            baseline.readings(),
            baseline.points(),
            baseline.incomplete(),
            Excluded.list(baseline.uncounted())),
        limitSets.baselineChanged(chart, set),
        ShownLimits.of(chart.cut().kind(), set.limits()),
        chart.cut().subgroupSize(),
        set.inForceFrom(),
        set.signed().reason(),
        set.signed().person(),
        set.signed().recordedAt());
  }

  private static Preview preview(LimitSets.Preview of) {
    ChartedWindow window = of.window();
    Chart chart = window.asked().chart();
    return new Preview(
        chart.code(),
        of.wanted().stratum(),
        window.unit().code(),
        new Baseline(
            window.asked().from(),
            window.asked().before(),
            window.readings().size(),
            window.points().size(),
            window.incomplete(),
            Excluded.list(window.uncounted())),
        of.usable().map(limits -> ShownLimits.of(chart.cut().kind(), limits)).orElse(null),
        of.beyond().stream()
            .map(
                found ->
                    new Beyond(
                        found.rule(),
                        found.completing().at(),
                        found.completing().stratum(),
                        found.completing().firstReading(),
                        found.completing().lastReading(),
                        found.value()))
            .toList(),
        of.flags(),
        of.notComputed().stream().toList());
  }
}
