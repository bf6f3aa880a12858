package org.tarebook.spec;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.media.Schema;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.servlet.http.HttpServletRequest;
import jakarta.validation.Valid;
import jakarta.validation.constraints.DecimalMax;
import jakarta.validation.constraints.NotBlank;
import jakarta.validation.constraints.NotNull;
import jakarta.validation.constraints.Positive;
import jakarta.validation.constraints.Size;
import java.io.IOException;
import java.math.BigDecimal;
import java.time.Instant;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.springframework.http.MediaType;
import org.springframework.http.ResponseEntity;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestBody;
import org.springframework.web.bind.annotation.RestController;
import org.tarebook.audit.Actor;
import org.tarebook.http.Code;
import org.tarebook.http.Page;
import org.tarebook.http.RetrySafe;
import org.tarebook.plant.Register;
import org.tarebook.plant.Units;
import org.tarebook.quantity.Decimals;
import org.tarebook.quantity.Unit;
import org.tarebook.spec.Specification.Comparison;
import org.tarebook.storage.CatchUp;

/** {@code /characteristics/{code}/specifications}: target and limits, in dated revisions. */
@Tag(name = "Specifications")
@RestController
class SpecificationController {

  private static final String PATH = "/api/v1/characteristics/{code}/specifications";

  private final Specifications specifications;
  private final SpecificationChanges changes;
  private final Characteristics characteristics;

  SpecificationController(
      Specifications specifications,
      SpecificationChanges changes,
      Characteristics characteristics) {
    this.specifications = specifications;
    this.changes = changes;
    this.characteristics = characteristics;
  }

  @Operation(
      operationId = "listSpecifications",
      summary = "List the revisions of a specification",
      description = "The first one first; withdrawn ones stay listed.")
  @GetMapping(PATH)
  Page<View> list(@PathVariable String code) {
    Characteristic characteristic = characteristics.get(code);
    Map<String, CatchUp.Progress> again = changes.judgingAgain(characteristic);
    return Page.whole(
        specifications.of(characteristic).stream()
            .map(revision -> view(characteristic, revision, again))
            .toList());
  }

  @Operation(
      operationId = "getSpecification",
      summary = "Show one revision",
      description =
          "As recorded; a revision is never edited. judgingAgain says how far its readings are"
              + " judged again after it was withdrawn, or recorded for a time with readings: poll it"
              + " until its state is FINISHED.")
  @GetMapping(PATH + "/{revision}")
  View get(@PathVariable String code, @PathVariable int revision) {
    Characteristic characteristic = characteristics.get(code);
    return view(characteristic, specifications.get(characteristic, revision));
  }

  @Operation(
      operationId = "recordSpecification",
      summary = "Record a revision",
      description =
          "It holds from validFrom until validBefore or the next revision."
              + " Where readings are on record it begins no earlier than tarebook.specification-lead"
              + " (1 minute) from now, except where only withdrawn revisions held: there it may begin"
              + " at any time, and these readings are judged again. With guardFactor a reading passes only if it lies inside the"
              + " limits by that many times the expanded measuring uncertainty of its station (see"
              + " /measuring-uncertainties); nearer to a limit it is CONDITIONAL. The same revision sent"
              + " again is answered as recorded.")
  @RetrySafe
  @PostMapping(path = PATH, consumes = MediaType.APPLICATION_JSON_VALUE)
  ResponseEntity<View> create(
      @PathVariable String code, @Valid @RequestBody Request request, Actor actor) {
    Characteristic characteristic = characteristics.get(code);
    SpecificationChanges.Outcome outcome =
        changes.record(characteristic, draft(characteristic, request), actor);
    View view = view(characteristic, outcome.specification());
    return RetrySafe.Answer.of(
        outcome.replayed(),
        view,
        "characteristics",
        code,
        "specifications",
        String.valueOf(view.revision()));
  }

