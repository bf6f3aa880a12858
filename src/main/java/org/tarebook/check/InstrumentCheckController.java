package org.tarebook.check;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.media.Schema;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.validation.Valid;
import jakarta.validation.constraints.Max;
import jakarta.validation.constraints.Min;
import jakarta.validation.constraints.NotBlank;
import jakarta.validation.constraints.NotNull;
import jakarta.validation.constraints.Size;
import java.math.BigDecimal;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import org.springframework.http.MediaType;
import org.springframework.http.ResponseEntity;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestBody;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.bind.annotation.RestController;
import org.tarebook.audit.Actor;
import org.tarebook.http.Code;
import org.tarebook.http.Cursor;
import org.tarebook.http.FactKey;
import org.tarebook.http.Page;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.http.RetrySafe;
import org.tarebook.http.Times;
import org.tarebook.plant.Instrument;
import org.tarebook.plant.Instruments;
import org.tarebook.plant.Units;

/** {@code /instrument-checks}: known standards, as found and as left. */
@Tag(name = "Instrument checks")
@RestController
class InstrumentCheckController {

  private static final String PATH = "/api/v1/instrument-checks";
  private static final Instant END = Instant.parse("2200-01-01T00:00:00Z");

  private final InstrumentChecks checks;
  private final CheckIntake intake;
  private final CheckStore store;
  private final DoubtStore doubts;
  private final DoubtedReadings readings;
  private final Instruments instruments;

  InstrumentCheckController(
      InstrumentChecks checks,
      CheckIntake intake,
      CheckStore store,
      DoubtStore doubts,
      DoubtedReadings readings,
      Instruments instruments) {
    this.readings = readings;
    this.checks = checks;
    this.intake = intake;
    this.store = store;
    this.doubts = doubts;
    this.instruments = instruments;
  }

  @Operation(
      operationId = "listInstrumentChecks",
      summary = "List instrument checks",
      description =
          "The newest first, by checkedAt; checkedFrom and recordedFrom are inclusive, checkedBefore"
              + " and recordedBefore exclusive.")
  @GetMapping(PATH)
  Page<InstrumentCheckView> list(
      @RequestParam @Nullable String instrument,
      @RequestParam @Nullable Instant checkedFrom,
      @RequestParam @Nullable Instant checkedBefore,
      @RequestParam @Nullable Instant recordedFrom,
      @RequestParam @Nullable Instant recordedBefore,
      @RequestParam(defaultValue = "100") @Min(1) @Max(1000) int limit,
      @RequestParam @Nullable String cursor) {
    String question =
        "%s|%s|%s|%s|%s"
            .formatted(instrument, checkedFrom, checkedBefore, recordedFrom, recordedBefore);
    Cursor place = Cursor.open(cursor, question);
    Place after = place == null ? null : place.at(Place::parse);
    List<InstrumentCheck> found =
        store.page(
            instrument == null ? null : instruments.require(instrument, "instrument").id(),
            checkedFrom == null ? Instant.EPOCH : checkedFrom,
            recordedFrom,
            recordedBefore,
            after != null ? after.checkedAt() : checkedBefore != null ? checkedBefore : END,
            after == null ? 0 : after.id(),
            limit + 1);
    Page<InstrumentCheck> page =
        Page.cut(
            found,
            limit,
            last -> new Cursor(last.posted().checkedAt() + " " + last.id()).seal(question));
    return page.of(views(page.items()));
  }

  @Operation(
      operationId = "getInstrumentCheck",
      summary = "Show an instrument check",
      description = "As recorded, with what it means for doubts as they stand now.")
  @GetMapping(PATH + "/{id}")
  InstrumentCheckView get(@PathVariable long id) {
    return store
        .find(id)
        .map(this::view)
        .orElseThrow(() -> Problem.notFound("instrument check", String.valueOf(id)));
  }

  @Operation(
      operationId = "recordInstrumentCheck",
      summary = "Record an instrument check",
      description =
          "A known standard measured as found, as left after adjusting, or both; indications in the"
              + " instrument's unit. A phase passes when no error is beyond the limit: the smaller"
              + " of what the control plan permits and what OIML R 76 permits a scale of its class"
              + " at this load. A check found wrong makes the readings since the last good check"
              + " suspect: the newest with the answer, the others of many after it, shift by shift, as"
              + " applyingDoubts says. The same key with the same content is answered as stored.")
  @RetrySafe
  @PostMapping(path = PATH, consumes = MediaType.APPLICATION_JSON_VALUE)
  ResponseEntity<InstrumentCheckView> create(@Valid @RequestBody Request request, Actor actor) {
    Instrument instrument = instruments.require(request.instrument(), "/instrument");
    CheckIntake.Recorded done = intake.record(instrument, request.posted(instrument), actor);
    InstrumentCheckView view = view(done.check());
    return RetrySafe.Answer.of(done.replayed(), view, "instrument-checks", view.id());
  }

  @Operation(
      operationId = "voidInstrumentCheck",
      summary = "Void an instrument check",
      description =
          "For a check that was recorded wrongly, such as one with a"
              + " mistyped indication: it stays on record with its standing VOIDED and says nothing"
              + " of its instrument any more. Doubts stand as if it had never been made: one that"
              + " it opened is lifted, one that it closed is open again; readings follow, the newest"
              + " with the answer, the others of many after it, as applyingDoubts says. Answers with"
              + " the check. The same key with the same content is answered as stored.")
  @RetrySafe
  @PostMapping(path = PATH + "/{id}/voidings", consumes = MediaType.APPLICATION_JSON_VALUE)
  ResponseEntity<InstrumentCheckView> voidCheck(
      @PathVariable long id, @Valid @RequestBody VoidingRequest request, Actor actor) {
    CheckIntake.Recorded done = intake.voidCheck(id, request.key(), request.reason(), actor);
    InstrumentCheckView view = view(done.check());
    return RetrySafe.Answer.of(done.replayed(), view, "instrument-checks", view.id());
  }

