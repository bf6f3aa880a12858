package org.tarebook.capability;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.Parameter;
import io.swagger.v3.oas.annotations.media.Schema;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.validation.constraints.DecimalMax;
import jakarta.validation.constraints.DecimalMin;
import jakarta.validation.constraints.Max;
import jakarta.validation.constraints.Min;
import java.util.Locale;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.bind.annotation.RestController;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.stats.capability.SmallestSample;

/** {@code /sample-sizes}: how many readings a claim takes. */
@Tag(name = "Capability")
@RestController
class SampleSizeController {

  /** How much of an index more must be expected than is claimed; beyond it millions are needed. */
  private static final double LEAST_AHEAD = 0.002;

  @Operation(
      operationId = "getSampleSize",
      summary = "Tell how many readings a claim takes",
      description =
          "The smallest number of readings whose lower confidence limit of Ppk reaches the claim, if"
              + " they show the index expected; and the smallest number of subgroups for Cpk by the"
              + " pooled sigma within. Normal readings of a stable process; exact for one limit, by"
              + " the noncentral t distribution, and on the safe side for two (Y. M. Chou, D. B. Owen"
              + " and S. A. Borrego, Journal of Quality Technology 22 (1990) 223-229).")
  @GetMapping("/api/v1/sample-sizes")
  View sampleSize(
      @Parameter(description = "The index claimed: at least this.", example = "1.33")
          @RequestParam
          @DecimalMin("0.1")
          @DecimalMax("10")
          double claim,
      @Parameter(
              description = "The index that readings are expected to show; above the claim.",
              example = "1.6")
          @RequestParam
          @DecimalMax("100")
          double expected,
      @Parameter(description = "Confidence of the claim, one-sided.")
          @RequestParam(defaultValue = "0.95")
          @DecimalMin("0.51")
          @DecimalMax("0.999")
          double confidence,
      @Parameter(
              description =
                  "Readings in a subgroup; left out where they are not taken in subgroups.",
              example = "5")
          @RequestParam(required = false)
          @Min(2)
          @Max(25)
          @Nullable Integer subgroupSize) {
    if (!(expected > claim * (1 + LEAST_AHEAD))) {
      throw Problem.at(
          ProblemType.RULE_BROKEN,
          "expected",
          "is %s, where only an index clearly above the claim of %s can support it; expect at least %s"
              .formatted(
                  expected,
                  claim,
                  String.format(Locale.ROOT, "%.4f", claim * (1 + 2 * LEAST_AHEAD))));
    }
    int readings = SmallestSample.readings(claim, expected, confidence);
    Integer subgroups =
        subgroupSize == null
            ? null
            : (Integer) SmallestSample.subgroups(claim, expected, subgroupSize, confidence);
    return new View(
        claim,
        expected,
        confidence,
        readings,
        SmallestSample.index(claim, readings, confidence),
        subgroupSize,
        subgroups,
        words(claim, expected, confidence, readings, subgroupSize, subgroups));
  }

  private static String words(
      double claim,
      double expected,
      double confidence,
      int readings,
      @Nullable Integer size,
      @Nullable Integer subgroups) {
    String percent = String.format(Locale.ROOT, "%.4g", 100 * confidence);
    String first =
        "To say \"Ppk at least %s\" with %s %%, %d readings are needed if they show %s."
            .formatted(claim, percent, readings, expected);
    return subgroups == null
        ? first
        : first
            + " To say it of Cpk, %d subgroups of %d are needed, %d readings."
                .formatted(subgroups, size, subgroups * (long) Objects.requireNonNull(size));
  }

  /** How many readings a claim takes. */
  @Schema(name = "SampleSize", description = "How many readings a claim needs.")
  record View(
      @Schema(description = "The index that is claimed.", example = "1.33") double claim,
      @Schema(description = "The index that the readings are expected to show.", example = "1.6")
          double expected,
      @Schema(
              description = "Confidence of the claim, one-sided, between 0 and 1.",
              example = "0.95")
          double confidence,
      @Schema(description = "Smallest number of readings, for Ppk by the total sigma.")
          int readings,
      @Schema(
              description = "The smallest index that so many readings must show.",
              example = "1.599")
          double smallestIndex,
      @Schema(description = "Readings in one subgroup; absent where none was asked for.")
          @Nullable Integer subgroupSize,
      @Schema(
              description =
                  "Smallest number of subgroups, for Cpk by the pooled sigma within; absent without"
                      + " subgroupSize.")
          @Nullable Integer subgroups,
      String words) {}
}