  @Operation(
      operationId = "recordSpecifications",
      summary = "Record many revisions from CSV",
      description =
          "Columns are characteristic and the members of a revision, in any order. All rows are"
              + " recorded or none; a refusal lists every fault with its line.")
  @PostMapping(path = "/api/v1/specifications/bulk", consumes = "text/csv")
  ResponseEntity<Register.Recorded> createAll(HttpServletRequest body, Actor actor)
      throws IOException {
    return ResponseEntity.status(201)
        .body(
            changes.recordAll(
                body.getInputStream(),
                Row.class,
                (row, all) -> {
                  Characteristic characteristic =
                      characteristics.require(row.characteristic(), "/characteristic");
                  all.add(characteristic, draft(characteristic, row.request()), actor);
                }));
  }

  @Operation(
      operationId = "previewSpecificationWithdrawal",
      summary = "Tell beforehand what a withdrawal would do",
      description = "How many readings were measured under the revision and would be judged again.")
  @GetMapping(PATH + "/{revision}/withdrawal")
  Preview preview(@PathVariable String code, @PathVariable int revision) {
    Characteristic characteristic = characteristics.get(code);
    Specification specification = specifications.get(characteristic, revision);
    return new Preview(
        view(characteristic, specification), changes.readingsOf(characteristic, specification));
  }

  @Operation(
      operationId = "withdrawSpecification",
      summary = "Withdraw a wrong revision",
      description =
          "The revision stays on record as withdrawn, and new readings are"
              + " judged without it at once. Its readings keep their first results and get successor"
              + " results by what is then in force; this goes on after the answer, and judgingAgain"
              + " of the revision says how far it is. Until it is FINISHED the earlier results stand;"
              + " then all successors count from one moment on. Withdrawals of one characteristic"
              + " that overlap finish together.")
  @PostMapping(path = PATH + "/{revision}/withdrawal", consumes = MediaType.APPLICATION_JSON_VALUE)
  View withdraw(
      @PathVariable String code,
      @PathVariable int revision,
      @Valid @RequestBody WithdrawalRequest request,
      Actor actor) {
    Characteristic characteristic = characteristics.get(code);
    return view(
        characteristic, changes.withdraw(characteristic, revision, request.reason(), actor));
  }

  /** A revision to be recorded. */
  @Schema(
      name = "SpecificationRequest",
      description = "A revision of a specification to be recorded.")
  record Request(
      @NotNull Instant validFrom,
      @Schema(
              description =
                  "First moment at which it is no longer in force; left out where no end is"
                      + " planned.")
          @Nullable Instant validBefore,
      @Schema(description = "Target, in unit; left out where there is none.")
          @Nullable BigDecimal target,
      @Schema(description = "Lower specification limit, in unit; left out where there is none.")
          @Nullable BigDecimal lower,
      @Schema(description = "Upper specification limit, in unit; left out where there is none.")
          @Nullable BigDecimal upper,
      @Schema(description = "UCUM code of the unit of target, limits and rounding interval.")
          @NotBlank
          String unit,
      @Schema(description = "How a reading is compared with the limits.") @NotNull
          Comparison comparison,
      @Schema(
              description =
                  "Interval to which a reading is rounded before it is compared under ROUNDING, in"
                      + " unit; the last place of the limits when left out.")
          @Positive
          @Nullable BigDecimal roundingInterval,
      @Schema(
              description =
                  "Guard band over the station's expanded uncertainty, at most 2; simple"
                      + " acceptance when left out.")
          @Positive
          @DecimalMax("2")
          @Nullable BigDecimal guardFactor,
      @NotBlank @Size(max = 500) String reason) {}

  /** A line of a CSV of revisions. */
  record Row(
      @NotNull @Code String characteristic,
      @NotNull Instant validFrom,
      @Nullable Instant validBefore,
      @Nullable BigDecimal target,
      @Nullable BigDecimal lower,
      @Nullable BigDecimal upper,
      @NotBlank String unit,
      @NotNull Comparison comparison,
      @Positive @Nullable BigDecimal roundingInterval,
      @Positive @DecimalMax("2") @Nullable BigDecimal guardFactor,
      @NotBlank @Size(max = 500) String reason) {
    Request request() {
      return new Request(
          validFrom,
          validBefore,
          target,
          lower,
          upper,
          unit,
          comparison,
          roundingInterval,
          guardFactor,
          reason);
    }
  }

