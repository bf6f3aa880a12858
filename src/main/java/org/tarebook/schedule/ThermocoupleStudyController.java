package org.tarebook.schedule;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.media.Schema;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.validation.Valid;
import jakarta.validation.constraints.NotBlank;
import jakarta.validation.constraints.NotNull;
import jakarta.validation.constraints.Positive;
import jakarta.validation.constraints.PositiveOrZero;
import jakarta.validation.constraints.Size;
import java.math.BigDecimal;
import java.time.Instant;
import java.time.LocalDate;
import org.springframework.http.MediaType;
import org.springframework.http.ResponseEntity;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestBody;
import org.springframework.web.bind.annotation.RestController;
import org.tarebook.audit.Actor;
import org.tarebook.http.FactKey;
import org.tarebook.http.Page;
import org.tarebook.http.RetrySafe;

/** {@code /cure-schedules/{code}/revisions/{revision}/thermocouple-studies}. */
@Tag(name = "Cure schedules")
@RestController
class ThermocoupleStudyController {

  private static final String PATH =
      "/api/v1/cure-schedules/{code}/revisions/{revision}/thermocouple-studies";

  private final CureSchedules schedules;
  private final ThermocoupleStudies studies;

  ThermocoupleStudyController(CureSchedules schedules, ThermocoupleStudies studies) {
    this.schedules = schedules;
    this.studies = studies;
  }

  @Operation(
      operationId = "listThermocoupleStudies",
      summary = "List the thermocouple studies of a schedule revision",
      description =
          "The earliest recorded first; of one place the last one is set beside estimates.")
  @GetMapping(PATH)
  Page<View> list(@PathVariable String code, @PathVariable int revision) {
    return Page.whole(
        studies.of(schedules.revision(schedules.get(code), revision)).stream()
            .map(ThermocoupleStudyController::view)
            .toList());
  }

  @Operation(
      operationId = "recordThermocoupleStudy",
      summary = "Record a thermocouple study",
      description =
          "What couples built into a tyre said of a place under this"
              + " revision; verdicts and dry runs set their estimates beside it.")
  @RetrySafe
  @PostMapping(path = PATH, consumes = MediaType.APPLICATION_JSON_VALUE)
  ResponseEntity<View> create(
      @PathVariable String code,
      @PathVariable int revision,
      @Valid @RequestBody Request request,
      Actor actor) {
    ThermocoupleStudies.Outcome outcome =
        studies.record(
            schedules.revision(schedules.get(code), revision),
            new ThermocoupleStudies.Posted(
                request.key(),
                request.place(),
                request.until(),
                request.equivalents(),
                request.uncertainty(),
                request.measuredOn(),
                request.source()),
            actor);
    return RetrySafe.Answer.of(
        outcome.replayed(),
        view(outcome.study()),
        "cure-schedules",
        code,
        "revisions",
        String.valueOf(revision),
        "thermocouple-studies");
  }

  /** A study to be recorded. */
  @Schema(
      name = "ThermocoupleStudyRequest",
      description = "A study of the temperatures in a tyre with thermocouples, to be recorded.")
  record Request(
      @NotNull @FactKey String key,
      @Schema(description = "A name under wanted, or SLOWEST or FASTEST.") @NotBlank @Size(max = 40)
          String place,
      @Schema(description = "Up to which moment the minutes are counted.") @NotNull Until until,
      @Schema(description = "Equivalent minutes at the compound's reference temperature.")
          @NotNull
          @Positive
          BigDecimal equivalents,
      @Schema(description = "Standard uncertainty of them, in equivalent minutes.")
          @NotNull
          @PositiveOrZero
          BigDecimal uncertainty,
      @Schema(description = "Day on which it was made.") @NotNull LocalDate measuredOn,
      @Schema(description = "Where the figures come from, such as a report.")
          @NotBlank
          @Size(max = 200)
          String source) {}

  /** A study. */
  @Schema(
      name = "ThermocoupleStudy",
      description =
          "A study of the temperatures in a tyre with thermocouples, for one revision of a"
              + " schedule.")
  record View(
      @Schema(description = "Number of the study.") String id,
      String key,
      @Schema(description = "A name under wanted of the schedule, or SLOWEST or FASTEST.")
          String place,
      @Schema(description = "Up to which moment the minutes are counted.") Until until,
      @Schema(description = "Equivalent minutes at the compound's reference temperature, in unit.")
          BigDecimal equivalents,
      @Schema(description = "Standard uncertainty of equivalents, in unit.") BigDecimal uncertainty,
      @Schema(description = "UCUM code of the unit of equivalents and uncertainty: min.")
          String unit,
      @Schema(description = "Day on which it was made.") LocalDate measuredOn,
      @Schema(description = "Where the figures come from, such as a report.") String source,
      String person,
      Instant recordedAt) {}

  private static View view(ThermocoupleStudy of) {
    return new View(
        String.valueOf(of.id()),
        of.key(),
        of.place(),
        of.until(),
        of.equivalents(),
        of.uncertainty(),
        "min",
        of.measuredOn(),
        of.source(),
        of.person(),
        of.recordedAt());
  }
}
