package org.tarebook.chart;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.media.Schema;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.servlet.http.HttpServletRequest;
import jakarta.validation.Valid;
import jakarta.validation.constraints.DecimalMax;
import jakarta.validation.constraints.DecimalMin;
import jakarta.validation.constraints.Max;
import jakarta.validation.constraints.Min;
import jakarta.validation.constraints.NotBlank;
import jakarta.validation.constraints.NotNull;
import jakarta.validation.constraints.Positive;
import jakarta.validation.constraints.Size;
import java.io.IOException;
import java.math.BigDecimal;
import java.net.URI;
import java.time.Duration;
import java.time.Instant;
import java.util.EnumSet;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.springframework.http.MediaType;
import org.springframework.http.ResponseEntity;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.PutMapping;
import org.springframework.web.bind.annotation.RequestBody;
import org.springframework.web.bind.annotation.RequestHeader;
import org.springframework.web.bind.annotation.RequestMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.bind.annotation.RestController;
import org.tarebook.audit.Actor;
import org.tarebook.chart.Chart.Kind;
import org.tarebook.http.Code;
import org.tarebook.http.Faults;
import org.tarebook.http.Page;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.Lines;
import org.tarebook.plant.Register;
import org.tarebook.plant.Units;
import org.tarebook.quantity.Unit;
import org.tarebook.spec.Characteristic;
import org.tarebook.spec.Characteristics;
import org.tarebook.stats.Estimator;
import org.tarebook.stats.RunRule;

/** {@code /control-plan}: its rows; each row is a chart. */
@Tag(name = "Control plan")
@RestController
@RequestMapping("/api/v1/control-plan")
class ControlPlanController {

  private final Charts charts;
  private final Characteristics characteristics;
  private final Lines lines;

  ControlPlanController(Charts charts, Characteristics characteristics, Lines lines) {
    this.charts = charts;
    this.characteristics = characteristics;
    this.lines = lines;
  }

  @Operation(
      operationId = "listControlPlan",
      summary = "List the control plan",
      description = "Its rows in the order of codes, retired ones included.")
  @GetMapping
  Page<View> list(
      @RequestParam(defaultValue = "100") @Min(1) @Max(1000) int limit,
      @RequestParam @Nullable String cursor) {
    return charts.page(limit, cursor, this::view);
  }

  @Operation(
      operationId = "getControlPlanRow",
      summary = "Show a row of the control plan",
      description = "The ETag names its version.")
  @GetMapping("/{code}")
  ResponseEntity<View> get(@PathVariable String code) {
    Chart found = charts.get(code);
    return Register.answer(found, view(found));
  }

  @Operation(
      operationId = "createControlPlanRow",
      summary = "Record a row of the control plan",
      description =
          "One characteristic on one line has one row in use. Kind, subgroup size, strata and rules"
              + " never change afterwards: retire the row and record another.")
  @PostMapping(consumes = MediaType.APPLICATION_JSON_VALUE)
  ResponseEntity<View> create(@Valid @RequestBody Request request, Actor actor) {
    Chart made = charts.create(request, this::make, actor);
    return ResponseEntity.created(URI.create("/api/v1/control-plan/" + made.code()))
        .eTag("\"" + made.rowVersion() + "\"")
        .body(view(made));
  }

  @Operation(
      operationId = "createControlPlanRows",
      summary = "Record many rows from CSV",
      description =
          "Columns are the members of one, in any order; sets with blanks between. All rows are"
              + " recorded or none; a refusal lists every fault.")
  @PostMapping(path = "/bulk", consumes = "text/csv")
  ResponseEntity<Register.Recorded> createAll(HttpServletRequest body, Actor actor)
      throws IOException {
    return ResponseEntity.status(201)
        .body(charts.createAll(body.getInputStream(), Request.class, this::make, actor));
  }

  @Operation(
      operationId = "changeControlPlanRow",
      summary = "Change or retire a row",
      description = "Needs If-Match with the ETag read before. Retiring keeps all history.")
  @PutMapping("/{code}")
  ResponseEntity<View> change(
      @PathVariable String code,
      @RequestHeader(name = "If-Match", required = false) @Nullable String ifMatch,
      @Valid @RequestBody Change change,
      Actor actor) {
    Chart changed = charts.change(code, ifMatch, change, chart -> apply(chart, change), actor);
    return Register.answer(changed, view(changed));
  }

