package org.tarebook.control;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.media.Schema;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.validation.Valid;
import jakarta.validation.constraints.NotNull;
import java.time.Instant;
import org.springframework.http.MediaType;
import org.springframework.http.ResponseEntity;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestBody;
import org.springframework.web.bind.annotation.RequestMapping;
import org.springframework.web.bind.annotation.RestController;
import org.tarebook.audit.Actor;
import org.tarebook.http.Code;
import org.tarebook.http.Page;
import org.tarebook.http.RetrySafe;
import org.tarebook.plant.Presses;
import org.tarebook.spec.Characteristics;

/** {@code /verdict-charts}: which figures of cure verdicts are charted. */
@Tag(name = "Charts")
@RestController
@RequestMapping("/api/v1/verdict-charts")
class VerdictChartController {

  private final VerdictCharts charts;
  private final Presses presses;
  private final Characteristics characteristics;

  VerdictChartController(VerdictCharts charts, Presses presses, Characteristics characteristics) {
    this.charts = charts;
    this.presses = presses;
    this.characteristics = characteristics;
  }

  @Operation(
      operationId = "listVerdictCharts",
      summary = "List the charted figures of cure verdicts",
      description = "By press, then figure.")
  @GetMapping
  Page<View> list() {
    return Page.whole(charts.all().stream().map(this::view).toList());
  }

  @Operation(
      operationId = "createVerdictChart",
      summary = "Chart a figure of cure verdicts",
      description =
          "From now on the figure of every verdict on the press becomes a reading of the"
              + " characteristic: at the press's station, the cavity as its die, the green tyre as its"
              + " item. Give the control-plan row DIE among its strata and one cold cavity is seen.")
  @RetrySafe
  @PostMapping(consumes = MediaType.APPLICATION_JSON_VALUE)
  ResponseEntity<View> create(@Valid @RequestBody Request request, Actor actor) {
    VerdictCharts.Recorded recorded =
        charts.record(
            presses.require(request.press(), "/press"),
            request.figure(),
            characteristics.require(request.characteristic(), "/characteristic"),
            actor);
    return RetrySafe.Answer.of(recorded.replayed(), view(recorded.charted()), "verdict-charts");
  }

  /** A figure to be charted. */
  @Schema(
      name = "VerdictChartRequest",
      description = "A figure of cure verdicts to be charted for a press.")
  record Request(
      @NotNull @Code String press,
      @Schema(description = "The figure.") @NotNull VerdictFigure figure,
      @Schema(description = "Code of the characteristic whose readings the figure becomes.")
          @NotNull
          @Code
          String characteristic) {}

  /** A charted figure. */
  @Schema(
      name = "VerdictChart",
      description = "A figure of cure verdicts that is charted for a press.")
  record View(
      String press,
      @Schema(description = "The figure.") VerdictFigure figure,
      @Schema(description = "Code of the characteristic whose readings the figure becomes.")
          String characteristic,
      @Schema(description = "UCUM code of the unit of the figure.") String unit,
      String person,
      Instant recordedAt) {}

  private View view(VerdictCharts.Charted of) {
    return new View(
        presses.byId(of.pressId()).code(),
        of.figure(),
        characteristics.byId(of.characteristicId()).code(),
        of.figure().unit().code(),
        of.person(),
        of.recordedAt());
  }
}
