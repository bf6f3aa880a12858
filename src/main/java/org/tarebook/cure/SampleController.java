package org.tarebook.cure;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.Parameter;
import io.swagger.v3.oas.annotations.media.Content;
import io.swagger.v3.oas.annotations.media.Schema;
import io.swagger.v3.oas.annotations.responses.ApiResponse;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.servlet.http.HttpServletRequest;
import jakarta.servlet.http.HttpServletResponse;
import jakarta.validation.Valid;
import jakarta.validation.constraints.Max;
import jakarta.validation.constraints.Min;
import jakarta.validation.constraints.Size;
import java.io.BufferedWriter;
import java.io.IOException;
import java.io.OutputStreamWriter;
import java.io.Writer;
import java.math.BigDecimal;
import java.nio.charset.StandardCharsets;
import java.time.Instant;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.springdoc.core.annotations.ParameterObject;
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
import org.tarebook.http.CsvForm;
import org.tarebook.http.FactKey;
import org.tarebook.http.Page;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.http.RetrySafe;
import org.tarebook.plant.Units;
import org.tarebook.quantity.Unit;
import tools.jackson.databind.json.JsonMapper;

/** {@code /cures/{id}/samples}: logs, piece by piece. */
@Tag(name = "Cures")
@RestController
class SampleController {

  private static final String PATH = "/api/v1/cures/{id}/samples";
  private static final int MOST_SAMPLES = 100_000;

  private final SampleIntake intake;
  private final SampleReader reader;
  private final ColumnPlans plans;
  private final CureStore cures;
  private final PieceStore pieces;
  private final Verdicts verdicts;
  private final JsonMapper json;

  SampleController(
      SampleIntake intake,
      SampleReader reader,
      ColumnPlans plans,
      CureStore cures,
      PieceStore pieces,
      Verdicts verdicts,
      JsonMapper json) {
    this.intake = intake;
    this.reader = reader;
    this.plans = plans;
    this.cures = cures;
    this.pieces = pieces;
    this.verdicts = verdicts;
    this.json = json;
  }