  /**
   * A row to be recorded.
   *
   * @param sampleSize readings taken each time
   * @param subgroupSize readings in one point, 2 to 25; 1 for individuals
   * @param ownRules zone rules of the plant's own, in JSON only
   * @param ewmaWeight watches an average too: weight of its newest point; goes with ewmaReach
   * @param ewmaReach distance of its limits, in sigma of the average
   * @param cusumAllowance watches cumulative sums too: half the shift to be found, in sigma of a
   *     point; goes with cusumDecision
   * @param cusumDecision their decision value, in sigma of a point
   * @param permissibleError largest error of the instruments at a check
   * @param checkEveryMinutes the instruments are checked at least this often
   */
  @Schema(name = "ControlPlanRequest", description = "A row of the control plan to be recorded.")
  record Request(
      @NotNull @Code String code,
      @NotBlank @Size(max = 120) String name,
      @NotNull @Code String characteristic,
      @NotNull @Code String line,
      @Schema(description = "How it is measured, in words.") @NotBlank @Size(max = 200)
          String method,
      @NotNull @Min(1) @Max(10_000) Integer sampleSize,
      @NotBlank @Size(max = 80) String frequency,
      @Schema(description = "Kind of chart.") @NotNull Kind kind,
      @NotNull @Min(1) @Max(25) Integer subgroupSize,
      @Schema(
              description =
                  "What a subgroup never mixes, besides shift and unit; nothing more"
                      + " when left out.")
          @Nullable Set<Chart.@NotNull Stratum> strata,
      @Schema(
              description =
                  "Codes of run rules of any published set (see /rule-sets); the four zone rules"
                      + " of 1956 when left out.")
          @Nullable List<@NotNull String> rules,
      @Size(max = 10) @Nullable List<@NotNull @Valid OwnRule> ownRules,
      @DecimalMin("0.03") @DecimalMax("0.99") @Nullable Double ewmaWeight,
      @DecimalMin("0.5") @DecimalMax("5") @Nullable Double ewmaReach,
      @DecimalMin("0") @DecimalMax("3") @Nullable Double cusumAllowance,
      @DecimalMin("0.5") @DecimalMax("20") @Nullable Double cusumDecision,
      @Schema(
              description =
                  "How sigma is estimated unless a request asks for another way; the usual way of"
                      + " the kind of chart when left out.")
          @Nullable Estimator estimator,
      @Schema(
              description =
                  "Confidence level of intervals unless a request asks for another; 0.95 when left"
                      + " out.")
          @DecimalMin("0.5")
          @DecimalMax("0.999")
          @Nullable Double confidence,
      @Schema(description = "What is done on a signal, in words.") @NotBlank @Size(max = 1000)
          String response,
      @Positive @Nullable BigDecimal permissibleError,
      @Nullable String permissibleErrorUnit,
      @Min(1) @Max(5_256_000) @Nullable Integer checkEveryMinutes) {}

  /** A row as it is to be from now on. */
  @Schema(
      name = "ControlPlanChange",
      description = "A row of the control plan as it is to be from now on.")
  record Change(
      @NotBlank @Size(max = 120) String name,
      @Schema(description = "How it is measured, in words.") @NotBlank @Size(max = 200)
          String method,
      @NotNull @Min(1) @Max(10_000) Integer sampleSize,
      @NotBlank @Size(max = 80) String frequency,
      @Schema(
              description =
                  "How sigma is estimated unless a request asks for another way; the usual way of"
                      + " the kind of chart when left out.")
          @Nullable Estimator estimator,
      @Schema(
              description =
                  "Confidence level of intervals unless a request asks for another; 0.95 when left"
                      + " out.")
          @DecimalMin("0.5")
          @DecimalMax("0.999")
          @Nullable Double confidence,
      @Schema(description = "What is done on a signal, in words.") @NotBlank @Size(max = 1000)
          String response,
      @Positive @Nullable BigDecimal permissibleError,
      @Nullable String permissibleErrorUnit,
      @Min(1) @Max(5_256_000) @Nullable Integer checkEveryMinutes,
      @NotNull Boolean retired) {}

  /** A row of the control plan. */
  @Schema(name = "ControlPlan", description = "A row of the control plan, which is also a chart.")
  record View(
      String code,
      String name,
      String characteristic,
      String line,
      @Schema(description = "How it is measured, in words.") String method,
      int sampleSize,
      String frequency,
      @Schema(description = "Kind of chart.") Chart.Kind kind,
      int subgroupSize,
      @Schema(
              description =
                  "What a subgroup never mixes, besides shift and unit; empty where nothing more.")
          Set<Chart.Stratum> strata,
      @Schema(description = "Rules of published sets.") List<String> rules,
      List<OwnRule> ownRules,
      @Nullable Double ewmaWeight,
      @Nullable Double ewmaReach,
      @Nullable Double cusumAllowance,
      @Nullable Double cusumDecision,
      @Schema(description = "How sigma is estimated unless a request asks for another way.")
          Estimator estimator,
      @Schema(
              description =
                  "Confidence level of intervals unless a request asks for another, between 0 and"
                      + " 1.")
          double confidence,
      @Schema(description = "What is done on a signal, in words.") String response,
      @Schema(
              description =
                  "UCUM code of the unit of the characteristic, in which the chart is drawn.")
          String unit,
      @Nullable BigDecimal permissibleError,
      @Nullable String permissibleErrorUnit,
      @Nullable Long checkEveryMinutes,
      @Nullable Instant retiredAt) {}

