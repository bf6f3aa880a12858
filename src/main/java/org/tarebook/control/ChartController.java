package org.tarebook.control;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.Parameter;
import io.swagger.v3.oas.annotations.media.Schema;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.validation.constraints.Max;
import jakarta.validation.constraints.Min;
import java.time.Clock;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.springdoc.core.annotations.ParameterObject;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.RequestMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.bind.annotation.RestController;
import org.tarebook.chart.Chart;
import org.tarebook.chart.Charts;
import org.tarebook.chart.Plan;
import org.tarebook.chart.Plans;
import org.tarebook.chart.Unsettled;
import org.tarebook.http.Page;
import org.tarebook.spec.Characteristic;
import org.tarebook.stats.Estimator;
import org.tarebook.stats.RunRule;
import org.tarebook.storage.Transactions;

/** {@code /charts}: charts as they stand. */
@Tag(name = "Charts")
@RestController
@RequestMapping("/api/v1/charts")
class ChartController {

  private final ChartPoints points;
  private final ChartPreview preview;
  private final RuleCosts costs;
  private final LimitSets limitSets;
  private final Signals signals;
  private final Charts charts;
  private final Plans plans;
  private final Transactions transactions;
  private final Clock clock;

  ChartController(
      ChartPoints points,
      ChartPreview preview,
      RuleCosts costs,
      LimitSets limitSets,
      Signals signals,
      Charts charts,
      Plans plans,
      Transactions transactions,
      Clock clock) {
    this.points = points;
    this.preview = preview;
    this.costs = costs;
    this.limitSets = limitSets;
    this.signals = signals;
    this.charts = charts;
    this.plans = plans;
    this.transactions = transactions;
    this.clock = clock;
  }

  @Operation(
      operationId = "listCharts",
      summary = "List charts",
      description =
          "The charts in use of a line, or of the plant, in the order of codes, with how many"
              + " signals of each are open, and since when. A chart without limits in force raises"
              + " none, so it has no such figure.")
  @GetMapping
  Page<Row> list(
      @Parameter(description = "The line's code.") @RequestParam(required = false)
          @Nullable String line) {
    return Page.whole(
        transactions.snapshot(
            () -> {
              Plan plan = plans.current();
              return rows(
                  plan,
                  line == null
                      ? plan.chartsInUse()
                      : plan.chartsInUse(plan.lines().require(line, "line")));
            }));
  }

  private List<Row> rows(Plan plan, List<Chart> found) {
    Map<Long, Signals.Open> open = signals.open(found.stream().map(Chart::id).toList());
    Map<Long, LimitsInForce> limits = limitSets.of(found);
    Instant now = clock.instant();
    return found.stream()
        .map(
            chart ->
                row(
                    plan,
                    chart,
                    open.getOrDefault(chart.id(), Signals.Open.NONE),
                    Objects.requireNonNull(limits.get(chart.id())).standing().stream()
                        .anyMatch(set -> !set.inForceFrom().isAfter(now))))
        .toList();
  }

  @Operation(
      operationId = "getChart",
      summary = "Show a chart",
      description =
          "Its row of the control plan, the limit sets in force now, its last point and how many"
              + " signals are open.")
  @GetMapping("/{code}")
  View get(@PathVariable String code) {
    Chart chart = charts.get(code);
    // Simulated before the snapshot, which must not be held open for it.
    Optional<RuleCosts.Shown> cost = costs.find(chart.cut().rules());
    return transactions.snapshot(() -> view(plans.current(), chart, cost));
  }

  @Operation(
      operationId = "listPoints",
      summary = "Show the points of a chart",
      description =
          "In order, with the limits in force for each and the signals that stand. Readings are cut"
              + " into points shift by shift, stratum by stratum, in the order of the station's"
              + " counter; what is left over at the end of a shift makes no point. At most 10,000"
              + " points are answered; next says where the rest begins.")
  @GetMapping("/{code}/points")
  ChartPoints.Answer points(@PathVariable String code, @ParameterObject WindowQuery query) {
    Chart chart = charts.get(code);
    StudyWindow window = query.window(clock.instant());
    return transactions.snapshot(
        () -> points.of(plans.current(), chart, window, query.stratum(), query.asOf()));
  }