  /** That a check is to be voided. */
  @Schema(name = "CheckVoidingRequest", description = "A request to void a check.")
  record VoidingRequest(
      @Schema(description = "The person's own key; a retry repeats it.") @NotNull @FactKey
          String key,
      @NotBlank @Size(max = 500) String reason) {}

  @Operation(
      operationId = "getStandingOfInstrument",
      summary = "Tell how an instrument stands",
      description = "In order, overdue, unchecked or failed, and since when.")
  @GetMapping("/api/v1/instruments/{code}/standing")
  InstrumentStanding standing(@PathVariable String code) {
    return checks.standing(instruments.get(code));
  }

  /** A check to be recorded. */
  @Schema(name = "InstrumentCheckRequest", description = "A check to be recorded.")
  record Request(
      @Schema(
              description =
                  "The poster's own key of this check; a retry repeats it. 1 to 64 visible ASCII"
                      + " characters.",
              example = "T1-W1:check-31")
          @NotNull
          @FactKey
          String key,
      @Schema(description = "The instrument's code.") @NotNull @Code String instrument,
      @Schema(description = "When it was checked, with the offset.") @NotNull Instant checkedAt,
      @Schema(description = "Name of the known standard.", example = "check weight 10 kg no. 4")
          @NotBlank
          @Size(max = 80)
          String standard,
      @Schema(description = "Number of the standard's certificate.") @NotBlank @Size(max = 80)
          String certificate,
      @Schema(description = "Certified value, not the nominal one, in unit.", example = "10.0002")
          @NotNull
          BigDecimal standardValue,
      @Schema(
              description =
                  "UCUM code of the unit of standardValue; converted exactly where the instrument"
                      + " shows another of the same kind.",
              example = "kg")
          @NotBlank
          String unit,
      @Schema(description = "Indications before any adjusting, in the instrument's unit.")
          @Nullable
          @Size(min = 1, max = 20)
          List<@NotNull BigDecimal> asFound,
      @Schema(
              description =
                  "Indications after adjusting, in the instrument's unit; left out where nothing"
                      + " was adjusted.")
          @Nullable
          @Size(min = 1, max = 20)
          List<@NotNull BigDecimal> asLeft,
      @Schema(
              description =
                  "Whether the errors of OIML R 76 on initial verification apply, half of those in"
                      + " service; false when left out.")
          @Nullable Boolean onVerification,
      @Schema(description = "A remark for people; left out where there is none.")
          @Nullable
          @Size(min = 1, max = 500)
          String note) {

    InstrumentCheck.Posted posted(Instrument of) {
      if (asFound == null && asLeft == null) {
        throw Problem.at(
            ProblemType.INVALID_REQUEST,
            "/asFound",
            "or asLeft is needed: what the instrument showed before adjusting, or after");
      }
      return new InstrumentCheck.Posted(
          key,
          checkedAt,
          standard,
          certificate,
          standardValue,
          Units.requireOfKind(unit, of.unit(), "/unit"),
          asFound == null ? List.of() : asFound,
          asLeft == null ? List.of() : asLeft,
          Boolean.TRUE.equals(onVerification),
          note);
    }
  }

  private InstrumentCheckView view(InstrumentCheck check) {
    Instrument instrument = instruments.byId(check.instrument());
    return InstrumentCheckView.of(
        check,
        instrument,
        words(check, doubts.of(instrument)),
        followed(new DoubtedReadings.By(check.id(), false), instrument),
        followed(new DoubtedReadings.By(check.id(), true), instrument));
  }

  private InstrumentCheckView.Followed followed(DoubtedReadings.By by, Instrument instrument) {
    return new InstrumentCheckView.Followed(
        doubts.effect(by).orElse(null), readings.progress(by, instrument).orElse(null));
  }

  private String words(InstrumentCheck check, Doubts stand) {
    if (check.voiding() == null) {
      return stand.effectOf(check.outcome());
    }
    List<CheckOutcome> with = new ArrayList<>(store.outcomes(check.instrument()));
    with.add(check.outcome());
    return stand.withoutCheck(new CheckHistory(with).doubts());
  }

  private List<InstrumentCheckView> views(List<InstrumentCheck> found) {
    Map<Long, Instrument> byId =
        found.stream()
            .map(InstrumentCheck::instrument)
            .distinct()
            .map(instruments::byId)
            .collect(Collectors.toMap(Instrument::id, instrument -> instrument));
    Map<Long, DoubtStore.Known> known = doubts.known(byId.keySet());
    List<InstrumentCheckView> views = new ArrayList<>();
    for (InstrumentCheck check : found) {
      Instrument instrument = Objects.requireNonNull(byId.get(check.instrument()));
      Doubts itsDoubts = Objects.requireNonNull(known.get(check.instrument())).doubts();
      views.add(
          InstrumentCheckView.of(
              check,
              instrument,
              words(check, itsDoubts),
              InstrumentCheckView.Followed.UNKNOWN,
              InstrumentCheckView.Followed.UNKNOWN));
    }
    return views;
  }

  /** The last of a page; the next begins after it. */
  private record Place(Instant checkedAt, long id) {
    static Place parse(String position) {
      String[] parts = position.split(" ", 2);
      return new Place(Times.parse(parts[0]), Long.parseLong(parts[1]));
    }
  }
}
