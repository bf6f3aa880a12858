package org.tarebook.plant;

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
import java.time.LocalDate;
import java.time.LocalTime;
import java.time.ZoneId;
import java.util.List;
import java.util.Map;
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
import org.tarebook.storage.CatchUp;

/** {@code /shift-calendars}: how days are cut into shifts. */
@Tag(name = "Plant")
@RestController
@RequestMapping("/api/v1/shift-calendars")
class ShiftCalendarController {

  private static final String REASON =
      "Why; needed where readings on record are cut again, and kept with the change.";
  private static final String FROM =
      "First moment that lies in another shift; absent where all readings may, as when the first"
          + " calendar has another zone.";
  private static final String BEFORE =
      "First moment after it that lies in the same shift again; absent where none does.";

  private final ShiftCalendars shiftCalendars;
  private final ShiftCalendarChanges changes;

  ShiftCalendarController(ShiftCalendars shiftCalendars, ShiftCalendarChanges changes) {
    this.shiftCalendars = shiftCalendars;
    this.changes = changes;
  }

  @Operation(
      operationId = "listShiftCalendars",
      summary = "List shift calendars",
      description = "In the order of codes, retired ones included.")
  @GetMapping
  Page<View> list(
      @RequestParam(defaultValue = "100") @Min(1) @Max(1000) int limit,
      @RequestParam @Nullable String cursor) {
    Map<Long, List<ShiftCalendarChanges.Done>> done = changes.done();
    return shiftCalendars.page(limit, cursor, calendar -> view(calendar, done));
  }

  @Operation(
      operationId = "getShiftCalendar",
      summary = "Show a shift calendar",
      description =
          "The ETag names its version for a change. changes lists what cut readings on record again,"
              + " with the progress of the last.")
  @GetMapping("/{code}")
  ResponseEntity<View> get(@PathVariable String code) {
    ShiftCalendar found = shiftCalendars.get(code);
    return Register.answer(found, view(found));
  }

  @Operation(
      operationId = "createShiftCalendar",
      summary = "Record a shift calendar",
      description =
          "The code is permanent; it is never used again. A calendar that cuts no reading on record"
              + " comes into use at once. One that moves readings on record into other shifts takes a"
              + " reason, which the preview and the refusal say: points, signals, judged shifts and"
              + " summaries are then cut again after the answer. Until that is FINISHED (changes of"
              + " the calendar) the earlier calendars stay in use for every answer; then all change"
              + " at once, as one version of the record that asOf knows. Readings posted meanwhile"
              + " are judged by both. While one change is on its way no other is taken (409).")
  @PostMapping(consumes = MediaType.APPLICATION_JSON_VALUE)
  ResponseEntity<View> create(@Valid @RequestBody Request request, Actor actor) {
    ShiftCalendar made = changes.record(request, request.reason(), () -> make(request), actor);
    return ResponseEntity.created(URI.create("/api/v1/shift-calendars/" + made.code()))
        .eTag("\"" + made.rowVersion() + "\"")
        .body(view(made));
  }

  @Operation(
      operationId = "changeShiftCalendar",
      summary = "Change or retire a shift calendar",
      description =
          "Needs If-Match with the ETag read before. Retiring keeps all history. Retiring or"
              + " reinstating one that cuts readings on record takes a reason and goes on after the"
              + " answer, as recording one does.")
  @PutMapping("/{code}")
  ResponseEntity<View> change(
      @PathVariable String code,
      @RequestHeader(name = "If-Match", required = false) @Nullable String ifMatch,
      @Valid @RequestBody Change change,
      Actor actor) {
    ShiftCalendar changed = changes.change(code, ifMatch, change, change.reason(), actor);
    return Register.answer(changed, view(changed));
  }

  @Operation(
      operationId = "previewShiftCalendar",
      summary = "Show what recording a shift calendar would cut again",
      description = "The body is that of recording one. Nothing is written.")
  @PostMapping(path = "/preview", consumes = MediaType.APPLICATION_JSON_VALUE)
  Preview preview(@Valid @RequestBody Request request) {
    return Preview.of(changes.preview(() -> make(request)));
  }

  @Operation(
      operationId = "previewShiftCalendarChange",
      summary = "Show what retiring or reinstating a shift calendar would cut again",
      description = "The body is that of changing one. Nothing is written.")
  @PostMapping(path = "/{code}/preview", consumes = MediaType.APPLICATION_JSON_VALUE)
  Preview previewChange(@PathVariable String code, @Valid @RequestBody Change change) {
    return Preview.of(changes.preview(code, change.retired()));
  }

  /** A calendar to be recorded. The first shift opens the plant's day. */
  @Schema(name = "ShiftCalendarRequest", description = "A shift calendar to be recorded.")
  record Request(
      @NotNull @Code String code,
      @NotBlank @Size(max = 120) String name,
      @Schema(description = "First day of the plant that is divided by it.") @NotNull
          LocalDate validFrom,
      @Schema(description = "Name of its time zone, such as Europe/Berlin.") @NotBlank String zone,
      @Schema(description = "The shifts of a day in order; the first one begins the plant's day.")
          @NotNull
          @Size(min = 1, max = 12)
          List<@Valid ShiftRequest> shifts,
      @Schema(description = REASON) @Size(max = 500) @Nullable String reason) {}

