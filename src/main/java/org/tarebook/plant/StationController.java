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

/** {@code /stations}: measuring places. */
@Tag(name = "Plant")
@RestController
@RequestMapping("/api/v1/stations")
class StationController {

  private final Stations stations;
  private final Lines lines;

  StationController(Stations stations, Lines lines) {
    this.stations = stations;
    this.lines = lines;
  }

  @Operation(
      operationId = "listStations",
      summary = "List stations",
      description = "In the order of codes, retired ones included.")
  @GetMapping
  Page<View> list(
      @RequestParam(defaultValue = "100") @Min(1) @Max(1000) int limit,
      @RequestParam @Nullable String cursor) {
    return stations.page(limit, cursor, this::view);
  }

  @Operation(
      operationId = "getStation",
      summary = "Show a station",
      description = "The ETag names its version for a change.")
  @GetMapping("/{code}")
  ResponseEntity<View> get(@PathVariable String code) {
    Station found = stations.get(code);
    return Register.answer(found, view(found));
  }

  @Operation(
      operationId = "createStation",
      summary = "Record a station",
      description = "The code cannot be changed and is never used again.")
  @PostMapping(consumes = MediaType.APPLICATION_JSON_VALUE)
  ResponseEntity<View> create(@Valid @RequestBody Request request, Actor actor) {
    Station made = stations.create(request, this::make, actor);
    return ResponseEntity.created(URI.create("/api/v1/stations/" + made.code()))
        .eTag("\"" + made.rowVersion() + "\"")
        .body(view(made));
  }

  @Operation(
      operationId = "createStations",
      summary = "Record many stations from CSV",
      description =
          "Columns are the members of one, in any order. All rows are recorded or none; a refusal lists every fault.")
  @PostMapping(path = "/bulk", consumes = "text/csv")
  ResponseEntity<Register.Recorded> createAll(HttpServletRequest body, Actor actor)
      throws IOException {
    return ResponseEntity.status(201)
        .body(stations.createAll(body.getInputStream(), Request.class, this::make, actor));
  }

  @Operation(
      operationId = "changeStation",
      summary = "Change or retire a station",
      description = "Needs If-Match with the ETag read before. Retiring keeps all history.")
  @PutMapping("/{code}")
  ResponseEntity<View> change(
      @PathVariable String code,
      @RequestHeader(name = "If-Match", required = false) @Nullable String ifMatch,
      @Valid @RequestBody Change change,
      Actor actor) {
    Station changed =
        stations.change(
            code,
            ifMatch,
            change,
            s -> s.change(change.name(), change.retired(), stations.now()),
            actor);
    return Register.answer(changed, view(changed));
  }

  /** A station to be recorded. */
  @Schema(name = "StationRequest", description = "A station to be recorded.")
  record Request(
      @NotNull @Code String code,
      @NotBlank @Size(max = 120) String name,
      @NotNull @Code String line) {}

  /** A station as it is to be from now on. */
  @Schema(name = "StationChange", description = "A station as it is to be from now on.")
  record Change(@NotBlank @Size(max = 120) String name, @NotNull Boolean retired) {}

  /** A station. */
  @Schema(name = "Station", description = "A station: one measuring place on a line.")
  record View(String code, String name, String line, @Nullable Instant retiredAt) {}

  private Station make(Request request) {
    return new Station(request.code(), request.name(), lines.require(request.line(), "/line").id());
  }

  private View view(Station of) {
    return new View(of.code(), of.name(), lines.byId(of.lineId()).code(), of.retiredAt());
  }
}