  @Operation(
      operationId = "previewChart",
      summary = "Preview another way of charting",
      description =
          "The readings of the window cut and judged by another kind of chart, subgroup size, rules"
              + " or estimator than the control plan's, with limits computed from the window itself."
              + " Nothing is stored and no signal raised. The answer names what was used, what such"
              + " rules cost, and what makes the limits doubtful. The first 10,000 points are listed.")
  @GetMapping("/{code}/preview")
  ChartPreview.Answer preview(
      @PathVariable String code,
      @ParameterObject WindowQuery query,
      @RequestParam Chart.@Nullable Kind kind,
      @Parameter(description = "Readings in one point, 2 to 25; 1 for INDIVIDUALS.")
          @RequestParam
          @Nullable
          @Min(1)
          @Max(25)
          Integer subgroupSize,
      @Parameter(
              description = "Codes of rules of any published set, with commas between.",
              example = "NELSON_1,NELSON_2,EWMA")
          @RequestParam
          @Nullable List<String> rules,
      @RequestParam @Nullable Estimator estimator) {
    Chart chart = charts.get(code);
    StudyWindow window = query.window(clock.instant());
    ChartPreview.Wish wish = new ChartPreview.Wish(kind, subgroupSize, rules, estimator);
    Optional<RuleCosts.Shown> cost = preview.cost(chart, wish);
    return transactions.snapshot(
        () -> preview.of(plans.current(), chart, window, query, wish, cost));
  }

  /** A chart in a list. */
  @Schema(name = "ChartRow", description = "A chart in a list.")
  record Row(
      @Schema(description = "Code of the chart, which is that of its row of the control plan.")
          String code,
      String name,
      String characteristic,
      String line,
      @Schema(description = "UCUM code of the unit it is drawn in.", example = "[lb_av]")
          String unit,
      @Schema(description = "Kind of chart.") Chart.Kind kind,
      @Schema(description = "Readings in one point.", example = "5") int subgroupSize,
      @Schema(description = "What a subgroup never mixes, besides shift and unit shown.")
          Set<Chart.Stratum> strata,
      @Schema(description = "Codes of the run rules.") List<String> rules,
      @Schema(
              description =
                  "Signals that stand and that nobody has responded to; absent where no limits are in"
                      + " force, since none is raised then.")
          @Nullable Long openSignals,
      @Schema(
              description =
                  "When the earliest of these signals was completed; absent where none is open.")
          @Nullable Instant openSince,
      @Nullable Unsettled unsettled,
      List<NotComputed> notComputed) {}

  /** Limits in force. */
  @Schema(name = "LimitsInForce", description = "A limit set that is in force, with its limits.")
  record InForce(
      String limitSet,
      @Schema(description = "Empty: every stratum without a set of its own.") String stratum,
      @Schema(description = "First moment whose points it judges.") Instant inForceFrom,
      @Schema(description = "Its control limits.") ShownLimits limits) {}

  /** A chart. */
  @Schema(name = "Chart", description = "A chart with its limits and its last point.")
  record View(
      @Schema(description = "What the chart is, as in the list of charts.") Row row,
      @Schema(description = "What is done on a signal.") String response,
      @Schema(description = "Absent where its rules hardly ever signal.")
          RuleCosts.@Nullable Shown cost,
      @Nullable Instant retiredAt,
      @Schema(description = "Time of the last point; absent where there is none.")
          @Nullable Instant lastPointAt,
      @Schema(description = "The limit sets in force now, one a stratum.") List<InForce> inForce,
      List<NotComputed> notComputed) {}

  private static Row row(Plan plan, Chart chart, Signals.Open open, boolean limits) {
    boolean counted = limits || open.signals() > 0;
    Chart.Cut cut = chart.cut();
    Characteristic characteristic = plan.characteristics().get(chart.characteristicId());
    return new Row(
        chart.code(),
        chart.name(),
        characteristic.code(),
        plan.lines().get(chart.lineId()).code(),
        characteristic.unit().code(),
        cut.kind(),
        cut.subgroupSize(),
        cut.strata(),
        cut.rules().stream().map(RunRule::code).toList(),
        counted ? (Long) open.signals() : null,
        open.since(),
        plan.unsettled(chart),
        counted
            ? List.of()
            : List.of(
                new NotComputed(
                    "openSignals",
                    NotComputed.Reason.NO_LIMIT_SET,
                    "No limit set is in force, so no point is judged and no signal is raised.")));
  }

  private View view(Plan plan, Chart chart, Optional<RuleCosts.Shown> cost) {
    Instant now = clock.instant();
    LimitsInForce limits = limitSets.of(chart);
    List<InForce> inForce =
        limits.standing().stream()
            .map(LimitSet::stratum)
            .distinct()
            .sorted()
            .flatMap(stratum -> limits.at(stratum, now).stream())
            .distinct()
            .map(
                set ->
                    new InForce(
                        set.code(),
                        set.stratum(),
                        set.inForceFrom(),
                        ShownLimits.of(chart.cut().kind(), set.unit(), set.limits())))
            .toList();
    return new View(
        row(
            plan,
            chart,
            signals.open(List.of(chart.id())).getOrDefault(chart.id(), Signals.Open.NONE),
            !inForce.isEmpty()),
        chart.practice().response(),
        cost.orElse(null),
        chart.retiredAt(),
        points.lastAt(plan, chart),
        inForce,
        inForce.isEmpty()
            ? List.of(
                new NotComputed(
                    "limits", NotComputed.Reason.NO_LIMIT_SET, "No limit set is in force."))
            : List.of());
  }
}
