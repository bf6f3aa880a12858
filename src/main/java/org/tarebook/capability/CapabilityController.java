package org.tarebook.capability;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.Parameter;
import io.swagger.v3.oas.annotations.media.Schema;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.validation.constraints.DecimalMax;
import jakarta.validation.constraints.DecimalMin;
import java.time.Clock;
import java.time.Instant;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.bind.annotation.RestController;
import org.tarebook.chart.Chart;
import org.tarebook.chart.Plan;
import org.tarebook.chart.Plans;
import org.tarebook.control.StudyWindow;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.reading.AsOf;
import org.tarebook.stats.Estimator;

/** {@code /capability}: studies of one chart, or of every chart of a line. */
@Tag(name = "Capability")
@RestController
class CapabilityController {

  private final Studies studies;
  private final Plans plans;
  private final Clock clock;

  CapabilityController(Studies studies, Plans plans, Clock clock) {
    this.studies = studies;
    this.plans = plans;
    this.clock = clock;
  }

  @Operation(
      operationId = "studyCapability",
      summary = "Study the capability of a chart or of a line",
      description =
          "Cp and Cpk by the sigma within subgroups, Pp and Ppk by the total sigma, as the AIAG"
              + " defines them. A process that is not in control has no Cp, Cpk, CpU and CpL, unless"
              + " asked for, and then marked. Readings that do not count are left out and counted"
              + " by cause. Every study of an answer is made on one picture of the record. A figure"
              + " that does not exist is absent and told under notComputed.")
  @GetMapping("/api/v1/capability")
  View study(
      @Parameter(description = "Of one chart, by its code; or give line.")
          @RequestParam(required = false)
          @Nullable String chart,
      @Parameter(description = "Of every chart in use of a line, by its code; or give chart.")
          @RequestParam(required = false)
          @Nullable String line,
      @Parameter(description = "First moment; when left out, 30 days before measuredBefore.")
          @RequestParam(required = false)
          @Nullable Instant measuredFrom,
      @Parameter(description = "First moment after it; when left out, now.")
          @RequestParam(required = false)
          @Nullable Instant measuredBefore,
      @Parameter(description = "One stratum, as points name it.", example = "DIE=D7")
          @RequestParam(required = false)
          @Nullable String stratum,
      @Parameter(
              description =
                  "R_BAR, POOLED or POOLED_C4 for XBAR_R, S_BAR, POOLED or POOLED_C4 for XBAR_S, MOVING_RANGE for"
                      + " INDIVIDUALS; that of the control plan when left out.")
          @RequestParam(required = false)
          @Nullable Estimator estimator,
      @Parameter(
              description =
                  "Confidence of every interval; when left out, that of each chart's row of the"
                      + " control plan.")
          @RequestParam(required = false)
          @DecimalMin("0.5")
          @DecimalMax("0.999")
          @Nullable Double confidence,
      @Parameter(description = "Whether Cp to CpL are wanted of a process not in control too.")
          @RequestParam(defaultValue = "false")
          boolean evenIfNotInControl,
      @Parameter(
              description =
                  "Whether Cp to Cpl are wanted of several streams (dies, say) together too. Each"
                      + " stream has its own under streams in any case.")
          @RequestParam(defaultValue = "false")
          boolean mixture,
      @Parameter(
              description =
                  "How indices are made. NORMAL: by mean and sigma. A family of distributions: fitted"
                      + " by maximum likelihood, Pp and Ppk by the percentiles of ISO 22514-2."
                      + " EMPIRICAL: percentiles of the readings themselves, from 740 on. A"
                      + " characteristic bounded by nature has none by NORMAL.")
          @RequestParam(defaultValue = "NORMAL")
          Method method,
      @Parameter(description = AsOf.ASKED) @RequestParam(required = false) @Nullable Instant asOf) {
    StudyWindow window = StudyWindow.of(measuredFrom, measuredBefore, clock.instant());
    return new View(
        window.from(),
        window.before(),
        studies.of(
            charts(chart, line),
            new Studies.Question(
                window, stratum, estimator, confidence, evenIfNotInControl, mixture, method, asOf)),
        Definition.ALL);
  }

  private List<Chart> charts(@Nullable String chart, @Nullable String line) {
    if (chart != null && line == null) {
      return List.of(plans.current().charts().require(chart, "chart"));
    }
    if (chart == null && line != null) {
      Plan plan = plans.current();
      return plan.chartsInUse(plan.lines().require(line, "line"));
    }
    throw Problem.at(
        ProblemType.INVALID_REQUEST,
        chart == null ? "chart" : "line",
        "give either chart or line, one of the two");
  }

  /** Studies on one picture of the record. */
  @Schema(
      name = "Capability",
      description =
          "Capability studies of one or several charts, all made from one state of the"
              + " record.")
  record View(
      Instant measuredFrom,
      Instant measuredBefore,
      @Schema(description = "One for each chart.") List<Study> studies,
      @Schema(description = "How each figure is defined, and by which source.")
          List<Definition> definitions) {}
}
