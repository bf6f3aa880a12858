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

/** {@code /audit}: the list of changes. */
@Tag(name = "Audit")
@RestController
class AuditController {

  private final Audit audit;

  AuditController(Audit audit) {
    this.audit = audit;
  }

  @Operation(
      summary = "Who changed what",
      description =
          "Every change of plant, specification, control plan, limit set and token, newest first.")
  @GetMapping("/api/v1/audit")
  Page<Audit.Entry> list(
      @RequestParam @Nullable String subject,
      @RequestParam @Nullable String code,
      @RequestParam(defaultValue = "100") @Min(1) @Max(1000) int limit,
      @RequestParam @Nullable String cursor) {
    String question = subject + "|" + code;
    Cursor from = Cursor.open(cursor, question);
    String[] place = from == null ? null : from.position().split(" ");
    List<Audit.Entry> found =
        audit.page(
            subject,
            code,
            place == null ? Instant.parse("2200-01-01T00:00:00Z") : Instant.parse(place[0]),
            place == null ? Long.MAX_VALUE : Long.parseLong(place[1]),
            limit + 1);
    return Page.cut(found, limit, last -> new Cursor(last.at() + " " + last.id()).seal(question));
  }
}