  @Operation(
      operationId = "recordSamples",
      summary = "Post a piece of a cure log",
      description =
          """
          Samples of channels and marks of steps, as one JSON document, as NDJSON (a moment a line: \
          at, values by channel code, step where one begins) or as CSV (columns at, step and \
          channel codes in any order, or as a stored column plan says). Rows of a piece may stand \
          in any order, save local times by a column plan. The body may be gzip \
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
              description =
                  "The recorder's running number of this piece. A piece with new moments, or with other"
                      + " values, before the end of the one numbered before it shows a clock that"
                      + " went back. Such a load is not judged. Pieces that share a number are"
                      + " taken in the order of time.")
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
        outcome.replayed(), view(outcome.piece()), "cures", String.valueOf(id), "pieces");
  }

  @Operation(
      operationId = "listSamples",
      summary = "Show the samples of a cure log",
      description =
          """
          As they were sent, channel by channel in the order of time, each with what became of it: \
          USED, REPEATED, CONFLICT or SPIKE. As JSON, at most 100,000 samples; as NDJSON or CSV, a \
          sample a line. mostSamples thins each channel and keeps the first, least, greatest and \
          last sample of each stretch, and all that do not count. unit brings the channels of its \
          kind into another unit; pressures stay gauge or absolute as they are.
          """)
  @ApiResponse(
      responseCode = "200",
      content = {
        @Content(
            mediaType = "application/json",
            schema = @Schema(implementation = SamplesView.class)),
        @Content(
            mediaType = "application/x-ndjson",
            schema = @Schema(implementation = LoggedSamples.Logged.class)),
        @Content(mediaType = "text/csv", schema = @Schema(type = "string"))
      })
  @GetMapping(path = PATH, produces = MediaType.APPLICATION_JSON_VALUE)
  SamplesView samples(@PathVariable long id, @Valid @ParameterObject Query query) {
    Cure cure = cures.require(id);
    LoggedSamples.Wanted wanted = wanted(cure, query);
    LoggedSamples log = verdicts.samples(cure);
    List<LoggedSamples.Logged> found = log.of(wanted);
    if (found.size() > MOST_SAMPLES) {
      throw new Problem(
          ProblemType.RULE_BROKEN,
          "These are "
              + found.size()
              + " samples, and one document holds "
              + MOST_SAMPLES
              + "; ask for NDJSON or CSV (Accept), for some channels, for a window, or thin them with"
              + " mostSamples.");
    }
    return new SamplesView(String.valueOf(id), log.marks(wanted), found);
  }

  @Operation(operationId = "ndjsonSampleSamplesAs", hidden = true)
  @GetMapping(path = PATH, produces = MediaType.APPLICATION_NDJSON_VALUE)
  void samplesAsNdjson(
      @PathVariable long id, @Valid @ParameterObject Query query, HttpServletResponse response)
      throws IOException {
    Cure cure = cures.require(id);
    List<LoggedSamples.Logged> found = verdicts.samples(cure).of(wanted(cure, query));
    response.setContentType("application/x-ndjson");
    Writer out = writer(response);
    for (LoggedSamples.Logged one : found) {
      out.write(json.writeValueAsString(one));
      out.write('\n');
    }
    out.flush();
  }

  @Operation(operationId = "csvSampleSamplesAs", hidden = true)
  @GetMapping(path = PATH, produces = "text/csv")
  void samplesAsCsv(
      @PathVariable long id, @Valid @ParameterObject Query query, HttpServletResponse response)
      throws IOException {
    Cure cure = cures.require(id);
    List<LoggedSamples.Logged> found = verdicts.samples(cure).of(wanted(cure, query));
    response.setContentType("text/csv;charset=UTF-8");
    Writer out = writer(response);
    out.write("at,channel,value,unit,standing,piece\r\n");
    for (LoggedSamples.Logged one : found) {
      out.write(
          CsvForm.line(
                  List.of(
                      one.at().toString(),
                      one.channel(),
                      one.value().toPlainString(),
                      one.unit(),
                      one.standing().name(),
                      one.piece()))
              + "\r\n");
    }
    out.flush();
  }

  private static Writer writer(HttpServletResponse response) throws IOException {
    return new BufferedWriter(
        new OutputStreamWriter(response.getOutputStream(), StandardCharsets.UTF_8), 65_536);
  }

  private static LoggedSamples.Wanted wanted(Cure cure, Query query) {
    Set<String> channels =
        new LinkedHashSet<>(query.channel() == null ? List.of() : query.channel());
    for (String code : channels) {
      if (cure.channels().stream().noneMatch(one -> one.code().equals(code))) {
        throw Problem.at(
            ProblemType.UNKNOWN_CODE,
            "channel",
            "cure "
                + cure.id()
                + " has no channel "
                + code
                + "; it has "
                + String.join(", ", cure.channels().stream().map(Channel::code).toList()));
      }
    }
    List<Unit> units =
        (query.unit() == null ? List.<String>of() : query.unit())
            .stream().map(code -> Units.require(code, "unit")).toList();
    LoggedSamples.Wanted wanted =
        new LoggedSamples.Wanted(
            channels, units, query.from(), query.before(), query.mostSamples());
    List<Unit> unfit = LoggedSamples.unfit(cure, wanted);
    if (!unfit.isEmpty()) {
      throw Problem.at(
          ProblemType.UNIT_MISMATCH,
          "unit",
          unfit.get(0).code() + " is the unit of no channel that is asked for; leave it out");
    }
    return wanted;
  }

  /** Which samples are wanted; what is left out does not narrow. */
  record Query(
      @Parameter(description = "Code of a channel; several times for several.")
          @Nullable List<String> channel,
      @Parameter(description = "First moment.") @Nullable Instant from,
      @Parameter(description = "First moment after the window.") @Nullable Instant before,
      @Parameter(description = "UCUM code; several times for several kinds.")
          @Nullable List<String> unit,
      @Parameter(description = "So many samples of a channel that count, at most.")
          @Min(4)
          @Max(100_000)
          @Nullable Integer mostSamples) {}

  /** Samples of a cure log. */
  @Schema(name = "CureSamples", description = "Samples of a cure log.")
  record SamplesView(
      String cure,
      @Schema(description = "The marks of steps.") List<LoggedSamples.MarkView> marks,
      @Schema(description = "The samples in the order of time.")
          List<LoggedSamples.Logged> samples) {}

  @Operation(
      operationId = "listLogPieces",
      summary = "List the pieces of a cure log",
      description = "In the order in which they came, without their samples.")
  @GetMapping("/api/v1/cures/{id}/pieces")
  Page<View> list(@PathVariable long id) {
    cures.require(id);
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
  @Schema(name = "CureLogPiece", description = "A piece of a cure log as it is stored.")
  record View(
      String key,
      @Schema(
              description =
                  "The recorder's own running number of the piece; absent where none was sent.")
          @Nullable Long sequence,
      @Schema(description = "How many samples it holds.") int samples,
      @Schema(description = "Time of its first sample or mark; absent where it holds neither.")
          @Nullable Instant firstAt,
      @Schema(description = "Time of its last sample or mark; absent where it holds neither.")
          @Nullable Instant lastAt,
      Instant recordedAt,
      @Schema(description = "Who posted it: the name of the token that was used.") String postedBy,
      @Schema(description = "Why it came after the cure was closed; absent where it came before.")
          @Nullable String lateBecause,
      @Schema(description = "What it takes in the record, in bytes.") int storedBytes,
      @Schema(description = "storedBytes over samples; absent where it holds no samples.")
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
