package org.tarebook.reading;

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
import java.util.EnumSet;
import java.util.Set;
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
import org.tarebook.chart.Plan;
import org.tarebook.chart.Plans;
import org.tarebook.http.Cursor;
import org.tarebook.http.FactKey;
import org.tarebook.http.NoBlankEnds;
import org.tarebook.http.Page;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.http.RetrySafe;
import org.tarebook.http.Times;
import org.tarebook.plant.Units;
import org.tarebook.quantity.Unit;
import org.tarebook.reading.Amendment.Kind;
import org.tarebook.spec.Characteristic;

/** {@code /readings/{id}/amendments}: later facts that void or replace a reading. */
@Tag(name = "Readings")
@RestController
class AmendmentController {

  private static final String PATH = "/api/v1/readings/{id}/amendments";
  private static final Instant END = Instant.parse("2200-01-01T00:00:00Z");

  private final Amendments amendments;
  private final AmendmentStore store;
  private final Readings readings;
  private final Plans plans;

  AmendmentController(Amendments amendments, AmendmentStore store, Readings readings, Plans plans) {
    this.amendments = amendments;
    this.store = store;
    this.readings = readings;
    this.plans = plans;
  }

  @Operation(
      operationId = "amendReading",
      summary = "Void or replace a reading",
      description =
          "The reading stays as it was recorded; it no longer counts, in"
              + " every figure at once, and the replacement, a reading of its own measured at the"
              + " same time, counts in its place. Under another item, truck or leaf it belongs to"
              + " the chain of the item now named, and readings without a name that declare to"
              + " measure it again follow it; values taken together are amended each. What was voided"
              + " wrongly is posted again, with its measuredAt, under a key of its own. A retry"
              + " repeats the key.")
  @RetrySafe
  @PostMapping(path = PATH, consumes = MediaType.APPLICATION_JSON_VALUE)
  ResponseEntity<View> amend(
      @PathVariable long id, @Valid @RequestBody Request request, Actor actor) {
    Amendments.Done done =
        amendments.amend(
            id,
            new Amendments.Draft(request.key(), request.reason(), replacement(id, request)),
            actor);
    View view = view(done.amendment());
    return RetrySafe.Answer.of(done.replayed(), view, "readings", String.valueOf(id), "amendments");
  }

  @Operation(
      operationId = "listAmendmentsOfReading",
      summary = "List the amendments of a reading",
      description = "A reading is amended once at most; its replacement may be amended again.")
  @GetMapping(PATH)
  Page<View> list(@PathVariable long id) {
    readings.get(id);
    return Page.whole(amendments.of(id).stream().map(AmendmentController::view).toList());
  }

  @Operation(
      operationId = "listAmendments",
      summary = "List the amendments of all readings",
      description =
          "In the order they were recorded; recordedFrom is inclusive, recordedBefore exclusive. To"
              + " follow what is new, ask again from a minute before the last recordedAt: what is"
              + " recorded at the same time may appear in another order.")
  @GetMapping("/api/v1/amendments")
  Page<View> listAll(
      @RequestParam @Nullable Instant recordedFrom,
      @RequestParam @Nullable Instant recordedBefore,
      @RequestParam(defaultValue = "100") @Min(1) @Max(1000) int limit,
      @RequestParam @Nullable String cursor) {
    String question = "amendments|" + recordedFrom + "|" + recordedBefore;
    Cursor from = Cursor.open(cursor, question);
    Place after = from == null ? new Place(Instant.EPOCH, 0) : from.at(Place::parse);
    Page<Amendment> page =
        Page.cut(
            store.page(
                recordedFrom == null ? Instant.EPOCH : recordedFrom,
                recordedBefore == null ? END : recordedBefore,
                after.recordedAt(),
                after.id(),
                limit + 1),
            limit,
            last -> new Cursor(last.recordedAt() + " " + last.id()).seal(question));
    return page.of(page.items().stream().map(AmendmentController::view).toList());
  }

