package org.tarebook.control;

import io.swagger.v3.oas.annotations.media.Schema;
import java.time.Instant;
import java.util.List;

/**
 * One round of finding limits, all figures in the unit of the limits.
 *
 * @param number 0 for the baseline as it came, then from 1
 * @param setAside the points left out from this round on
 * @param points that went in
 * @param spreads subgroups or moving ranges that gave sigma
 * @param centre centre line of the points
 * @param lower lower control limit of the points
 * @param upper upper control limit of the points
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
    @Schema(example = "12.304") double centre,
    @Schema(example = "12.231") double lower,
    @Schema(example = "12.377") double upper,
    @Schema(description = "Within subgroups.", example = "0.0541") double sigma,
    @Schema(
            description = "Points that went in and lie beyond, or whose spread does.",
            example = "0")
        long beyond) {

  /**
   * A point that was left out.
   *
   * @param lastReading id of the reading that completed it
   * @param at its time
   * @param value the point, in the unit of the limits
   * @param cause what made it no part of the process
   */
  @Schema(name = "PointSetAside")
  public record Aside(
      @Schema(description = "Id of the last of its readings.") long lastReading,
      Instant at,
      @Schema(description = "The point, in the unit.", example = "12.512") double value,
      @Schema(example = "Scale was knocked; found at 10:40 and put right.") String cause) {}
}
