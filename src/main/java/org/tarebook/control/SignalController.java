package org.tarebook.control;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.Parameter;
import io.swagger.v3.oas.annotations.media.Schema;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.validation.Valid;
import jakarta.validation.constraints.Max;
import jakarta.validation.constraints.Min;
import jakarta.validation.constraints.NotBlank;
import jakarta.validation.constraints.NotNull;
import jakarta.validation.constraints.Size;
import java.time.Instant;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
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
import org.tarebook.chart.Plan;
import org.tarebook.chart.Plans;
import org.tarebook.http.Cursor;
import org.tarebook.http.FactKey;
import org.tarebook.http.Page;
import org.tarebook.http.RetrySafe;
import org.tarebook.http.Times;
import org.tarebook.http.WireId;
import org.tarebook.plant.Lines;
import org.tarebook.stats.Side;

/** {@code /signals}: what ran out of control, and what was found and done. */
@Tag(name = "Signals")
@RestController
@RequestMapping("/api/v1/signals")
class SignalController {

  private final Signals signals;
  private final LimitSetStore limitSets;
  private final Charts charts;
  private final Lines lines;
  private final Plans plans;

  SignalController(
      Signals signals, LimitSetStore limitSets, Charts charts, Lines lines, Plans plans) {
    this.signals = signals;
    this.limitSets = limitSets;
    this.charts = charts;
    this.lines = lines;
    this.plans = plans;
  }

  @Operation(
      operationId = "listSignals",
      summary = "List signals",
      description =
          "Newest first. A signal is open while it stands and nobody has responded. It is withdrawn"
              + " when a later fact shows that it does not hold. Where another fact brings it back as it"
              + " was, it continues the earlier one, with the responses to it.")
  @GetMapping
  Page<View> list(
      @Parameter(description = "Of one chart, by its code.") @RequestParam(required = false)
          @Nullable String chart,
      @Parameter(description = "Of one line, by its code.") @RequestParam(required = false)
          @Nullable String line,
      @Parameter(description = "Whether they are open; both when left out.")
          @RequestParam(required = false)
          @Nullable Boolean open,
      @Parameter(description = "First moment of completion.") @RequestParam(required = false)
          @Nullable Instant completedFrom,
      @Parameter(description = "First moment after it.") @RequestParam(required = false)
          @Nullable Instant completedBefore,
      @Parameter(description = "Whether withdrawn ones are listed too.")
          @RequestParam(defaultValue = "false")
          boolean includeWithdrawn,
      @RequestParam(defaultValue = "100") @Min(1) @Max(1000) int limit,
      @RequestParam(required = false) @Nullable String cursor) {
    SignalStore.Filter filter =
        new SignalStore.Filter(
            chart == null ? null : (Long) charts.require(chart, "chart").id(),
            line == null ? null : (Long) lines.require(line, "line").id(),
            open,
            completedFrom,
            completedBefore,
            includeWithdrawn);
    Cursor from = Cursor.open(cursor, filter.toString());
    SignalStore.Place behind = from == null ? null : from.at(SignalController::place);
    List<Signals.Answered> found = signals.page(filter, behind, limit + 1);
    Page<Signals.Answered> page =
        Page.cut(
            found,
            limit,
            last ->
                new Cursor(last.signal().completedAt() + " " + last.signal().id())
                    .seal(filter.toString()));
    return page.of(views(page.items()));
  }

  private static SignalStore.Place place(String position) {
    String[] parts = position.split(" ", -1);
    return new SignalStore.Place(Times.parse(parts[0]), Long.parseLong(parts[1]));
  }

  @Operation(
      operationId = "getSignal",
      summary = "Show a signal",
      description = "With every response to it.")
  @GetMapping("/{id}")
  View get(@PathVariable long id) {
    return views(List.of(signals.get(id))).get(0);
  }

  @Operation(
      operationId = "respondToSignal",
      summary = "Respond to a signal",
      description =
          "Says what was found and what was done; the signal is open no"
              + " longer. A further response may follow.")
  @RetrySafe
  @PostMapping(path = "/{id}/responses", consumes = MediaType.APPLICATION_JSON_VALUE)
  ResponseEntity<Answer> respond(
      @PathVariable long id, @Valid @RequestBody Request request, Actor actor) {
    Signals.Done done =
        signals.respond(id, request.key(), request.cause(), request.action(), actor);
    Answer answer = answer(done.response());
    return RetrySafe.Answer.of(done.replayed(), answer, "signals", String.valueOf(id));
  }