  /** Why a revision is withdrawn. */
  @Schema(
      name = "SpecificationWithdrawalRequest",
      description = "A request to withdraw a revision of a specification.")
  record WithdrawalRequest(@NotBlank @Size(max = 500) String reason) {}

  /** What a withdrawal would do: how many readings are concerned. */
  @Schema(
      name = "SpecificationPreview",
      description = "What a withdrawal of a revision would affect.")
  record Preview(
      @Schema(description = "The revision.") View specification,
      @Schema(
              description =
                  "How many readings were measured while the revision was in force; they would be judged"
                      + " again.")
          long readings) {}

  /** A revision. Values are in its unit; limits are inclusive. */
  @Schema(
      name = "Specification",
      description = "A revision of a specification. Values are in its unit; limits are inclusive.")
  record View(
      String characteristic,
      int revision,
      Instant validFrom,
      @Schema(
              description =
                  "First moment at which it is no longer in force; absent where no end was stated.")
          @Nullable Instant validBefore,
      @Schema(description = "Target, in unit; absent where there is none.")
          @Nullable BigDecimal target,
      @Schema(description = "Lower specification limit, in unit; absent where there is none.")
          @Nullable BigDecimal lower,
      @Schema(description = "Upper specification limit, in unit; absent where there is none.")
          @Nullable BigDecimal upper,
      @Schema(description = "UCUM code of the unit of target, limits and rounding interval.")
          String unit,
      @Schema(description = "How a reading is compared with the limits.")
          Specification.Comparison comparison,
      @Schema(
              description =
                  "Interval to which a reading is rounded before it is compared, in unit; absent"
                      + " under absolute comparison.")
          @Nullable BigDecimal roundingInterval,
      @Schema(description = "How the uncertainty of a reading enters.")
          Specification.DecisionRule decisionRule,
      @Schema(
              description =
                  "Guard band over the station's expanded uncertainty; absent under simple"
                      + " acceptance.")
          @Nullable BigDecimal guardFactor,
      String reason,
      String person,
      Instant recordedAt,
      @Nullable Instant withdrawnAt,
      @Nullable String withdrawnBy,
      @Nullable String withdrawnReason,
      @Schema(description = "How far its readings are judged again; absent where none had to be.")
          CatchUp.@Nullable Progress judgingAgain) {}

  private static SpecificationChanges.Draft draft(Characteristic characteristic, Request request) {
    Unit unit = Units.requireOfKind(request.unit(), characteristic.unit(), "/unit");
    Specification.Limits limits =
        new Specification.Limits(
            request.target(),
            request.lower(),
            request.upper(),
            unit,
            interval(request),
            request.guardFactor());
    return new SpecificationChanges.Draft(
        request.validFrom(), request.validBefore(), limits, request.reason());
  }

  private static @Nullable BigDecimal interval(Request request) {
    if (request.comparison() == Specification.Comparison.ABSOLUTE) {
      return null;
    }
    if (request.roundingInterval() != null) {
      return request.roundingInterval();
    }
    int decimals = 0;
    for (BigDecimal limit : new BigDecimal[] {request.lower(), request.upper()}) {
      decimals = Math.max(decimals, limit == null ? 0 : Decimals.decimals(limit));
    }
    return BigDecimal.ONE.movePointLeft(decimals);
  }

  private View view(Characteristic characteristic, Specification of) {
    return view(characteristic, of, changes.judgingAgain(characteristic));
  }

  private static View view(
      Characteristic characteristic, Specification of, Map<String, CatchUp.Progress> again) {
    Specification.Limits limits = of.limits();
    return new View(
        characteristic.code(),
        of.revision(),
        of.validFrom(),
        of.validBefore(),
        limits.target(),
        limits.lower(),
        limits.upper(),
        limits.unit().code(),
        of.comparison(),
        limits.roundingInterval(),
        limits.decisionRule(),
        limits.guardFactor(),
        of.reason(),
        of.person(),
        of.recordedAt(),
        of.withdrawnAt(),
        of.withdrawnBy(),
        of.withdrawnReason(),
        again.get(JudgedReadings.by(of)));
  }
}
