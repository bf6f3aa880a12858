package org.tarebook.audit;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.validation.constraints.Max;
import jakarta.validation.constraints.Min;
import java.time.Instant;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.bind.annotation.RestController;
import org.tarebook.http.Cursor;
import org.tarebook.http.Page;
import org.tarebook.http.Times;

/** {@code /audit}: the list of changes. */
@Tag(name = "Audit")
@RestController
class AuditController {

  private final Audit audit;

  AuditController(Audit audit) {
    this.audit = audit;
  }

  @Operation(
      operationId = "listAuditEntries",
      summary = "Who changed what",
      description =
          "The newest first; recordedFrom is inclusive, recordedBefore exclusive. In the list are:"
              + " everything created, changed, retired, revised or withdrawn of plant, specifications,"
              + " measuring uncertainties, control plan, compounds and schedules; items registered"
              + " and corrected; instrument checks recorded and voided; readings voided and"
              + " replaced; limit sets, kept studies, responses to signals, settlements, cure-meter"
              + " curves and thermocouple studies; tokens; and backups taken of a running service."
              + " Readings and cures are not in it: /readings and /cures list them by recordedFrom."
              + " Registrations of items, instrument checks, responses, curves and thermocouple"
              + " studies are in it from the version of the service on that lists them.")
  @GetMapping("/api/v1/audit")
  Page<Audit.Entry> list(
      @RequestParam @Nullable String subject,
      @RequestParam @Nullable String code,
      @RequestParam @Nullable Instant recordedFrom,
      @RequestParam @Nullable Instant recordedBefore,
      @RequestParam(defaultValue = "100") @Min(1) @Max(1000) int limit,
      @RequestParam @Nullable String cursor) {
    String question = subject + "|" + code + "|" + recordedFrom + "|" + recordedBefore;
    Cursor from = Cursor.open(cursor, question);
    Place before =
        from != null
            ? from.at(Place::parse)
            : recordedBefore != null ? new Place(recordedBefore, Long.MIN_VALUE) : Place.FIRST;
    List<Audit.Entry> found =
        audit.page(
            subject,
            code,
            recordedFrom == null ? Instant.EPOCH : recordedFrom,
            before.at(),
            before.id(),
            limit + 1);
    return Page.cut(found, limit, last -> new Cursor(last.at() + " " + last.id()).seal(question));
  }

  private record Place(Instant at, long id) {
    static final Place FIRST = new Place(Instant.parse("2200-01-01T00:00:00Z"), Long.MAX_VALUE);

    static Place parse(String position) {
      String[] parts = position.split(" ", -1);
      return new Place(Times.parse(parts[0]), Long.parseLong(parts[1]));
    }
  }
}
