package org.tarebook.study;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.Parameter;
import io.swagger.v3.oas.annotations.media.Schema;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.validation.constraints.DecimalMax;
import jakarta.validation.constraints.DecimalMin;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.springdoc.core.annotations.ParameterObject;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.RequestMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.bind.annotation.RestController;
import org.tarebook.chart.Chart;
import org.tarebook.control.WindowQuery;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.stats.CusumRule;
import org.tarebook.stats.EwmaRule;
import org.tarebook.stats.RunRule;
import org.tarebook.stats.chart.Cusum;
import org.tarebook.stats.chart.Ewma;
import org.tarebook.stats.chart.MeanRunLengths;

/** {@code /charts/{code}/ewma}, {@code /cusum}: charts that remember. */
@Tag(name = "Charts")
@RestController
@RequestMapping("/api/v1/charts/{code}")
class EwmaCusumController {

  private static final String TARGET =
      "The centre, in the chart's unit; when left out, that of the frozen limits, else the mean of"
          + " the window.";
  private static final String SIGMA =
      "Sigma of one plotted point, in the chart's unit; when left out, that of the frozen limits,"
          + " else of the window.";
  private static final String LEAST_SIGMA = "0.000000001";
  private static final String MOST_SIGMA = "1000000000";

  private final OpenedWindows windows;

  EwmaCusumController(OpenedWindows windows) {
    this.windows = windows;
  }

  @Operation(
      operationId = "chartEwma",
      summary = "Study a chart by averages that remember (EWMA)",
      description =
          "Exponentially weighted averages of the points with their exact, time-varying limits,"
              + " and how long such a chart runs to a false signal and to a shift of one sigma"
              + " (integral equation). About the frozen limits that are in force for all points, or"
              + " a target and sigma asked for; without either about mean and sigma of the window"
              + " itself. The answer says which, and what the run lengths assume."
              + " The first 10,000 points of the window are listed.")
  @GetMapping("/ewma")
  EwmaStudy ewma(
      @PathVariable String code,
      @ParameterObject WindowQuery query,
      @Parameter(
              description =
                  "Weight of the newest point; when left out, that of the control plan, else 0.2.")
          @RequestParam
          @DecimalMin("0.03")
          @DecimalMax("1")
          @Nullable Double weight,
      @Parameter(
              description =
                  "Distance of the limits, in sigma of the average; when left out, that of the control"
                      + " plan, else 2.86.")
          @RequestParam
          @DecimalMin("0.5")
          @DecimalMax("5")
          @Nullable Double reach,
      @Parameter(description = TARGET) @RequestParam @Nullable Double target,
      @Parameter(description = SIGMA) @RequestParam @DecimalMin(LEAST_SIGMA) @DecimalMax(MOST_SIGMA)
          @Nullable Double sigma) {
    return windows.of(
        code,
        query,
        opened -> {
          Series series = Series.of(opened);
          Chart chart = opened.chart();
          EwmaRule usual = rule(chart, EwmaRule.class, EwmaRule.USUAL);
          Ewma ewma =
              new Ewma(
                  weight == null ? usual.weight() : weight, reach == null ? usual.reach() : reach);
          ChartedAbout about =
              ChartedAbout.of(
                  opened.limits(),
                  series,
                  target,
                  sigma,
                  "The run lengths are those of the limits that the chart settles at; its first"
                      + " points have narrower ones, which find a shift a little sooner.");
          List<Ewma.Point> averages =
              ewma.points(
                  series.alike(
                      about.centre(), opened.limits().by(about.limitSet(), series.limits())),
                  about.centre(),
                  about.sigma());
          List<EwmaPoint> points = new ArrayList<>();
          for (int i = 0; i < averages.size() && i < OpenedWindows.MOST_POINTS; i++) {
            Ewma.Point point = averages.get(i);
            points.add(
                new EwmaPoint(
                    series.points().get(i).at(),
                    String.valueOf(series.points().get(i).lastReading()),
                    series.values().get(i),
                    point.average(),
                    point.limits().lower(),
                    point.limits().upper(),
                    point.beyond()));
          }
          return new EwmaStudy(
              series.basis(chart),
              about,
              ewma.weight(),
              ewma.reach(),
              MeanRunLengths.ofSteady(ewma, 0),
              MeanRunLengths.ofSteady(ewma, 1),
              points);
        });
  }

