package org.tarebook.study;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.Parameter;
import io.swagger.v3.oas.annotations.tags.Tag;
import java.time.Clock;
import java.time.Instant;
import java.util.HashSet;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.bind.annotation.RestController;
import org.tarebook.control.StudyWindow;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;

/** {@code /short-runs}: several sizes on one chart. */
@Tag(name = "Charts")
@RestController
class ShortRunController {

  /** The most charts that are put together. */
  static final int MOST_CHARTS = 20;

  private final ShortRuns shortRuns;
  private final Clock clock;

  ShortRunController(ShortRuns shortRuns, Clock clock) {
    this.shortRuns = shortRuns;
    this.clock = clock;
  }

  @Operation(
      operationId = "chartShortRuns",
      summary = "Put short runs of several sizes on one chart",
      description =
          "Points of several charts in the order of time: each as its deviation from its own target"
              + " (the specification in force when it was measured; without a target the middle of its"
              + " two limits) and standardised by the sigma within of its own chart, with limits and"
              + " run-rule signals. Whether the spreads are equal is tested and told, before the chart"
              + " of deviations is believed. Units must be of one kind; figures are in that of the"
              + " first chart. The first 10,000 points of the window are listed.")
  @GetMapping("/api/v1/short-runs")
  ShortRunStudy study(
      @Parameter(description = "Codes of 2 to 20 charts.", example = "T1-MASS,T1-MASS-2")
          @RequestParam
          @Nullable List<String> chart,
      @Parameter(description = "Code of a line, in place of its charts.") @RequestParam
          @Nullable String line,
      @RequestParam @Nullable Instant measuredFrom,
      @RequestParam @Nullable Instant measuredBefore) {
    List<String> charts = chart == null ? List.of() : chart;
    if (charts.isEmpty() == (line == null)) {
      throw Problem.at(
          ProblemType.RULE_BROKEN,
          "chart",
          "or line is needed, and not both: what to put together");
    }
    if (line == null && (charts.size() < 2 || charts.size() > MOST_CHARTS)) {
      throw Problem.at(
          ProblemType.RULE_BROKEN,
          "chart",
          "names " + charts.size() + " charts; it takes 2 to " + MOST_CHARTS);
    }
    if (new HashSet<>(charts).size() < charts.size()) {
      throw Problem.at(ProblemType.RULE_BROKEN, "chart", "names a chart twice");
    }
    return shortRuns.study(
        charts, line, StudyWindow.of(measuredFrom, measuredBefore, clock.instant()));
  }
}