  private record Place(Instant recordedAt, long id) {
    static Place parse(String position) {
      String[] parts = position.split(" ", 2);
      return new Place(Times.parse(parts[0]), Long.parseLong(parts[1]));
    }
  }

  /** An amendment to be recorded. */
  @Schema(name = "AmendmentRequest", description = "An amendment to be recorded.")
  record Request(
      @Schema(description = "The person's own key; a retry repeats it.") @NotNull @FactKey
          String key,
      @Schema(description = "What it does to the reading.") @NotNull Kind kind,
      @NotBlank @Size(max = 500) String reason,
      @Schema(description = "With REPLACE: what differs from the reading.") @Valid
          @Nullable Correct replacement) {}

  /** What should have been posted; what is left out is taken from the reading. */
  @Schema(
      name = "CorrectReading",
      description =
          "What should have been posted. Members that are left out are taken from the"
              + " reading.")
  record Correct(
      @Schema(description = "The net value shown, in unit.") @Nullable BigDecimal value,
      @Schema(description = "Goes with value; left out beside a value the value is exact.")
          @Nullable Censored censored,
      @Schema(description = "UCUM code of the unit shown.") @Nullable String unit,
      @Schema(description = "What the instrument reported about the value.")
          @Nullable Set<@NotNull Flag> flags,
      @Schema(description = "What the line was doing.") @Nullable Phase phase,
      @Schema(description = "The die, drum, mould or cavity the item came from.")
          @Size(min = 1, max = 40)
          @NoBlankEnds
          @Nullable String die,
      @Schema(description = "The lot the item belongs to.") @Size(min = 1, max = 40) @NoBlankEnds
          @Nullable String lot,
      @Schema(description = "An empty one takes the reading out of its sample.")
          @Size(max = 40)
          @NoBlankEnds
          @Nullable String sample,
      @Schema(description = "Who measured, by the plant's own sign.")
          @Size(min = 1, max = 40)
          @NoBlankEnds
          @Nullable String operator,
      @Schema(description = "The item's number; an empty one takes it away.")
          @Size(max = 40)
          @NoBlankEnds
          @Nullable String item,
      @Schema(description = "The truck of an item without a number; an empty one takes it away.")
          @Size(max = 40)
          @NoBlankEnds
          @Nullable String truck,
      @Schema(description = "The leaf of the truck; an empty one takes it away.")
          @Size(max = 40)
          @NoBlankEnds
          @Nullable String leaf) {}

  /** An amendment. */
  @Schema(
      name = "Amendment",
      description =
          "A later fact that voids or replaces a reading. The reading itself stays as it was.")
  record View(
      @Schema(description = "Number of the amendment.") String id,
      @Schema(description = "Id of the reading that it amends.") String reading,
      @Schema(description = "What it does to the reading.") Amendment.Kind kind,
      @Schema(description = "Id of the reading that replaces it; absent for VOID.")
          @Nullable String replacement,
      String key,
      String reason,
      String person,
      Instant recordedAt) {}

