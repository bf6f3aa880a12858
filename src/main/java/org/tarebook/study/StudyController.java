package org.tarebook.study;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.validation.constraints.DecimalMax;
import jakarta.validation.constraints.DecimalMin;
import org.springdoc.core.annotations.ParameterObject;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.RequestMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.bind.annotation.RestController;
import org.tarebook.control.WindowQuery;

/**
 * {@code /charts/{code}/shape}, {@code /change-points}, {@code /comparison}: a window looked into.
 */
@Tag(name = "Charts")
@RestController
@RequestMapping("/api/v1/charts/{code}")
class StudyController {

  private final OpenedWindows windows;

  StudyController(OpenedWindows windows) {
    this.windows = windows;
  }

  @Operation(
      operationId = "studyShape",
      summary = "Study how the readings of a chart are distributed",
      description =
          "Outliers first; skewness and kurtosis, Anderson-Darling and Shapiro-Wilk, a normal probability plot; fits of"
              + " six families by maximum likelihood, the best by Akaike first, each with the"
              + " agreement of its tails and with capability by the percentile method of ISO 22514-2"
              + " against the specification in force at the last counted reading of the window.")
  @GetMapping("/shape")
  ShapeStudy shape(@PathVariable String code, @ParameterObject WindowQuery query) {
    return windows.of(
        code,
        query,
        opened -> {
          Series series = Series.of(opened);
          return ShapeStudy.of(series.basis(opened.chart()), opened);
        });
  }

  @Operation(
      operationId = "findChangePoints",
      summary = "Find when a chart changed",
      description =
          "The most likely moment of a step in the mean of the points, and of one in the spread of the"
              + " readings (inside subgroups where there are any), each with its confidence set and"
              + " the chance of so clear a step without one; and the slope of the points in time with its"
              + " interval, as of a wearing die. Containment starts from the earliest of the set or the"
              + " last verified good, whichever is earlier.")
  @GetMapping("/change-points")
  ChangeStudy changes(
      @PathVariable String code,
      @ParameterObject WindowQuery query,
      @RequestParam(defaultValue = "0.95") @DecimalMin("0.5") @DecimalMax("0.999")
          double confidence) {
    return windows.of(
        code,
        query,
        opened -> {
          Series series = Series.of(opened);
          return ChangeStudy.of(series.basis(opened.chart()), series, confidence);
        });
  }

  @Operation(
      operationId = "compareStrata",
      summary = "Compare the strata of a chart",
      description =
          "Stations, dies, cavities or what the chart keeps apart, in the window: one-way analysis of"
              + " variance, Welch's for unequal spreads, Kruskal-Wallis by ranks for points that are"
              + " not normal, and Levene's test of equal spreads. All of them compare points, since"
              + " readings of one subgroup may repeat each other.")
  @GetMapping("/comparison")
  ComparisonStudy comparison(@PathVariable String code, @ParameterObject WindowQuery query) {
    return windows.of(
        code,
        query,
        opened -> {
          Series series = Series.of(opened);
          return ComparisonStudy.of(series.basis(opened.chart()), series);
        });
  }
}
