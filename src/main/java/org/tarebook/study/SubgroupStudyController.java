package org.tarebook.study;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.Parameter;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.validation.constraints.DecimalMax;
import jakarta.validation.constraints.DecimalMin;
import java.util.List;
import org.springdoc.core.annotations.ParameterObject;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.RequestMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.bind.annotation.RestController;
import org.tarebook.control.Point;
import org.tarebook.control.ShiftCut;
import org.tarebook.control.WindowQuery;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.spec.Characteristic;

/**
 * {@code /charts/{code}/counts}, {@code /between-within}, {@code /unequal-subgroups}, {@code
 * /median-moving-range}: a chart's readings on charts of other kinds.
 */
@Tag(name = "Charts")
@RestController
@RequestMapping("/api/v1/charts/{code}")
class SubgroupStudyController {

  private final OpenedWindows windows;

  SubgroupStudyController(OpenedWindows windows) {
    this.windows = windows;
  }

  @Operation(
      operationId = "chartCounts",
      summary = "Study a chart of counts",
      description =
          "A c or u chart of a characteristic that is counted: exact limits by the Poisson"
              + " distribution beside three-sigma lines, the exact interval of the rate, and, since"
              + " large counts make both so narrow that every point signals, limits that allow for the"
              + " spread between points, with the dispersion tested and told in words."
              + " The first 10,000 points of the window are listed.")
  @GetMapping("/counts")
  CountStudy counts(
      @PathVariable String code,
      @ParameterObject WindowQuery query,
      @Parameter(
              description = "C for counts over equal numbers of readings, U for counts a reading.")
          @RequestParam(defaultValue = "C")
          CountStudy.Kind kind,
      @Parameter(description = "What makes a point: the chart's own subgroups, or a shift.")
          @RequestParam(defaultValue = "POINT")
          CountStudy.Cut cut,
      @RequestParam(defaultValue = "0.95") @DecimalMin("0.5") @DecimalMax("0.999")
          double confidence) {
    return windows.of(
        code,
        query,
        opened -> {
          Characteristic characteristic =
              opened.plan().characteristics().get(opened.chart().characteristicId());
          if (characteristic.kind() != Characteristic.Kind.COUNTED) {
            throw new Problem(
                ProblemType.RULE_BROKEN,
                "Characteristic "
                    + characteristic.code()
                    + " is measured; a chart of counts takes one of the kind COUNTED.");
          }
          List<Point> points =
              cut == CountStudy.Cut.POINT
                  ? opened.window().points()
                  : ShiftCut.points(opened.plan(), opened.window());
          return CountStudy.of(opened, points, kind, cut, confidence);
        });
  }

  @Operation(
      operationId = "chartBetweenWithin",
      summary = "Study subgroups that hold several cavities or heads",
      description =
          "Three charts: the means of subgroups as single readings, the moving range of the means,"
              + " and the spread inside. Limits of the means come from how means move, since the"
              + " spread between cavities would make them too wide or too narrow; the parts between"
              + " and within subgroups are told. Subgroups are the chart's own."
              + " The first 10,000 points of the window are listed.")
  @GetMapping("/between-within")
  BetweenWithinStudy betweenWithin(@PathVariable String code, @ParameterObject WindowQuery query) {
    return windows.of(code, query, BetweenWithinStudy::of);
  }

  @Operation(
      operationId = "chartUnequalSubgroups",
      summary = "Study shifts with unequal numbers of readings",
      description =
          "All readings of a shift, and of a stratum where the chart has strata, make one point, those"
              + " of incomplete subgroups included; each mean and standard deviation has its own"
              + " limits by the pooled sigma. Of a shift that the window cuts, the readings inside"
              + " make the point. The first 10,000 points of the window are listed.")
  @GetMapping("/unequal-subgroups")
  UnequalStudy unequal(@PathVariable String code, @ParameterObject WindowQuery query) {
    return windows.of(code, query, UnequalStudy::of);
  }

  @Operation(
      operationId = "chartMedianMovingRange",
      summary = "Study single readings by their median moving range",
      description =
          "Limits of an individuals chart by the median moving range, which one or two wild readings"
              + " hardly move, beside those by the mean, and what their ratio says."
              + " The first 10,000 points of the window are listed.")
  @GetMapping("/median-moving-range")
  MedianRangeStudy medianMovingRange(
      @PathVariable String code, @ParameterObject WindowQuery query) {
    return windows.of(code, query, MedianRangeStudy::of);
  }
}