  private Amendments.@Nullable Replacement replacement(long id, Request request) {
    Correct correct = request.replacement();
    if (request.kind() == Amendment.Kind.VOID) {
      if (correct != null) {
        throw Problem.at(
            ProblemType.RULE_BROKEN,
            "/replacement",
            "does not go with kind VOID, after which nothing stands; leave it out, or send kind"
                + " REPLACE");
      }
      return null;
    }
    if (correct == null) {
      throw Problem.at(
          ProblemType.RULE_BROKEN,
          "/replacement",
          "is missing; kind REPLACE needs what differs from the reading, such as"
              + " {\"value\": 5.6} or {\"die\": \"D8\"}; send it, or kind VOID");
    }
    Reading wrong = readings.get(id);
    Plan plan = plans.current();
    Characteristic characteristic = plan.characteristics().get(wrong.characteristicId());
    Unit unit =
        correct.unit() == null
            ? wrong.shown().unit()
            : Units.requireOfKind(correct.unit(), characteristic.unit(), "/replacement/unit");
    Set<Flag> flags = EnumSet.noneOf(Flag.class);
    flags.addAll(correct.flags() == null ? wrong.shown().flags() : correct.flags());
    BigDecimal value = correct.value() == null ? wrong.shown().value() : correct.value();
    if (value == null && !flags.contains(Flag.OVERLOAD) && !flags.contains(Flag.UNDER)) {
      throw Problem.at(ProblemType.RULE_BROKEN, "/replacement/value", "is needed");
    }
    if (value == null && correct.censored() != null) {
      throw Problem.at(
          ProblemType.RULE_BROKEN, "/replacement/censored", "needs the value that is the bound");
    }
    if (value != null) {
      Understood.requirePossible(
          characteristic, value, unit, wrong.shown().tare() != null, "/replacement");
    }
    Reading.Circumstances old = wrong.event().circumstances();
    String item = orNone(correct.item(), old.item());
    String truck = orNone(correct.truck(), old.truck());
    String leaf = orNone(correct.leaf(), old.leaf());
    String station = plan.stations().get(wrong.event().stationId()).code();
    Amendments.Replacement replacement =
        new Amendments.Replacement(
            new Reading.Shown(
                wrong.shown().instrumentId(),
                value,
                correct.value() == null && correct.censored() == null
                    ? wrong.shown().censored()
                    : correct.censored(),
                unit,
                wrong.shown().gross(),
                wrong.shown().tare(),
                flags),
            new Reading.Circumstances(
                correct.phase() == null ? old.phase() : correct.phase(),
                correct.die() == null ? old.die() : correct.die(),
                correct.lot() == null ? old.lot() : correct.lot(),
                orNone(correct.sample(), old.sample()),
                correct.operator() == null ? old.operator() : correct.operator(),
                old.counter(),
                item,
                truck,
                leaf,
                Posting.itemLabel(station, item, truck, leaf, old.counter())));
    if (amendments.of(id).isEmpty()) { // else it does not stand
      requireOther(wrong, replacement);
    }
    return replacement;
  }

  private static void requireOther(Reading wrong, Amendments.Replacement by) {
    Reading.Shown now = by.shown();
    Reading.Shown stands = wrong.shown();
    Reading.Circumstances old = wrong.event().circumstances();
    boolean sameValue =
        now.value() == null
            ? stands.value() == null
            : stands.value() != null && now.value().compareTo(stands.value()) == 0;
    if (sameValue
        && now.unit() == stands.unit()
        && now.censored() == stands.censored()
        && now.flags().equals(stands.flags())
        && by.circumstances().equals(old)) {
      throw Problem.at(
          ProblemType.RULE_BROKEN,
          "/replacement",
          "changes nothing: reading %d stands with value %s %s%s, flags %s, phase %s, die %s, lot %s, sample %s, operator %s, item %s, truck %s, leaf %s; send what differs, or void the reading"
              .formatted(
                  wrong.id(),
                  stands.value() == null ? "none" : stands.value().toPlainString(),
                  stands.unit().code(),
                  stands.censored() == null ? "" : " censored " + stands.censored(),
                  stands.flags(),
                  old.phase(),
                  told(old.die()),
                  told(old.lot()),
                  told(old.sample()),
                  told(old.operator()),
                  told(old.item()),
                  told(old.truck()),
                  told(old.leaf())));
    }
  }

  private static String told(@Nullable String name) {
    return name == null ? "none" : name;
  }

  private static @Nullable String orNone(@Nullable String correct, @Nullable String old) {
    return correct == null ? old : correct.isEmpty() ? null : correct;
  }

  private static View view(Amendment of) {
    return new View(
        String.valueOf(of.id()),
        String.valueOf(of.readingId()),
        of.kind(),
        of.replacementId() == null ? null : String.valueOf(of.replacementId()),
        of.key(),
        of.reason(),
        of.person(),
        of.recordedAt());
  }
}
