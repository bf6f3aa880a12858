package org.tarebook.cure;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.Parameter;
import io.swagger.v3.oas.annotations.media.Content;
import io.swagger.v3.oas.annotations.media.Schema;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.servlet.http.HttpServletRequest;
import jakarta.validation.constraints.Min;
import jakarta.validation.constraints.Size;
import java.io.IOException;
import java.math.BigDecimal;
import java.time.Instant;
import org.jspecify.annotations.Nullable;
import org.springframework.http.MediaType;
import org.springframework.http.ResponseEntity;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestHeader;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.bind.annotation.RestController;
import org.tarebook.audit.Actor;
import org.tarebook.cure.PieceStore.Piece;
import org.tarebook.http.FactKey;
import org.tarebook.http.Page;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.http.RetrySafe;

/** {@code /cures/{id}/samples}: logs, piece by piece. */
@Tag(name = "Cures")
@RestController
class SampleController {

  private static final String PATH = "/api/v1/cures/{id}/samples";

  private final SampleIntake intake;
  private final SampleReader reader;
  private final ColumnPlans plans;
  private final CureStore cures;
  private final PieceStore pieces;

  SampleController(
      SampleIntake intake,
      SampleReader reader,
      ColumnPlans plans,
      CureStore cures,
      PieceStore pieces) {
    this.intake = intake;
    this.reader = reader;
    this.plans = plans;
    this.cures = cures;
    this.pieces = pieces;
  }

  @Operation(
      summary = "Post a piece of a cure log",
      description =
          """
          Samples of channels and marks of steps, as one JSON document, as NDJSON (a moment a line: \
          at, values by channel code, step where one begins) or as CSV (columns at, step and \
          channel codes in any order, or as a stored column plan says). The body may be gzip \
          (Content-Encoding). A piece is stored whole or not at all. Pieces may come in any order \
          and twice: the same key with the same samples is answered as stored, with others it is \
          refused. A closed cure takes a piece only with lateBecause and is then judged again.
          """)
  @io.swagger.v3.oas.annotations.parameters.RequestBody(
      required = true,
      content = {
        @Content(
            mediaType = "application/json",
            schema = @Schema(implementation = SampleReader.Document.class)),
        @Content(
            mediaType = "application/x-ndjson",
            schema = @Schema(implementation = SampleReader.Line.class)),
        @Content(mediaType = "text/csv", schema = @Schema(type = "string"))
      })
  @RetrySafe
  @PostMapping(
      path = PATH,
      consumes = {MediaType.APPLICATION_JSON_VALUE, MediaType.APPLICATION_NDJSON_VALUE, "text/csv"})
  ResponseEntity<View> post(
      @PathVariable long id,
      @Parameter(description = "The recorder's own key of this piece; a retry repeats it.")
          @RequestParam
          @FactKey
          String key,
      @Parameter(
              description = "The recorder's running number of this piece; shows a clock set back.")
          @RequestParam
          @Min(0)
          @Nullable Long sequence,
      @Parameter(description = "Why it comes after the cure was closed.")
          @RequestParam
          @Size(min = 1, max = 500)
          @Nullable String lateBecause,
      @Parameter(description = "How the recorder writes its CSV.") @RequestParam
          @Nullable String columnPlan,
      @RequestHeader(name = "Content-Encoding", required = false) @Nullable String encoding,
      @Parameter(hidden = true) HttpServletRequest request,
      Actor actor)
      throws IOException {
    Cure cure = intake.own(id, actor);
    ColumnPlanDefinition plan =
        columnPlan == null ? null : plans.definition(plans.require(columnPlan, "columnPlan"));
    byte[] body = reader.unpacked(request.getInputStream(), packed(encoding));
    PieceContent content =
        reader.read(body, form(request.getContentType()), cure, intake.steps(cure), plan);
    SampleIntake.Outcome outcome =
        intake.add(id, new SampleIntake.Posted(key, sequence, lateBecause, content), actor);
    return RetrySafe.Answer.of(
        outcome.replayed(), view(outcome.piece()), "cures", String.valueOf(id), "samples");
  }

  @Operation(
      summary = "List the pieces of a cure log",
      description = "In the order in which they came, without their samples.")
  @GetMapping(PATH)
  Page<View> list(@PathVariable long id) {
    if (cures.find(id).isEmpty()) {
      throw Problem.notFound("cure", String.valueOf(id));
    }
    return Page.whole(pieces.list(id).stream().map(SampleController::view).toList());
  }

  private static boolean packed(@Nullable String encoding) {
    if (encoding == null || encoding.equalsIgnoreCase("identity")) {
      return false;
    }
    if (!encoding.equalsIgnoreCase("gzip")) {
      throw new Problem(
          ProblemType.UNSUPPORTED_MEDIA_TYPE,
          "Content-Encoding " + encoding + " is not taken; send gzip, or the body as it is.");
    }
    return true;
  }

  private static SampleReader.Form form(String type) {
    String subtype = MediaType.parseMediaType(type).getSubtype();
    return subtype.equals("csv")
        ? SampleReader.Form.CSV
        : subtype.equals("x-ndjson") ? SampleReader.Form.NDJSON : SampleReader.Form.JSON;
  }

  /** A piece as it is stored. */
  @Schema(name = "CureLogPiece")
  record View(
      String key,
      @Nullable Long sequence,
      int samples,
      @Nullable Instant firstAt,
      @Nullable Instant lastAt,
      Instant recordedAt,
      String postedBy,
      @Nullable String lateBecause,
      @Schema(description = "What it takes in the record, in bytes.") int storedBytes,
      @Nullable BigDecimal storedBytesPerSample) {}

  private static View view(Piece of) {
    return new View(
        of.key(),
        of.sequence(),
        of.samples(),
        of.firstAt(),
        of.lastAt(),
        of.recordedAt(),
        of.postedBy(),
        of.lateBecause(),
        of.bytes(),
        of.samples() == 0 ? null : Reason.decimal((double) of.bytes() / of.samples()));
  }
}
