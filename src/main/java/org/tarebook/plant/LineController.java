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

/** {@code /lines}: where work is done. */
@Tag(name = "Plant")
@RestController
@RequestMapping("/api/v1/lines")
class LineController {

  private final Lines lines;

  LineController(Lines lines) {
    this.lines = lines;
  }

  @Operation(
      operationId = "listLines",
      summary = "List lines",
      description = "In the order of codes, retired ones included.")
  @GetMapping
  Page<View> list(
      @RequestParam(defaultValue = "100") @Min(1) @Max(1000) int limit,
      @RequestParam @Nullable String cursor) {
    return lines.page(limit, cursor, this::view);
  }

  @Operation(
      operationId = "getLine",
      summary = "Show a line",
      description = "The ETag names its version for a change.")
  @GetMapping("/{code}")
  ResponseEntity<View> get(@PathVariable String code) {
    Line found = lines.get(code);
    return Register.answer(found, view(found));
  }

  @Operation(
      operationId = "createLine",
      summary = "Record a line",
      description = "The code cannot be changed and is never used again.")
  @PostMapping(consumes = MediaType.APPLICATION_JSON_VALUE)
  ResponseEntity<View> create(@Valid @RequestBody Request request, Actor actor) {
    Line made = lines.create(request, this::make, actor);
    return ResponseEntity.created(URI.create("/api/v1/lines/" + made.code()))
        .eTag("\"" + made.rowVersion() + "\"")
        .body(view(made));
  }

  @Operation(
      operationId = "createLines",
      summary = "Record many lines from CSV",
      description =
          "Columns are the members of one, in any order. All rows are recorded or none; a refusal lists every fault.")
  @PostMapping(path = "/bulk", consumes = "text/csv")
  ResponseEntity<Register.Recorded> createAll(HttpServletRequest body, Actor actor)
      throws IOException {
    return ResponseEntity.status(201)
        .body(lines.createAll(body.getInputStream(), Request.class, this::make, actor));
  }

  @Operation(
      operationId = "changeLine",
      summary = "Change or retire a line",
      description = "Needs If-Match with the ETag read before. Retiring keeps all history.")
  @PutMapping("/{code}")
  ResponseEntity<View> change(
      @PathVariable String code,
      @RequestHeader(name = "If-Match", required = false) @Nullable String ifMatch,
      @Valid @RequestBody Change change,
      Actor actor) {
    Line changed =
        lines.change(
            code,
            ifMatch,
            change,
            l -> l.change(change.name(), change.kind(), change.retired(), lines.now()),
            actor);
    return Register.answer(changed, view(changed));
  }

  /** A line to be recorded. */
  @Schema(name = "LineRequest", description = "A line to be recorded.")
  record Request(
      @NotNull @Code String code,
      @NotBlank @Size(max = 120) String name,
      @Schema(description = "What kind of work is done there.") @NotNull Line.Kind kind) {}

  /** A line as it is to be from now on. */
  @Schema(name = "LineChange", description = "A line as it is to be from now on.")
  record Change(
      @NotBlank @Size(max = 120) String name,
      @Schema(description = "What kind of work is done there.") @NotNull Line.Kind kind,
      @NotNull Boolean retired) {}

  /** A line. */
  @Schema(name = "Line", description = "A line: where one kind of work is done.")
  record View(
      String code,
      String name,
      @Schema(description = "What kind of work is done there.") Line.Kind kind,
      @Nullable Instant retiredAt) {}

  private Line make(Request request) {
    return new Line(request.code(), request.name(), request.kind());
  }

  private View view(Line of) {
    return new View(of.code(), of.name(), of.kind(), of.retiredAt());
  }
}
