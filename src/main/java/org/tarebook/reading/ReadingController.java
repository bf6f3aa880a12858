package org.tarebook.reading;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.Parameter;
import io.swagger.v3.oas.annotations.responses.ApiResponse;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.servlet.http.HttpServletRequest;
import jakarta.servlet.http.HttpServletResponse;
import jakarta.validation.Valid;
import jakarta.validation.constraints.Max;
import jakarta.validation.constraints.Min;
import java.io.IOException;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.springdoc.core.annotations.ParameterObject;
import org.springframework.http.MediaType;
import org.springframework.http.ResponseEntity;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestBody;
import org.springframework.web.bind.annotation.RequestMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.bind.annotation.RestController;
import org.tarebook.audit.Actor;
import org.tarebook.chart.Plan;
import org.tarebook.chart.Plans;
import org.tarebook.http.Cursor;
import org.tarebook.http.Page;
import org.tarebook.http.RetrySafe;
import org.tarebook.http.Times;

/** {@code /readings}: intake and search. */
@Tag(name = "Readings")
@RestController
@RequestMapping("/api/v1/readings")
class ReadingController {

  private final Readings readings;
  private final ReadingStore store;
  private final SearchStore search;
  private final ReadingViews views;
  private final ReadingExport export;
  private final BulkIntake bulk;
  private final Plans plans;

  ReadingController(
      Readings readings,
      ReadingStore store,
      SearchStore search,
      ReadingViews views,
      ReadingExport export,
      BulkIntake bulk,
      Plans plans) {
    this.readings = readings;
    this.store = store;
    this.search = search;
    this.views = views;
    this.export = export;
    this.bulk = bulk;
    this.plans = plans;
  }

  @Operation(
      operationId = "recordReading",
      summary = "Post a reading",
      description =
          """
          Records one value an instrument showed, or several values of one item taken together, and \
          answers with the stored fact: result, the revision and limits used, the margin to the \
          nearest limit in the limit's unit, standing and notices. It is judged by the \
          specification in force when it was measured, in exact arithmetic, limits inclusive. \
          A retry repeats the key and is answered with the stored fact (200, \
          Idempotent-Replayed: true). Doubtful readings are stored and marked; refused is only what \
          cannot be understood. An answer is a record, not an interlock: it moves nothing.
          """)
  @RetrySafe
  @PostMapping(consumes = MediaType.APPLICATION_JSON_VALUE)
  ResponseEntity<ReadingView> post(@Valid @RequestBody Posting posting, Actor actor) {
    Recorded recorded = readings.record(List.of(posting), actor);
    Outcome outcome = recorded.outcomes().get(0);
    if (outcome.refusal() != null) {
      throw outcome.refusal();
    }
    ReadingView view =
        outcome.replayed()
            ? views.ofEvent(recorded.plan(), outcome.readings())
            : views.ofRecorded(recorded, outcome.readings());
    return RetrySafe.Answer.of(outcome.replayed(), view, "readings", view.id());
  }

  @Operation(
      operationId = "recordReadings",
      summary = "Post many readings",
      description =
          """
          NDJSON (a posting a line) or CSV (the first line names the members) of any length. The \
          answer is NDJSON: an outcome for each line, in order, with result, standing and notices \
          of what is stored, written after its readings are stored; the last line begins with \
          "end" and counts. Without that last line the transfer was cut off: post the same again, \
          the keys keep everything single. One refused line \
          refuses no other; after 1,000 refused lines the rest is not read, and the last line says \
          in resumeAt from which line on.
          """)
  @io.swagger.v3.oas.annotations.parameters.RequestBody(
      required = true,
      content = {
        @io.swagger.v3.oas.annotations.media.Content(
            mediaType = "application/x-ndjson",
            schema = @io.swagger.v3.oas.annotations.media.Schema(implementation = Posting.class)),
        @io.swagger.v3.oas.annotations.media.Content(
            mediaType = "text/csv",
            schema = @io.swagger.v3.oas.annotations.media.Schema(type = "string"))
      })
  @ApiResponse(
      responseCode = "200",
      description = "A line for each line of the body, in order, and at last the end.",
      content =
          @io.swagger.v3.oas.annotations.media.Content(
              mediaType = MediaType.APPLICATION_NDJSON_VALUE,
              schema =
                  @io.swagger.v3.oas.annotations.media.Schema(
                      oneOf = {BulkIntake.LineOutcome.class, BulkIntake.End.class})))
  @PostMapping(
      path = "/bulk",
      consumes = {MediaType.APPLICATION_NDJSON_VALUE, "text/csv"},
      produces = MediaType.APPLICATION_NDJSON_VALUE)
  void postMany(HttpServletRequest request, HttpServletResponse response, Actor actor)
      throws IOException {
    bulk.take(request, response, actor);
  }

  @Operation(
      operationId = "listReadings",
      summary = "Search readings",
      description =
          "Filters are joined by and. In the order of measuring time, then id; page by page. Voided"
              + " and replaced readings are left out unless includeVoided. Ask with Accept:"
              + " application/x-ndjson or text/csv for all of them in one stream.")
  @GetMapping(produces = MediaType.APPLICATION_JSON_VALUE)
  Page<ReadingView> find(
      @ParameterObject ReadingQuery query,
      @Parameter(description = "Readings on the page.")
          @RequestParam(defaultValue = "100")
          @Min(1)
          @Max(1000)
          int limit,
      @RequestParam @Nullable String cursor) {
    Plan plan = plans.current();
    String question = query.toString();
    Cursor from = Cursor.open(cursor, question);
    SearchStore.Place after = from == null ? null : from.at(ReadingController::place);
    List<Reading> found = search.page(plan, query, after, limit + 1);
    Page<Reading> page =
        Page.cut(
            found,
            limit,
            last -> new Cursor(last.event().measuredAt() + " " + last.id()).seal(question));
    return page.of(views.of(plan, page.items()));
  }

  @GetMapping(produces = MediaType.APPLICATION_NDJSON_VALUE)
  @Operation(operationId = "ndjsonReadingExport", hidden = true)
  void exportNdjson(@ParameterObject ReadingQuery query, HttpServletResponse response)
      throws IOException {
    export.ndjson(query, response);
  }

  @GetMapping(produces = "text/csv")
  @Operation(operationId = "csvReadingExport", hidden = true)
  void exportCsv(@ParameterObject ReadingQuery query, HttpServletResponse response)
      throws IOException {
    export.csv(query, response);
  }

  @Operation(
      operationId = "getReading",
      summary = "Show a reading",
      description = "With everything said of it since, and the values taken together with it.")
  @GetMapping("/{id}")
  ReadingView get(@PathVariable long id) {
    Reading reading = readings.get(id);
    Plan plan = plans.current();
    List<Reading> others =
        store.findByEvent(reading.event()).stream()
            .filter(other -> other.id() != reading.id())
            .toList();
    ReadingView view = views.of(plan, List.of(reading)).get(0);
    return others.isEmpty() ? view : view.with(views.of(plan, others));
  }

  private static SearchStore.Place place(String position) {
    String[] parts = position.split(" ", 2);
    return new SearchStore.Place(Times.parse(parts[0]), Long.parseLong(parts[1]));
  }
}
