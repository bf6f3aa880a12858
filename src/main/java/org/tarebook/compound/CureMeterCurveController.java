package org.tarebook.compound;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.validation.Valid;
import jakarta.validation.constraints.Max;
import jakarta.validation.constraints.Min;
import java.time.Instant;
import java.util.List;
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
import org.tarebook.http.Cursor;
import org.tarebook.http.Page;
import org.tarebook.http.Problem;
import org.tarebook.http.RetrySafe;
import org.tarebook.http.Times;
import org.tarebook.plant.Component;

/** {@code /compounds/{code}/cure-meter-curves}: torque over time at one temperature. */
@Tag(name = "Compounds")
@RestController
class CureMeterCurveController {

  private static final String PATH = "/api/v1/compounds/{code}/cure-meter-curves";
  private static final Place START = new Place(Instant.parse("2200-01-01T00:00:00Z"), 0);

  private final Compounds compounds;
  private final CureMeterCurves curves;
  private final CurveStore store;

  CureMeterCurveController(Compounds compounds, CureMeterCurves curves, CurveStore store) {
    this.compounds = compounds;
    this.curves = curves;
    this.store = store;
  }

  @Operation(
      operationId = "listCureMeterCurves",
      summary = "List the cure-meter curves of a compound",
      description = "The newest first, by measuredAt; with their figures, without their points.")
  @GetMapping(PATH)
  Page<CureMeterCurveView> list(
      @PathVariable String code,
      @RequestParam(defaultValue = "100") @Min(1) @Max(1000) int limit,
      @RequestParam @Nullable String cursor) {
    Component compound = compounds.get(code);
    String question = "curves of " + compound.code();
    Cursor sealed = Cursor.open(cursor, question);
    Place behind = sealed == null ? START : sealed.at(Place::parse);
    List<Curve> found = store.page(compound.id(), behind.at(), behind.id(), limit + 1);
    Page<Curve> page =
        Page.cut(
            found,
            limit,
            last -> new Cursor(last.sent().measuredAt() + " " + last.id()).seal(question));
    return page.of(
        page.items().stream()
            .map(curve -> CureMeterCurveView.withoutPoints(curve, compound.code()))
            .toList());
  }

  @Operation(
      operationId = "getCureMeterCurve",
      summary = "Show a cure-meter curve",
      description = "Its points as sent, and the figures found from them.")
  @GetMapping(PATH + "/{id}")
  CureMeterCurveView get(@PathVariable String code, @PathVariable long id) {
    Component compound = compounds.get(code);
    return store
        .find(id)
        .filter(curve -> curve.compoundId() == compound.id())
        .map(curve -> CureMeterCurveView.whole(curve, compound.code()))
        .orElseThrow(
            () -> Problem.notFound("cure-meter curve of " + code + " with the id", "" + id));
  }

  @Operation(
      operationId = "recordCureMeterCurve",
      summary = "Record a cure-meter curve",
      description =
          "Up to 5000 points in the order of time. ML is the lowest torque,"
              + " MH the highest behind it; a time to a torque is the first upward crossing behind"
              + " ML, straight between points. A figure the curve does not have is absent and told"
              + " under notComputed. The same key with the same content is answered as stored.")
  @RetrySafe
  @PostMapping(path = PATH, consumes = MediaType.APPLICATION_JSON_VALUE)
  ResponseEntity<CureMeterCurveView> create(
      @PathVariable String code, @Valid @RequestBody CurveRequest request, Actor actor) {
    Component compound = compounds.get(code);
    CureMeterCurves.Recorded done = curves.record(compound, request, actor);
    CureMeterCurveView view = CureMeterCurveView.whole(done.curve(), compound.code());
    return RetrySafe.Answer.of(
        done.replayed(), view, "compounds", code, "cure-meter-curves", view.id());
  }

  /** Behind which curve a list goes on. */
  private record Place(Instant at, long id) {
    static Place parse(String position) {
      int cut = position.indexOf(' ');
      return new Place(
          Times.parse(position.substring(0, cut)), Long.parseLong(position.substring(cut + 1)));
    }
  }
}
