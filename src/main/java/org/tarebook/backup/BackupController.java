package org.tarebook.backup;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.media.Content;
import io.swagger.v3.oas.annotations.media.Schema;
import io.swagger.v3.oas.annotations.responses.ApiResponse;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.servlet.http.HttpServletResponse;
import java.io.IOException;
import java.time.Clock;
import java.time.temporal.ChronoUnit;
import java.util.Map;
import java.util.concurrent.atomic.AtomicBoolean;
import org.springframework.http.HttpHeaders;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.RestController;
import org.tarebook.audit.Actor;
import org.tarebook.audit.Audit;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.storage.Transactions;

/** {@code /backup}: the whole record while the service runs. */
@Tag(name = "Backup")
@RestController
class BackupController {

  private static final String ZIP = "application/zip";

  private final Backups backups;
  private final Transactions transactions;
  private final Audit audit;
  private final Clock clock;
  private final AtomicBoolean running = new AtomicBoolean();

  BackupController(Backups backups, Transactions transactions, Audit audit, Clock clock) {
    this.backups = backups;
    this.transactions = transactions;
    this.audit = audit;
    this.clock = clock;
  }

  @Operation(
      operationId = "takeBackup",
      summary = "Take a backup",
      description =
          "Is on the audit list. The whole record as it stood at"
              + " one moment, while others go on writing: a zip that holds a CSV for each table and,"
              + " as its last entry, manifest.json with types, rows and SHA-256 of each. The command"
              + " restore brings it into an empty database of either kind. The digests of tokens are"
              + " in it: keep it as safe as the database. One is written at a time. A connection that"
              + " is cut leaves no whole zip.",
      responses =
          @ApiResponse(
              responseCode = "200",
              description = "The backup.",
              content =
                  @Content(mediaType = ZIP, schema = @Schema(type = "string", format = "binary"))))
  @GetMapping(path = "/api/v1/backup", produces = ZIP)
  void take(Actor actor, HttpServletResponse response) throws IOException {
    if (!running.compareAndSet(false, true)) {
      throw new Problem(
          ProblemType.UNAVAILABLE, "A backup is being written; ask again when it is done.");
    }
    try {
      String name =
          "tarebook-%s.zip"
              .formatted(
                  clock.instant().truncatedTo(ChronoUnit.SECONDS).toString().replace(":", ""));
      transactions.write(
          () -> {
            audit.record(actor, "taken", "backup", name, Map.of());
            return true;
          });
      response.setContentType(ZIP);
      response.setHeader(
          HttpHeaders.CONTENT_DISPOSITION, "attachment; filename=\"%s\"".formatted(name));
      backups.write(response.getOutputStream(), Progress.silent());
    } finally {
      running.set(false);
    }
  }
}