  @Operation(
      operationId = "chartCusum",
      summary = "Study a chart by cumulative sums (CUSUM)",
      description =
          "Two-sided tabular sums of the points, allowance and decision value in sigma of a point, with"
              + " or without a head start, and how long such a chart runs to a false signal and to a"
              + " shift of one sigma. About the frozen limits that are in force for all points, or a"
              + " target and sigma asked for; without either about mean and sigma of the window"
              + " itself. The answer says which, and what the run lengths assume."
              + " The first 10,000 points of the window are listed.")
  @GetMapping("/cusum")
  CusumStudy cusum(
      @PathVariable String code,
      @ParameterObject WindowQuery query,
      @Parameter(description = TARGET) @RequestParam @Nullable Double target,
      @Parameter(description = SIGMA) @RequestParam @DecimalMin(LEAST_SIGMA) @DecimalMax(MOST_SIGMA)
          @Nullable Double sigma,
      @Parameter(
              description =
                  "Half the shift that is to be found, in sigma; when left out, that of the control"
                      + " plan, else 0.5.")
          @RequestParam
          @DecimalMin("0")
          @DecimalMax("3")
          @Nullable Double allowance,
      @Parameter(
              description =
                  "Decision value, in sigma; when left out, that of the control plan, else 5.")
          @RequestParam
          @DecimalMin("0.5")
          @DecimalMax("20")
          @Nullable Double decision,
      @Parameter(description = "Where the sums begin, in sigma; half the decision value is usual.")
          @RequestParam(defaultValue = "0")
          @DecimalMin("0")
          @DecimalMax("20")
          double headStart) {
    return windows.of(
        code,
        query,
        opened -> {
          Series series = Series.of(opened);
          Chart chart = opened.chart();
          CusumRule usual = rule(chart, CusumRule.class, CusumRule.USUAL);
          double half = allowance == null ? usual.allowance() : allowance;
          double limit = decision == null ? usual.decision() : decision;
          if (headStart >= limit) {
            throw Problem.at(
                ProblemType.RULE_BROKEN, "headStart", "must be below the decision value " + limit);
          }
          ChartedAbout about =
              ChartedAbout.of(
                  opened.limits(),
                  series,
                  target,
                  sigma,
                  "The run lengths are those of both sides together, from the head start.");
          double unit = about.sigma();
          Cusum cusum = new Cusum(about.centre(), half * unit, limit * unit, headStart * unit);
          List<Cusum.Point> sums =
              cusum.points(
                  series.alike(
                      about.centre(), opened.limits().by(about.limitSet(), series.limits())));
          List<CusumPoint> points = new ArrayList<>();
          for (int i = 0; i < sums.size() && i < OpenedWindows.MOST_POINTS; i++) {
            Cusum.Point sum = sums.get(i);
            points.add(
                new CusumPoint(
                    series.points().get(i).at(),
                    String.valueOf(series.points().get(i).lastReading()),
                    series.values().get(i),
                    sum.high(),
                    sum.low(),
                    sum.signal()));
          }
          return new CusumStudy(
              series.basis(chart),
              about,
              about.centre(),
              half,
              limit,
              limit * unit,
              headStart,
              MeanRunLengths.ofCusum(half, limit, headStart, 0),
              MeanRunLengths.ofCusum(half, limit, headStart, 1),
              points);
        });
  }

  /** The rule of this kind that watches the chart, or the usual one. */
  private static <R extends RunRule> R rule(Chart chart, Class<R> kind, R usual) {
    return chart.cut().rules().stream()
        .filter(kind::isInstance)
        .map(kind::cast)
        .findFirst()
        .orElse(usual);
  }

  /** An EWMA study; lengths in points. */
  @Schema(name = "EwmaStudy", description = "An EWMA study. Run lengths are counted in points.")
  record EwmaStudy(
      @Schema(description = "The window that the study was made from.") Series.Basis basis,
      @Schema(description = "The centre and sigma by which the chart is drawn.") ChartedAbout about,
      @Schema(description = "Weight of the newest point in the average, 0 to 1.") double weight,
      @Schema(description = "Width of the limits, in sigma of the average.") double reach,
      @Schema(description = "Points to a false signal, on average.") double runLengthInControl,
      @Schema(description = "Points to the signal of a lasting shift of one sigma, on average.")
          double runLengthAtOneSigma,
      @Schema(description = "The points in the order of time.") List<EwmaPoint> points) {}

  /** An average and its limits, in the chart's unit. */
  @Schema(name = "EwmaPoint", description = "The weighted average at a point, and its limits.")
  record EwmaPoint(
      @Schema(description = "Time of the point.") Instant at,
      String lastReading,
      @Schema(description = "The point, in the unit of basis.") double value,
      @Schema(description = "In the unit of basis.") double average,
      @Schema(description = "Lower limit of the average, in the unit of basis.") double lower,
      @Schema(description = "Upper limit of the average, in the unit of basis.") double upper,
      @Schema(description = "Whether the average lies beyond its limits.") boolean signal) {}

  /** A CUSUM study; lengths in points. */
  @Schema(name = "CusumStudy", description = "A CUSUM study. Run lengths are counted in points.")
  record CusumStudy(
      @Schema(description = "The window that the study was made from.") Series.Basis basis,
      @Schema(description = "The centre and sigma by which the chart is drawn.") ChartedAbout about,
      @Schema(description = "The value about which the sums are taken, in the unit of basis.")
          double target,
      @Schema(description = "In sigma of a point.", example = "0.5") double allowance,
      @Schema(description = "In sigma of a point.", example = "5") double decision,
      @Schema(description = "The decision value in the chart's unit: a sum beyond it signals.")
          double decisionInUnit,
      @Schema(description = "In sigma of a point.", example = "0") double headStart,
      @Schema(description = "Points to a false signal, on average.") double runLengthInControl,
      @Schema(description = "Points to the signal of a lasting shift of one sigma, on average.")
          double runLengthAtOneSigma,
      @Schema(description = "The points in the order of time.") List<CusumPoint> points) {}

  /** The sums behind a point, in the chart's unit. */
  @Schema(name = "CusumPoint", description = "The two cumulative sums at a point.")
  record CusumPoint(
      @Schema(description = "Time of the point.") Instant at,
      String lastReading,
      @Schema(description = "The point, in the unit of basis.") double value,
      @Schema(description = "Upper sum, in the unit of basis.") double high,
      @Schema(description = "Lower sum, in the unit of basis.") double low,
      @Schema(description = "Whether a sum lies beyond the decision interval.") boolean signal) {}
}
