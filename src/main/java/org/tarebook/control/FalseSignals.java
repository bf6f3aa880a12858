package org.tarebook.control;

import io.swagger.v3.oas.annotations.media.Schema;
import org.apache.commons.statistics.distribution.NormalDistribution;
import org.tarebook.stats.SigmaEstimate;
import org.tarebook.stats.chart.EstimatedLimits;

/**
 * What it costs that limits are estimated: how often a point of a process in control will lie
 * beyond them, as long as they are in force.
 *
 * @param known the chance of limits known without error
 * @param onAverage the chance averaged over baselines of this length
 * @param oneInTen the chance that one baseline in ten exceeds
 * @param sigmaError how well sigma is known, its standard error over itself
 */
@Schema(
    name = "FalseSignals",
    description = "Chances that a point in control lies beyond these three-sigma limits.")
public record FalseSignals(
    @Schema(description = "By limits known without error.", example = "0.0027") double known,
    @Schema(description = "Averaged over baselines of this length.", example = "0.0048")
        double onAverage,
    @Schema(description = "What one baseline in ten exceeds.", example = "0.0101") double oneInTen,
    @Schema(description = "Standard error of sigma over sigma.", example = "0.083")
        double sigmaError,
    @Schema(description = "The false signals to expect, as a sentence for people.") String words) {

  private static final double REACH = 3;
  private static final double KNOWN = 2 * NormalDistribution.of(0, 1).survivalProbability(REACH);

  /**
   * Computes the chances.
   *
   * @param sigma above 0
   * @param points that gave the centre
   */
  static FalseSignals of(SigmaEstimate sigma, long points) {
    EstimatedLimits limits = limits(sigma, points);
    double average = limits.meanFalseSignals();
    double oneInTen = limits.falseSignals(0.9);
    double error = 1 / Math.sqrt(2 * sigma.degreesOfFreedom());
    return new FalseSignals(
        KNOWN,
        average,
        oneInTen,
        error,
        ("A point in control lies beyond these limits %s on average over baselines of this length,"
                + " instead of %s; one baseline in ten gives %s or more often. Sigma is known to"
                + " %.0f %%. A longer baseline brings both nearer.")
            .formatted(oneIn(average), oneIn(KNOWN), oneIn(oneInTen), 100 * error));
  }

  /** The chance of a false signal for a point, averaged over baselines. */
  static double onAverage(SigmaEstimate sigma, long points) {
    return limits(sigma, points).meanFalseSignals();
  }

  /** An unbiased sigma is a little larger than that of the chi scale, as if limits reached out. */
  private static EstimatedLimits limits(SigmaEstimate sigma, long points) {
    return new EstimatedLimits(
        points, sigma.degreesOfFreedom(), REACH * sigma.sigma() / sigma.chiScaled());
  }

  static String oneIn(double chance) {
    return "once in " + Math.max(1, Math.round(1 / chance));
  }
}
