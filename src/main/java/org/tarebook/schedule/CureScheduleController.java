package org.tarebook.schedule;

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
import org.tarebook.plant.Products;
import org.tarebook.plant.Register;

/** {@code /cure-schedules}: the cures there are, by code. */
@Tag(name = "Cure schedules")
@RestController
@RequestMapping("/api/v1/cure-schedules")
class CureScheduleController {

  private final CureSchedules schedules;
  private final Products products;

  CureScheduleController(CureSchedules schedules, Products products) {
    this.schedules = schedules;
    this.products = products;
  }

  @Operation(
      operationId = "listCureSchedules",
      summary = "List cure schedules",
      description = "In the order of codes, retired ones included.")
  @GetMapping
  Page<View> list(
      @RequestParam(defaultValue = "100") @Min(1) @Max(1000) int limit,
      @RequestParam @Nullable String cursor) {
    return schedules.page(limit, cursor, this::view);
  }

  @Operation(
      operationId = "getCureSchedule",
      summary = "Show a cure schedule",
      description = "What it is stands in its revisions. The ETag names its version for a change.")
  @GetMapping("/{code}")
  ResponseEntity<View> get(@PathVariable String code) {
    CureSchedule found = schedules.get(code);
    return Register.answer(found, view(found));
  }

  @Operation(
      operationId = "createCureSchedule",
      summary = "Record a cure schedule",
      description = "A code and a name; then record its first revision.")
  @PostMapping(consumes = MediaType.APPLICATION_JSON_VALUE)
  ResponseEntity<View> create(@Valid @RequestBody Request request, Actor actor) {
    CureSchedule made = schedules.create(request, this::make, actor);
    return ResponseEntity.created(URI.create("/api/v1/cure-schedules/" + made.code()))
        .eTag("\"" + made.rowVersion() + "\"")
        .body(view(made));
  }

  @Operation(
      operationId = "changeCureSchedule",
      summary = "Rename or retire a cure schedule",
      description = "Needs If-Match with the ETag read before. Retiring keeps all history.")
  @PutMapping("/{code}")
  ResponseEntity<View> change(
      @PathVariable String code,
      @RequestHeader(name = "If-Match", required = false) @Nullable String ifMatch,
      @Valid @RequestBody Change change,
      Actor actor) {
    CureSchedule changed =
        schedules.change(
            code,
            ifMatch,
            change,
            s -> s.change(change.name(), change.retired(), schedules.now()),
            actor);
    return Register.answer(changed, view(changed));
  }

  /** A schedule to be recorded. */
  @Schema(name = "CureScheduleRequest", description = "A cure schedule to be recorded.")
  record Request(
      @NotNull @Code String code,
      @NotBlank @Size(max = 120) String name,
      @Schema(
              description =
                  "Code of the product it is for; left out where it serves several products.")
          @Code
          @Nullable String product) {}

  /** A schedule as it is to be from now on. */
  @Schema(name = "CureScheduleChange", description = "A cure schedule as it is to be from now on.")
  record Change(@NotBlank @Size(max = 120) String name, @NotNull Boolean retired) {}

  /** A schedule. */
  @Schema(
      name = "CureSchedule",
      description = "A cure schedule; what it asks for is in its revisions.")
  record View(
      String code,
      String name,
      @Schema(
              description =
                  "Code of the product it is for; absent where it serves several products.")
          @Nullable String product,
      @Nullable Instant retiredAt) {}

  private CureSchedule make(Request request) {
    return new CureSchedule(
        request.code(),
        request.name(),
        request.product() == null ? null : products.require(request.product(), "/product").id());
  }

  private View view(CureSchedule of) {
    Long product = of.productId();
    return new View(
        of.code(),
        of.name(),
        product == null ? null : products.byId(product).code(),
        of.retiredAt());
  }
}
