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
import jakarta.validation.constraints.Positive;
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
import org.tarebook.quantity.AccuracyClass;
import org.tarebook.quantity.Unit;

/** {@code /instruments}: what hangs at the stations. */
@Tag(name = "Plant")
@RestController
@RequestMapping("/api/v1/instruments")
class InstrumentController {

  private final Instruments instruments;
  private final Stations stations;

  InstrumentController(Instruments instruments, Stations stations) {
    this.instruments = instruments;
    this.stations = stations;
  }

  @Operation(
      operationId = "listInstruments",
      summary = "List instruments",
      description = "In the order of codes, retired ones included.")
  @GetMapping
  Page<View> list(
      @RequestParam(defaultValue = "100") @Min(1) @Max(1000) int limit,
      @RequestParam @Nullable String cursor) {
    return instruments.page(limit, cursor, this::view);
  }

  @Operation(
      operationId = "getInstrument",
      summary = "Show a instrument",
      description =
          "capacity, interval, verificationInterval and accuracyClass are those of the revision in"
              + " force now. The ETag names its version for a change.")
  @GetMapping("/{code}")
  ResponseEntity<View> get(@PathVariable String code) {
    Instrument found = instruments.get(code);
    return Register.answer(found, view(found));
  }

  @Operation(
      operationId = "createInstrument",
      summary = "Record a instrument",
      description = "The code cannot be changed and is never used again.")
  @PostMapping(consumes = MediaType.APPLICATION_JSON_VALUE)
  ResponseEntity<View> create(@Valid @RequestBody Request request, Actor actor) {
    Instrument made = instruments.create(request, sent -> make(sent, actor), actor);
    return ResponseEntity.created(URI.create("/api/v1/instruments/" + made.code()))
        .eTag("\"" + made.rowVersion() + "\"")
        .body(view(made));
  }

  @Operation(
      operationId = "createInstruments",
      summary = "Record many instruments from CSV",
      description =
          "Columns are the members of one, in any order. All rows are recorded or none; a refusal lists every fault.")
  @PostMapping(path = "/bulk", consumes = "text/csv")
  ResponseEntity<Register.Recorded> createAll(HttpServletRequest body, Actor actor)
      throws IOException {
    return ResponseEntity.status(201)
        .body(
            instruments.createAll(
                body.getInputStream(), Request.class, sent -> make(sent, actor), actor));
  }

  @Operation(
      operationId = "changeInstrument",
      summary = "Change or retire a instrument",
      description =
          "Needs If-Match with the ETag read before. Retiring keeps all history. What it can show is"
              + " changed by a revision: POST /api/v1/instruments/{code}/revisions.")
  @PutMapping("/{code}")
  ResponseEntity<View> change(
      @PathVariable String code,
      @RequestHeader(name = "If-Match", required = false) @Nullable String ifMatch,
      @Valid @RequestBody Change change,
      Actor actor) {
    Instrument changed =
        instruments.change(
            code,
            ifMatch,
            change,
            i -> i.change(change.name(), change.retired(), instruments.now()),
            actor);
    return Register.answer(changed, view(changed));
  }

  /** An instrument to be recorded. Values are in its unit. */
  @Schema(
      name = "InstrumentRequest",
      description = "An instrument to be recorded. Values are in its unit.")
  record Request(
      @NotNull @Code String code,
      @NotBlank @Size(max = 120) String name,
      @NotNull @Code String station,
      @Schema(description = "What kind of instrument it is.") @NotNull Instrument.Kind kind,
      @Schema(description = "UCUM code of the unit in which it shows values.") @NotBlank
          String unit,
      @Positive @Nullable BigDecimal capacity,
      @Schema(
              description =
                  "Scale interval: the step in which it shows values, in unit. Left out where"
                      + " unknown.")
          @Positive
          @Nullable BigDecimal interval,
      @Positive @Nullable BigDecimal verificationInterval,
      @Schema(
              description =
                  "Its accuracy class, of a scale; left out where it has none or it is unknown.")
          @Nullable AccuracyClass accuracyClass) {}

  /** An instrument as it is to be from now on. */
  @Schema(name = "InstrumentChange", description = "An instrument as it is to be from now on.")
  record Change(@NotBlank @Size(max = 120) String name, @NotNull Boolean retired) {}

  /** An instrument. Values are in its unit. */
  @Schema(name = "Instrument", description = "An instrument. Values are in its unit.")
  record View(
      String code,
      String name,
      String station,
      @Schema(description = "What kind of instrument it is.") Instrument.Kind kind,
      @Schema(description = "UCUM code of the unit in which it shows values.") String unit,
      @Nullable BigDecimal capacity,
      @Schema(
              description =
                  "Scale interval: the step in which it shows values, in unit. Absent where"
                      + " unknown.")
          @Nullable BigDecimal interval,
      @Nullable BigDecimal verificationInterval,
      @Schema(
              description =
                  "Its accuracy class, of a scale; absent where it has none or it is unknown.")
          @Nullable AccuracyClass accuracyClass,
      @Nullable Instant retiredAt) {}

  private Instrument make(Request request, Actor actor) {
    InstrumentRevision.Scale scale =
        new InstrumentRevision.Scale(
            request.capacity(),
            request.interval(),
            request.verificationInterval(),
            request.accuracyClass());
    Unit unit = Units.require(request.unit(), "/unit");
    scale.requireOfItsClass(unit);
    return new Instrument(
        request.code(),
        request.name(),
        stations.require(request.station(), "/station").id(),
        request.kind(),
        unit,
        InstrumentRevision.of(Instant.EPOCH, scale, null, null, actor.name(), instruments.now()));
  }

  private View view(Instrument of) {
    InstrumentRevision.Scale scale = of.scale(instruments.now());
    return new View(
        of.code(),
        of.name(),
        stations.byId(of.stationId()).code(),
        of.kind(),
        of.unit().code(),
        scale.capacity(),
        scale.interval(),
        scale.verificationInterval(),
        scale.accuracyClass(),
        of.retiredAt());
  }
}
