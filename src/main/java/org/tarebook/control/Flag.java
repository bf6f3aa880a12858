package org.tarebook.control;

import io.swagger.v3.oas.annotations.media.Schema;
import java.util.Map;

/**
 * Something that makes limits or indices doubtful, with the figures that say so.
 *
 * @param words what it is and what to do, for a person
 * @param criterion when it is told, and who says so
 * @param figures the figures it rests on, by name
 */
@Schema(name = "Flag", description = "Something that makes figures doubtful.")
public record Flag(
    @Schema(description = "Kind of doubt, for a program.", example = "TOO_FEW") Code code,
    @Schema(description = "What it is, and what to do.") String words,
    @Schema(
            description = "The bound beyond which it is told, and its source.",
            example = "Told below 20 subgroups or 100 readings; common practice.")
        String criterion,
    @Schema(
            description =
                "The figures it rests on; lengths and spreads in the chart's unit, chances 0 to 1.")
        Map<String, Double> figures) {

  /** Kinds of doubts. */
  @Schema(name = "FlagCode", description = "A kind of doubt about figures.")
  public enum Code {
    @Schema(
        description = "Readings so far from the others that a normal process hardly gives them.")
    OUTLIERS,
    @Schema(description = "Readings of which only a bound is known were left out.")
    CENSORED,
    @Schema(description = "Too few points: limits and indices are rough.")
    TOO_FEW,
    @Schema(
        description =
            "Sigma is known so poorly that limits from it signal falsely much more often.")
    ROUGH_LIMITS,
    @Schema(
        description =
            "The instrument's interval is larger than sigma, so rounding distorts the spread.")
    TOO_COARSE,
    @Schema(description = "Samples hold more or fewer readings than planned.")
    SAMPLES_DIFFER_IN_SIZE,
    @Schema(description = "The means of the strata differ by more than their spread explains.")
    MIXED_STRATA,
    @Schema(description = "Points follow each other, or swing against each other.")
    AUTOCORRELATED,
    @Schema(description = "Streams that differ are mixed inside the subgroups.")
    MIXED_STREAMS,
    @Schema(description = "Means of subgroups agree better than the spread inside them allows.")
    TOO_ALIKE,
    @Schema(
        description =
            "Some last digits were written down more often than an instrument shows them.")
    PREFERRED_DIGITS,
    @Schema(description = "Many readings lie just inside a limit, few just outside.")
    PILED_INSIDE_LIMIT,
    @Schema(description = "Items that failed are measured again, those that passed are not.")
    MEASURED_AGAIN_UNTIL_PASSED,
    @Schema(
        description =
            "The distribution that indices come from does not meet the readings in the tails.")
    TAILS_DISAGREE,
    @Schema(
        description =
            "The readings are not normal, and too few to show how far that reaches into the tails.")
    NOT_NORMAL
  }
}