  /** What a person found and did. */
  @Schema(
      name = "SignalResponseRequest",
      description = "What a person found and did about a signal, to be recorded.")
  record Request(
      @Schema(description = "The person's own key of this fact; a retry repeats it.")
          @NotNull
          @FactKey
          String key,
      @Schema(description = "What was found.", example = "Die lip worn on the left.")
          @NotBlank
          @Size(max = 500)
          String cause,
      @Schema(description = "What was done.", example = "Die changed, five strips weighed.")
          @NotBlank
          @Size(max = 500)
          String action) {}

  /** A response. */
  @Schema(name = "SignalResponse", description = "What a person found and did about a signal.")
  record Answer(
      @Schema(description = "Number of the response.") @WireId long id,
      @Schema(description = "The signal; where it continued an earlier one, the first of them.")
          @WireId
          long signal,
      @Schema(description = "What was found to be the cause.") String cause,
      @Schema(description = "What was done.") String action,
      String person,
      Instant recordedAt) {}

  /** A signal. */
  @Schema(name = "Signal", description = "A point, or run of points, that breaks a run rule.")
  record View(
      @Schema(description = "Number of the signal.") @WireId long id,
      @Schema(
              description =
                  "The signal that this one continues: a later fact withdrew that one, another brought"
                      + " it back. Responses to either are shown with both. Absent where it continues"
                      + " none.")
          @WireId
          @Nullable Long continues,
      String chart,
      String characteristic,
      String line,
      @Schema(description = "Code of the limit set that the points were judged by.")
          String limitSet,
      @Schema(description = "Empty where the chart has no strata.", example = "DIE=D7")
          String stratum,
      @Schema(
              description =
                  "At the start of a series it may be completed by fewer points than its window: two"
                      + " of the first two signal as two of three.",
              example = "BEYOND_LIMITS")
          String rule,
      @Schema(
              description =
                  "The half of the chart it lies in, or towards which a trend moves; absent for"
                      + " rules that look at both halves.")
          @Nullable Side side,
      @Schema(description = "The completing point, or its spread, when raised, in the unit.")
          double point,
      @Schema(
              description =
                  "Readings of that point when raised, where it is a sample; absent where it was cut"
                      + " by count.")
          @Nullable Integer readings,
      @Schema(description = "UCUM code.", example = "[lb_av]") String unit,
      @Schema(description = "What it is, for a person.") String words,
      @Schema(description = "Time of the first point that counts in it.") Instant beganAt,
      @Schema(description = "The reading that completed it.") @WireId long completedBy,
      @Schema(description = "Time of the point that completed it.") Instant completedAt,
      @Schema(description = "When the service raised it.") Instant raisedAt,
      @Schema(description = "Since when it no longer holds; absent while it does.")
          @Nullable Instant withdrawnAt,
      @Schema(description = "Whether it stands and nobody has responded.") boolean open,
      @Schema(description = "What was found and done about it, in the order recorded.")
          List<Answer> responses) {}

  private static Answer answer(Response of) {
    return new Answer(
        of.id(), of.signalId(), of.cause(), of.action(), of.person(), of.recordedAt());
  }

  private List<View> views(List<Signals.Answered> found) {
    Plan plan = plans.current();
    Map<Long, LimitSet> sets = new HashMap<>();
    return found.stream().map(each -> view(plan, sets, each)).toList();
  }

  private View view(Plan plan, Map<Long, LimitSet> sets, Signals.Answered of) {
    Signal signal = of.signal();
    Chart chart = plan.charts().get(signal.chartId());
    LimitSet set = sets.computeIfAbsent(signal.limitSetId(), limitSets::byId);
    return new View(
        signal.id(),
        signal.origin() == signal.id() ? null : (Long) signal.origin(),
        chart.code(),
        plan.characteristics().get(chart.characteristicId()).code(),
        plan.lines().get(chart.lineId()).code(),
        set.code(),
        signal.stratum(),
        signal.rule(),
        signal.side(),
        signal.point(),
        signal.readings(),
        set.unit().code(),
        SignalWords.of(chart, signal, set),
        signal.beganAt(),
        signal.completedBy(),
        signal.completedAt(),
        signal.raisedAt(),
        signal.withdrawnAt(),
        of.open(),
        of.responses().stream().map(SignalController::answer).toList());
  }
}
