package org.tarebook.plant;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.media.Schema;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.servlet.http.HttpServletRequest;
import jakarta.validation.Valid;
import jakarta.validation.constraints.Max;
import jakarta.validation.constraints.Min;
import jakarta.validation.constraints.NotBlank;
import jakarta.validation.constraints.NotNull;
import jakarta.validation.constraints.Size;
import java.io.IOException;
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

/** {@code /components}: coded parts and stocks. */
@Tag(name = "Plant")
@RestController
@RequestMapping("/api/v1/components")
class ComponentController {

  private final Components components;

  ComponentController(Components components) {
    this.components = components;
  }

  @Operation(
      operationId = "listComponents",
      summary = "List components",
      description = "In the order of codes, retired ones included.")
  @GetMapping
  Page<View> list(
      @RequestParam(defaultValue = "100") @Min(1) @Max(1000) int limit,
      @RequestParam @Nullable String cursor) {
    return components.page(limit, cursor, this::view);
  }

  @Operation(
      operationId = "getComponent",
      summary = "Show a component",
      description = "The ETag names its version for a change.")
  @GetMapping("/{code}")
  ResponseEntity<View> get(@PathVariable String code) {
    Component found = components.get(code);
    return Register.answer(found, view(found));
  }

  @Operation(
      operationId = "createComponent",
      summary = "Record a component",
      description = "The code cannot be changed and is never used again.")
  @PostMapping(consumes = MediaType.APPLICATION_JSON_VALUE)
  ResponseEntity<View> create(@Valid @RequestBody Request request, Actor actor) {
    Component made = components.create(request, this::make, actor);
    return ResponseEntity.created(URI.create("/api/v1/components/" + made.code()))
        .eTag("\"" + made.rowVersion() + "\"")
        .body(view(made));
  }

  @Operation(
      operationId = "createComponents",
      summary = "Record many components from CSV",
      description =
          "Columns are the members of one, in any order. All rows are recorded or none; a refusal lists every fault.")
  @PostMapping(path = "/bulk", consumes = "text/csv")
  ResponseEntity<Register.Recorded> createAll(HttpServletRequest body, Actor actor)
      throws IOException {
    return ResponseEntity.status(201)
        .body(components.createAll(body.getInputStream(), Request.class, this::make, actor));
  }

  @Operation(
      operationId = "changeComponent",
      summary = "Change or retire a component",
      description = "Needs If-Match with the ETag read before. Retiring keeps all history.")
  @PutMapping("/{code}")
  ResponseEntity<View> change(
      @PathVariable String code,
      @RequestHeader(name = "If-Match", required = false) @Nullable String ifMatch,
      @Valid @RequestBody Change change,
      Actor actor) {
    Component changed =
        components.change(
            code,
            ifMatch,
            change,
            c -> c.change(change.name(), change.kind(), change.retired(), components.now()),
            actor);
    return Register.answer(changed, view(changed));
  }

  /** A component to be recorded. */
  @Schema(name = "ComponentRequest", description = "A component to be recorded.")
  record Request(
      @NotNull @Code String code,
      @NotBlank @Size(max = 120) String name,
      @Schema(description = "What kind of component it is.") @NotNull Component.Kind kind) {}

  /** A component as it is to be from now on. */
  @Schema(name = "ComponentChange", description = "A component as it is to be from now on.")
  record Change(
      @NotBlank @Size(max = 120) String name,
      @Schema(description = "What kind of component it is.") @NotNull Component.Kind kind,
      @NotNull Boolean retired) {}

  /** A component. */
  @Schema(
      name = "Component",
      description = "A component: a coded part that green tyres are built of.")
  record View(
      String code,
      String name,
      @Schema(description = "What kind of component it is.") Component.Kind kind,
      @Nullable Instant retiredAt) {}

  private Component make(Request request) {
    return new Component(request.code(), request.name(), request.kind());
  }

  private View view(Component of) {
    return new View(of.code(), of.name(), of.kind(), of.retiredAt());
  }
}