  /** A shift of the day, on the clock of the zone. */
  @Schema(
      name = "ShiftRequest",
      description = "A shift of the day, by the clock of the calendar's zone.")
  record ShiftRequest(
      @Schema(description = "Name of the shift.") @NotBlank @Size(max = 20) String name,
      @Schema(description = "Local time at which it starts; it ends when the next one starts.")
          @NotNull
          LocalTime startsAt) {}

  /** A calendar as it is to be from now on; its dates and shifts never change. */
  @Schema(
      name = "ShiftCalendarChange",
      description =
          "A shift calendar as it is to be from now on; its dates and shifts never change.")
  record Change(
      @NotBlank @Size(max = 120) String name,
      @NotNull Boolean retired,
      @Schema(description = REASON) @Size(max = 500) @Nullable String reason) {}

  /** A calendar. */
  @Schema(
      name = "ShiftCalendar",
      description = "A shift calendar: how the plant's days are divided into shifts.")
  record View(
      String code,
      String name,
      @Schema(description = "First day of the plant that is divided by it.") LocalDate validFrom,
      @Schema(description = "Name of its time zone, such as Europe/Berlin.") String zone,
      @Schema(
              description =
                  "Version of the time-zone rules by which this service cuts the calendar's days."
                      + " Summaries that were cut by another version are built again.",
              example = "2026a")
          String zoneRules,
      @Schema(description = "The shifts of a day; the first one begins the plant's day.")
          List<ShiftCalendar.Start> shifts,
      @Nullable Instant retiredAt,
      @Schema(
              description =
                  "Whether days are cut by it now. After recording, retiring or reinstating one that"
                      + " cuts readings on record, this changes when the change is FINISHED.")
          boolean inUse,
      @Schema(description = "What cut readings on record again, in order.") List<Recut> changes) {}

  /** A change of a calendar that cut readings on record again. */
  @Schema(
      name = "ShiftsCutAgain",
      description = "A change of a shift calendar that moved readings on record into other shifts.")
  record Recut(
      @Schema(description = "What was done to the calendar.") ShiftCalendarChange.Action action,
      String reason,
      String person,
      Instant recordedAt,
      @Schema(description = FROM) @Nullable Instant measuredFrom,
      @Schema(description = BEFORE) @Nullable Instant measuredBefore,
      @Schema(description = "Since when it counts; absent while readings are being cut again.")
          @Nullable Instant inUseAt,
      @Schema(
              description =
                  "How far the work has come; absent where an earlier version of the service did"
                      + " it.")
          CatchUp.@Nullable Progress cuttingAgain) {

    static Recut of(ShiftCalendarChanges.Done done) {
      ShiftCalendarChange change = done.change();
      return new Recut(
          change.action(),
          change.reason(),
          change.person(),
          change.recordedAt(),
          first(change.cutFrom()),
          change.cutBefore(),
          change.inUseAt(),
          done.progress());
    }
  }

  /** What a change would cut again. */
  @Schema(
      name = "ShiftCalendarPreview",
      description = "What a change of a shift calendar would affect.")
  record Preview(
      @Schema(description = "Whether the change takes a reason and goes on after its answer.")
          boolean takesReason,
      @Schema(description = FROM) @Nullable Instant measuredFrom,
      @Schema(description = BEFORE) @Nullable Instant measuredBefore,
      @Schema(description = "Readings measured in it.", example = "4032") long readings,
      @Schema(description = "Charts that have such readings.", example = "3") long charts,
      @Schema(description = "Shifts of a stratum in which limits judge points.", example = "63")
          long judgedShifts,
      @Schema(description = "Signals that stand.", example = "12") long signals,
      @Schema(description = "Limit sets whose baseline overlaps it.", example = "1") long limitSets,
      @Schema(description = "Kept studies whose window overlaps it.", example = "2")
          long keptStudies) {

    static Preview of(ShiftCalendarChanges.Preview preview) {
      Shifts.Recut recut = preview.recut();
      CutReadings.Counts counts = preview.counts();
      return new Preview(
          counts.readings() > 0,
          recut == null ? null : first(recut.from()),
          recut == null ? null : recut.before(),
          counts.readings(),
          counts.charts(),
          counts.judgedShifts(),
          counts.signals(),
          counts.limitSets(),
          preview.keptStudies());
    }
  }

  /** Absent where all is cut otherwise from the first reading on. */
  private static @Nullable Instant first(Instant from) {
    return from.equals(Instant.EPOCH) ? null : from;
  }

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
        request.code(), request.name(), request.validFrom(), ZoneId.of(request.zone()), starts);
  }

  private View view(ShiftCalendar of) {
    return view(of, changes.done());
  }

  private static View view(ShiftCalendar of, Map<Long, List<ShiftCalendarChanges.Done>> done) {
    return new View(
        of.code(),
        of.name(),
        of.validFrom(),
        of.zone().getId(),
        Shifts.zoneRules(of.zone()),
        of.shifts(),
        of.retiredAt(),
        of.inUse(),
        done.getOrDefault(of.id(), List.of()).stream().map(Recut::of).toList());
  }
}
