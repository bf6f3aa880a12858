package org.tarebook.control;

import io.swagger.v3.oas.annotations.media.Schema;
import java.time.Instant;
import java.util.List;
import org.tarebook.http.WireId;

/**
 * One round of finding limits, all figures in the unit of the limits.
 *
 * @param number 0 for the baseline as it came, then from 1
 * @param setAside the points left out from this round on
 * @param points that went in
 * @param spreads subgroups or moving ranges that gave sigma
 * @param sigma within subgroups
 * @param beyond how many of these points lie beyond these limits, or their spread does
 */
@Schema(name = "BaselineRound", description = "Limits of a baseline without the points set aside.")
public record Round(
    @Schema(description = "0: the baseline as it came.", example = "1") int number,
    @Schema(description = "Points left out from this round on.") List<Aside> setAside,
    @Schema(description = "Points that went in.", example = "24") long points,
    @Schema(description = "Subgroups, or moving ranges, that gave sigma.", example = "22")
        long spreads,
    @Schema(
            description = "Centre line of the points, in the unit of the limits.",
            example = "12.304")
        double centre,
    @Schema(
            description = "Lower control limit of the points, in the unit of the limits.",
            example = "12.231")
        double lower,
    @Schema(
            description = "Upper control limit of the points, in the unit of the limits.",
            example = "12.377")
        double upper,
    @Schema(description = "Within subgroups.", example = "0.0541") double sigma,
    @Schema(
            description = "Points that went in and lie beyond, or whose spread does.",
            example = "0")
        long beyond) {

  /**
   * A point that was left out.
   *
   * @param lastReading id of the reading that completed it
   * @param value the point, in the unit of the limits
   */
  @Schema(name = "PointSetAside", description = "A point that was left out of a baseline.")
  public record Aside(
      @Schema(description = "Id of the last of its readings.") @WireId long lastReading,
      @Schema(description = "Time of the point.") Instant at,
      @Schema(description = "The point, in the unit.", example = "12.512") double value,
      @Schema(
              description = "The named cause for which it is no part of the process.",
              example = "Scale was knocked; found at 10:40 and put right.")
          String cause) {}
}