  private Chart make(Request request) {
    Characteristic characteristic =
        characteristics.require(request.characteristic(), "/characteristic");
    Faults faults = new Faults();
    boolean individuals = request.kind() == Chart.Kind.INDIVIDUALS;
    faults.require(
        individuals == (request.subgroupSize() == 1),
        "/subgroupSize",
        individuals ? "must be 1 for individuals" : "must be 2 to 25 for subgroups");
    List<RunRule> rules =
        new RuleChoice(
                request.rules(),
                request.ownRules() == null ? List.of() : request.ownRules(),
                request.ewmaWeight(),
                request.ewmaReach(),
                request.cusumAllowance(),
                request.cusumDecision())
            .check(faults);
    faults.throwIfAny(ProblemType.RULE_BROKEN);
    Set<Chart.Stratum> strata = EnumSet.noneOf(Chart.Stratum.class);
    strata.addAll(request.strata() == null ? Set.of() : request.strata());
    Chart chart =
        new Chart(
            request.code(),
            request.name(),
            characteristic.id(),
            lines.require(request.line(), "/line").id(),
            new Chart.Cut(request.kind(), request.subgroupSize(), strata, rules));
    chart.describe(
        request.name(),
        usual(request.kind(), request.estimator(), request.confidence()),
        new Chart.Practice(
            request.method(), request.sampleSize(), request.frequency(), request.response()),
        checking(
            characteristic,
            request.permissibleError(),
            request.permissibleErrorUnit(),
            request.checkEveryMinutes()));
    return chart;
  }

  private void apply(Chart chart, Change change) {
    Characteristic characteristic = characteristics.byId(chart.characteristicId());
    chart.describe(
        change.name(),
        usual(chart.cut().kind(), change.estimator(), change.confidence()),
        new Chart.Practice(
            change.method(), change.sampleSize(), change.frequency(), change.response()),
        checking(
            characteristic,
            change.permissibleError(),
            change.permissibleErrorUnit(),
            change.checkEveryMinutes()));
    if (!change.retired()) {
      charts.requireNoOther(chart);
    }
    chart.retireIf(change.retired(), charts.now());
  }

  private static Chart.Usual usual(
      Chart.Kind kind, @Nullable Estimator estimator, @Nullable Double confidence) {
    Faults faults = new Faults();
    faults.require(
        estimator == null || kind.estimators().contains(estimator),
        "/estimator",
        "does not go with the kind %s; use %s"
            .formatted(
                kind, String.join(" or ", kind.estimators().stream().map(Enum::name).toList())));
    faults.throwIfAny(ProblemType.RULE_BROKEN);
    return new Chart.Usual(
        estimator == null ? kind.estimators().get(0) : estimator,
        confidence == null ? 0.95 : confidence);
  }

  private static Chart.Checking checking(
      Characteristic characteristic,
      @Nullable BigDecimal error,
      @Nullable String unit,
      @Nullable Integer everyMinutes) {
    Faults faults = new Faults();
    faults.require(
        (error == null) == (unit == null),
        "/permissibleErrorUnit",
        "goes with permissibleError: give both or neither");
    faults.throwIfAny(ProblemType.RULE_BROKEN);
    Unit parsed =
        unit == null
            ? null
            : Units.requireOfKind(unit, characteristic.unit(), "/permissibleErrorUnit");
    return new Chart.Checking(
        error, parsed, everyMinutes == null ? null : Duration.ofMinutes(everyMinutes));
  }

  private View view(Chart of) {
    Chart.Cut cut = of.cut();
    RuleChoice chosen = RuleChoice.of(cut.rules());
    Chart.Practice practice = of.practice();
    Chart.Checking checking = of.checking();
    Characteristic characteristic = characteristics.byId(of.characteristicId());
    return new View(
        of.code(),
        of.name(),
        characteristic.code(),
        lines.byId(of.lineId()).code(),
        practice.method(),
        practice.sampleSize(),
        practice.frequency(),
        cut.kind(),
        cut.subgroupSize(),
        cut.strata(),
        chosen.published(),
        chosen.own(),
        chosen.ewmaWeight(),
        chosen.ewmaReach(),
        chosen.cusumAllowance(),
        chosen.cusumDecision(),
        of.usual().estimator(),
        of.usual().confidence(),
        practice.response(),
        characteristic.unit().code(),
        checking.permissibleError(),
        checking.unit() == null ? null : checking.unit().code(),
        checking.every() == null ? null : checking.every().toMinutes(),
        of.retiredAt());
  }
}
