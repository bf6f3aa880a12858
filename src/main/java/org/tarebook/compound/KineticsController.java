package org.tarebook.compound;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.validation.Valid;
import org.springframework.http.MediaType;
import org.springframework.http.ResponseEntity;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestBody;
import org.springframework.web.bind.annotation.RestController;
import org.tarebook.audit.Actor;
import org.tarebook.http.Page;
import org.tarebook.http.Problem;
import org.tarebook.http.RetrySafe;
import org.tarebook.plant.Component;

/** {@code /compounds/{code}/kinetics}: what a compound does under heat, in revisions. */
@Tag(name = "Compounds")
@RestController
class KineticsController {

  private static final String PATH = "/api/v1/compounds/{code}/kinetics";

  private final Compounds compounds;
  private final KineticsIntake intake;
  private final KineticsStore store;

  KineticsController(Compounds compounds, KineticsIntake intake, KineticsStore store) {
    this.compounds = compounds;
    this.intake = intake;
    this.store = store;
  }

  @Operation(
      operationId = "listKinetics",
      summary = "List the kinetics of a compound",
      description = "The first revision first. A component of another kind has none.")
  @GetMapping(PATH)
  Page<KineticsView> list(@PathVariable String code) {
    Component compound = compounds.get(code);
    return Page.whole(
        store.of(compound.id()).stream()
            .map(kinetics -> KineticsView.of(kinetics, compound.code()))
            .toList());
  }

  @Operation(
      operationId = "getKinetics",
      summary = "Show one revision of a compound's kinetics",
      description = "As stated, with the energy found from it; a revision is never edited.")
  @GetMapping(PATH + "/{revision}")
  KineticsView get(@PathVariable String code, @PathVariable int revision) {
    Component compound = compounds.get(code);
    return store
        .find(compound.id(), revision)
        .map(kinetics -> KineticsView.of(kinetics, compound.code()))
        .orElseThrow(() -> Problem.notFound("revision " + revision + " of the kinetics of", code));
  }

  @Operation(
      operationId = "recordKinetics",
      summary = "Record a revision of a compound's kinetics",
      description =
          "How the rate of cure depends on temperature, and how heat passes"
              + " through the compound. An activation energy is stated, or found from cure times or"
              + " cure-meter curves at two temperatures or more; there is no default. Figures are"
              + " estimates to be compared with a thermocouple study and release no tyre. The same"
              + " key with the same content is answered as stored.")
  @RetrySafe
  @PostMapping(path = PATH, consumes = MediaType.APPLICATION_JSON_VALUE)
  ResponseEntity<KineticsView> create(
      @PathVariable String code, @Valid @RequestBody KineticsRequest request, Actor actor) {
    Component compound = compounds.get(code);
    KineticsIntake.Recorded done = intake.record(compound, request, actor);
    KineticsView view = KineticsView.of(done.kinetics(), compound.code());
    return RetrySafe.Answer.of(
        done.replayed(), view, "compounds", code, "kinetics", String.valueOf(view.revision()));
  }
}
