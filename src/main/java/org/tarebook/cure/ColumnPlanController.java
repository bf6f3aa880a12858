package org.tarebook.cure;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.media.Schema;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.validation.Valid;
import jakarta.validation.constraints.Max;
import jakarta.validation.constraints.Min;
import jakarta.validation.constraints.NotBlank;
import jakarta.validation.constraints.NotNull;
import jakarta.validation.constraints.Size;
import java.net.URI;
import java.time.Instant;
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
import org.tarebook.http.Code;
import org.tarebook.http.Page;
import org.tarebook.plant.Register;

/** {@code /column-plans}: how recorders write their CSV. */
@Tag(name = "Cures")
@RestController
@RequestMapping("/api/v1/column-plans")
class ColumnPlanController {

  private final ColumnPlans plans;

  ColumnPlanController(ColumnPlans plans) {
    this.plans = plans;
  }

  @Operation(
      operationId = "listColumnPlans",
      summary = "List column plans",
      description = "In the order of codes, retired ones included.")
  @GetMapping
  Page<View> list(
      @RequestParam(defaultValue = "100") @Min(1) @Max(1000) int limit,
      @RequestParam @Nullable String cursor) {
    return plans.page(limit, cursor, this::view);
  }

  @Operation(
      operationId = "getColumnPlan",
      summary = "Show a column plan",
      description = "The ETag names its version for a change.")
  @GetMapping("/{code}")
  ResponseEntity<View> get(@PathVariable String code) {
    ColumnPlan found = plans.get(code);
    return Register.answer(found, view(found));
  }

  @Operation(
      operationId = "createColumnPlan",
      summary = "Record a column plan",
      description = "Which column of a recorder's CSV is the time, and which a channel.")
  @PostMapping(consumes = MediaType.APPLICATION_JSON_VALUE)
  ResponseEntity<View> create(@Valid @RequestBody Request request, Actor actor) {
    ColumnPlan made =
        plans.create(
            request,
            asked -> new ColumnPlan(asked.code(), asked.name(), plans.text(asked.definition())),
            actor);
    return ResponseEntity.created(URI.create("/api/v1/column-plans/" + made.code()))
        .eTag("\"" + made.rowVersion() + "\"")
        .body(view(made));
  }

  @Operation(
      operationId = "changeColumnPlan",
      summary = "Change or retire a column plan",
      description = "Needs If-Match with the ETag read before. Pieces read by it stay as read.")
  @PutMapping("/{code}")
  ResponseEntity<View> change(
      @PathVariable String code,
      @RequestHeader(name = "If-Match", required = false) @Nullable String ifMatch,
      @Valid @RequestBody Change change,
      Actor actor) {
    ColumnPlan changed =
        plans.change(
            code,
            ifMatch,
            change,
            p ->
                p.change(
                    change.name(), plans.text(change.definition()), change.retired(), plans.now()),
            actor);
    return Register.answer(changed, view(changed));
  }

  /** A column plan to be recorded. */
  @Schema(name = "ColumnPlanRequest", description = "A column plan to be recorded.")
  record Request(
      @NotNull @Code String code,
      @NotBlank @Size(max = 120) String name,
      @Schema(description = "How the recorder writes.") @NotNull @Valid
          ColumnPlanDefinition definition) {}

  /** A column plan as it is to be from now on. */
  @Schema(name = "ColumnPlanChange", description = "A column plan as it is to be from now on.")
  record Change(
      @NotBlank @Size(max = 120) String name,
      @Schema(description = "How the recorder writes.") @NotNull @Valid
          ColumnPlanDefinition definition,
      @NotNull Boolean retired) {}

  /** A column plan. */
  @Schema(name = "ColumnPlan", description = "A description of the CSV that a recorder writes.")
  record View(
      String code,
      String name,
      @Schema(description = "How the recorder writes.") ColumnPlanDefinition definition,
      @Nullable Instant retiredAt) {}

  private View view(ColumnPlan of) {
    return new View(of.code(), of.name(), plans.definition(of), of.retiredAt());
  }
}
