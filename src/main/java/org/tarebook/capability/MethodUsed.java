package org.tarebook.capability;

import io.swagger.v3.oas.annotations.media.Schema;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.tarebook.stats.CountedValues;
import org.tarebook.stats.fit.Family;

/** By what method indices were made, and what it rests on. */
@Schema(
    name = "MethodUsed",
    description = "The method by which indices were computed, and what it rests on.")
record MethodUsed(
    @Schema(description = "How the indices were computed.") Method method,
    @Schema(
            description = "How the figures were estimated.",
            example = "Weibull distribution by maximum likelihood; percentiles of ISO 22514-2.")
        String estimator,
    @Schema(
            description = "What the intervals of the indices are.",
            example = "Observed information, for large samples.")
        String intervals,
    @Schema(description = "Parameters of the fitted distribution, by name.")
        @Nullable Map<String, Double> parameters,
    @Schema(description = "What indices by percentiles were made of.")
        @Nullable Percentiles percentiles,
    @Schema(description = "How the distribution meets the readings where it matters.")
        @Nullable Tails tails) {

  /** By mean and sigma of a normal process. */
  static MethodUsed ofNormal(CountedValues readings) {
    return new MethodUsed(
        Method.NORMAL,
        "Mean of all counted readings with the sigmas told; a normal process.",
        "As told under definitions.",
        null,
        null,
        Distribution.fit(Family.NORMAL, readings)
            .flatMap(fit -> Distribution.tails(fit, readings))
            .orElse(null));
  }

  /** Percentiles in the unit of the study. */
  @Schema(
      name = "StudyPercentiles",
      description = "Percentiles from which indices were computed, in the unit of the study.")
  record Percentiles(
      @Schema(description = "0.135 % of readings lie below.") double low,
      @Schema(description = "Half of the readings lie below.") double median,
      @Schema(description = "0.135 % of readings lie above.") double high) {}

  /** Fitted minus empirical percentile in the tails, in sixths of the fitted spread. */
  @Schema(
      name = "StudyTails",
      description =
          "Distance of the fitted percentiles from those of the readings in both tails, in"
              + " sixths of the fitted spread.")
  record Tails(
      @Schema(
              description =
                  "Share beyond the percentiles compared: 0.135 %, or five readings if that is"
                      + " more.",
              example = "0.00135")
          double share,
      @Schema(
              description =
                  "Fitted less empirical percentile in the lower tail, in sixths of the fitted"
                      + " spread.",
              example = "-0.12")
          double lower,
      @Schema(description = "Its standard error by chance.", example = "0.2") double lowerError,
      @Schema(
              description =
                  "Fitted less empirical percentile in the upper tail, in sixths of the fitted"
                      + " spread.",
              example = "0.31")
          double upper,
      @Schema(description = "Its standard error by chance.", example = "0.3") double upperError,
      @Schema(description = "Both within a quarter sigma, or three standard errors.")
          boolean agree) {}
}
