package org.tarebook.plant;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.validation.Valid;
import jakarta.validation.constraints.Max;
import jakarta.validation.constraints.Min;
import jakarta.validation.constraints.NotBlank;
import jakarta.validation.constraints.NotNull;
import jakarta.validation.constraints.Size;
import java.net.URI;
import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalTime;
import java.time.ZoneId;
import java.util.List;
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
import org.tarebook.http.Faults;
import org.tarebook.http.Page;
import org.tarebook.http.ProblemType;

/** {@code /shift-calendars}: how days are cut into shifts. */
@Tag(name = "Plant")
@RestController
@RequestMapping("/api/v1/shift-calendars")
class ShiftCalendarController {

  private final ShiftCalendars shiftCalendars;

  ShiftCalendarController(ShiftCalendars shiftCalendars) {
    this.shiftCalendars = shiftCalendars;
  }

  @Operation(
      summary = "List shift calendars",
      description = "In the order of codes, retired ones included.")
  @GetMapping
  Page<View> list(
      @RequestParam(defaultValue = "100") @Min(1) @Max(1000) int limit,
      @RequestParam @Nullable String cursor) {
    return shiftCalendars.page(limit, cursor, this::view);
  }

  @Operation(
      summary = "Show a shift calendar",
      description = "The ETag names its version for a change.")
  @GetMapping("/{code}")
  ResponseEntity<View> get(@PathVariable String code) {
    ShiftCalendar found = shiftCalendars.get(code);
    return Register.answer(found, view(found));
  }

  @Operation(
      summary = "Record a shift calendar",
      description = "The code is for ever; it is never used again.")
  @PostMapping(consumes = MediaType.APPLICATION_JSON_VALUE)
  ResponseEntity<View> create(@Valid @RequestBody Request request, Actor actor) {
    ShiftCalendar made = shiftCalendars.create(request, this::make, actor);
    return ResponseEntity.created(URI.create("/api/v1/shift-calendars/" + made.code()))
        .eTag("\"" + made.rowVersion() + "\"")
        .body(view(made));
  }

  @Operation(
      summary = "Change or retire a shift calendar",
      description = "Needs If-Match with the ETag read before. Retiring keeps all history.")
  @PutMapping("/{code}")
  ResponseEntity<View> change(
      @PathVariable String code,
      @RequestHeader(name = "If-Match", required = false) @Nullable String ifMatch,
      @Valid @RequestBody Change change,
      Actor actor) {
    ShiftCalendar changed =
        shiftCalendars.change(
            code,
            ifMatch,
            change,
            s -> s.change(change.name(), change.retired(), shiftCalendars.now()),
            actor);
    return Register.answer(changed, view(changed));
  }

  /** A calendar to be recorded. The first shift opens the plant's day. */
  record Request(
      @NotNull @Code String code,
      @NotBlank @Size(max = 120) String name,
      @NotNull LocalDate validFrom,
      @NotBlank String zone,
      @NotNull @Size(min = 1, max = 12) List<@Valid ShiftRequest> shifts) {}

  /** A shift of the day, on the clock of the zone. */
  record ShiftRequest(@NotBlank @Size(max = 20) String name, @NotNull LocalTime startsAt) {}

  /** A calendar as it is to be from now on; its dates and shifts never change. */
  record Change(@NotBlank @Size(max = 120) String name, @NotNull Boolean retired) {}

  /** A calendar. */
  record View(
      String code,
      String name,
      LocalDate validFrom,
      String zone,
      List<ShiftCalendar.Start> shifts,
      @Nullable Instant retiredAt) {}

  private ShiftCalendar make(Request request) {
    List<ShiftCalendar.Start> starts =
        request.shifts().stream()
            .map(shift -> new ShiftCalendar.Start(shift.name(), shift.startsAt()))
            .toList();
    Faults faults = new Faults();
    faults.require(
        ZoneId.getAvailableZoneIds().contains(request.zone()),
        "/zone",
        "is no zone, for example Europe/Paris or America/Chicago");
    faults.require(
        ShiftCalendar.inOrder(starts),
        "/shifts",
        "must start one after the other round the clock, each at its own time and under its own"
            + " name");
    faults.require(
        shiftCalendars.all().stream()
            .noneMatch(other -> other.validFrom().equals(request.validFrom())),
        "/validFrom",
        "is the day another calendar starts on");
    faults.throwIfAny(ProblemType.RULE_BROKEN);
    return new ShiftCalendar(
        request.code(),
        request.name(),
        request.validFrom(),
        ZoneId.of(request.zone()),
        starts,
        shiftCalendars.now());
  }

  private View view(ShiftCalendar of) {
    return new View(
        of.code(), of.name(), of.validFrom(), of.zone().getId(), of.shifts(), of.retiredAt());
  }
}
