package org.tarebook.control;

import io.swagger.v3.oas.annotations.media.Schema;
import org.tarebook.chart.Chart;
import org.tarebook.quantity.Unit;
import org.tarebook.stats.Estimator;

/**
 * Control limits on the wire.
 *
 * @param unit of the centres, the limits and sigma
 * @param sigma within subgroups
 * @param spreads how many subgroups or moving ranges gave sigma
 * @param spread what the spread chart shows
 */
@Schema(name = "ControlLimits", description = "Control limits.")
public record ShownLimits(
    @Schema(
            description = "UCUM code of the unit of the centres, the limits and sigma.",
            example = "[lb_av]")
        String unit,
    @Schema(description = "Centre line of the points.", example = "12.304") double centre,
    @Schema(description = "Lower control limit, three sigma of a point below.", example = "12.231")
        double lower,
    @Schema(description = "Upper control limit, three sigma of a point above.", example = "12.377")
        double upper,
    @Schema(description = "What the spread chart shows.") SpreadKind spread,
    @Schema(description = "Centre line of the spread chart, in unit.", example = "0.083")
        double spreadCentre,
    @Schema(description = "Lower control limit of the spread chart, in unit.", example = "0")
        double spreadLower,
    @Schema(description = "Upper control limit of the spread chart, in unit.", example = "0.175")
        double spreadUpper,
    @Schema(
            description = "Sigma within subgroups; of BETWEEN_WITHIN both parts together.",
            example = "0.0541")
        double sigma,
    @Schema(description = "Degrees of freedom of sigma.", example = "72.7") double degreesOfFreedom,
    @Schema(description = "How sigma was estimated.", example = "R_BAR") Estimator estimator,
    @Schema(description = "Subgroups, or moving ranges, that gave sigma.", example = "20")
        long spreads) {

  /** What a spread chart shows. */
  @Schema(name = "SpreadKind", description = "What a spread chart shows for each point.")
  public enum SpreadKind {
    @Schema(description = "The range of the subgroup.")
    RANGE,
    @Schema(description = "The standard deviation of the subgroup.")
    STANDARD_DEVIATION,
    @Schema(description = "The difference from the reading before it.")
    MOVING_RANGE;

    /** What the spread chart of a kind of chart shows. */
    public static SpreadKind of(Chart.Kind kind) {
      return switch (kind) {
        case XBAR_R -> RANGE;
        case XBAR_S, BETWEEN_WITHIN -> STANDARD_DEVIATION;
        case INDIVIDUALS -> MOVING_RANGE;
      };
    }
  }

  /** The lines of some limits. */
  public static ShownLimits of(Chart.Kind kind, Unit unit, Limits limits) {
    return new ShownLimits(
        unit.code(),
        limits.points().centre(),
        limits.points().lower(),
        limits.points().upper(),
        SpreadKind.of(kind),
        limits.spread().centre(),
        limits.spread().lower(),
        limits.spread().upper(),
        limits.sigma().sigma(),
        limits.sigma().degreesOfFreedom(),
        limits.sigma().estimator(),
        limits.sigma().subgroups());
  }
}
