package org.tarebook.plant;

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
import jakarta.validation.constraints.Pattern;
import jakarta.validation.constraints.Size;
import java.io.IOException;
import java.math.BigDecimal;
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
import org.tarebook.quantity.Decimals;

/** {@code /presses}: where green tyres are cured. */
@Tag(name = "Plant")
@RestController
@RequestMapping("/api/v1/presses")
class PressController {

  private final Presses presses;
  private final Stations stations;

  PressController(Presses presses, Stations stations) {
    this.presses = presses;
    this.stations = stations;
  }

  @Operation(
      operationId = "listPresses",
      summary = "List presses",
      description = "In the order of codes, retired ones included.")
  @GetMapping
  Page<View> list(
      @RequestParam(defaultValue = "100") @Min(1) @Max(1000) int limit,
      @RequestParam @Nullable String cursor) {
    return presses.page(limit, cursor, this::view);
  }

  @Operation(
      operationId = "getPress",
      summary = "Show a press",
      description = "The ETag names its version for a change.")
  @GetMapping("/{code}")
  ResponseEntity<View> get(@PathVariable String code) {
    Press found = presses.get(code);
    return Register.answer(found, view(found));
  }

  @Operation(
      operationId = "createPress",
      summary = "Record a press",
      description = "Code, cavities and station cannot be changed. A rebuilt press is a new one.")
  @PostMapping(consumes = MediaType.APPLICATION_JSON_VALUE)
  ResponseEntity<View> create(@Valid @RequestBody Request request, Actor actor) {
    Press made = presses.create(request, this::make, actor);
    return ResponseEntity.created(URI.create("/api/v1/presses/" + made.code()))
        .eTag("\"" + made.rowVersion() + "\"")
        .body(view(made));
  }

  @Operation(
      operationId = "createPresses",
      summary = "Record many presses from CSV",
      description =
          "Columns are the members of one, in any order. All rows are recorded or none; a refusal lists every fault.")
  @PostMapping(path = "/bulk", consumes = "text/csv")
  ResponseEntity<Register.Recorded> createAll(HttpServletRequest body, Actor actor)
      throws IOException {
    return ResponseEntity.status(201)
        .body(presses.createAll(body.getInputStream(), Request.class, this::make, actor));
  }

  @Operation(
      operationId = "changePress",
      summary = "Change or retire a press",
      description = "Needs If-Match with the ETag read before. Retiring keeps all history.")
  @PutMapping("/{code}")
  ResponseEntity<View> change(
      @PathVariable String code,
      @RequestHeader(name = "If-Match", required = false) @Nullable String ifMatch,
      @Valid @RequestBody Change change,
      Actor actor) {
    Press changed =
        presses.change(
            code,
            ifMatch,
            change,
            p -> p.change(change.name(), change.altitude(), change.retired(), presses.now()),
            actor);
    return Register.answer(changed, view(changed));
  }

  /** A press to be recorded. */
  @Schema(name = "PressRequest", description = "A press to be recorded.")
  record Request(
      @NotNull @Code String code,
      @NotBlank @Size(max = 120) String name,
      @Schema(description = "The station whose controller logs its cures.") @NotNull @Code
          String station,
      @Schema(description = "How many tyres a load holds; they are called 1, 2, 3 and on.")
          @NotNull
          @Min(1)
          @Max(100)
          Integer cavities,
      @Schema(
              description =
                  "Height above sea level, in altitudeUnit: gives the barometer (ISO 2533) of gauge"
                      + " pressures where a cure brings none.")
          @NotNull
          @DecimalMin("-500")
          @DecimalMax("5000")
          BigDecimal altitude,
      @NotNull @Pattern(regexp = "m", message = "must be m") String altitudeUnit) {}

  /** A press as it is to be from now on. */
  @Schema(name = "PressChange", description = "A press as it is to be from now on.")
  record Change(
      @NotBlank @Size(max = 120) String name,
      @NotNull @DecimalMin("-500") @DecimalMax("5000") BigDecimal altitude,
      @NotNull @Pattern(regexp = "m", message = "must be m") String altitudeUnit,
      @NotNull Boolean retired) {}

  /** A press. */
  @Schema(name = "Press", description = "A press or vulcaniser.")
  record View(
      String code,
      String name,
      @Schema(description = "Code of the station whose controller logs its cures.") String station,
      @Schema(description = "How many tyres a load holds; the cavities are numbered from 1.")
          int cavities,
      BigDecimal altitude,
      String altitudeUnit,
      @Nullable Instant retiredAt) {}

  private Press make(Request request) {
    return new Press(
        request.code(),
        request.name(),
        stations.require(request.station(), "/station").id(),
        request.cavities(),
        request.altitude());
  }

  private View view(Press of) {
    return new View(
        of.code(),
        of.name(),
        stations.byId(of.stationId()).code(),
        of.cavities(),
        Decimals.plain(of.altitude()),
        "m",
        of.retiredAt());
  }
}
