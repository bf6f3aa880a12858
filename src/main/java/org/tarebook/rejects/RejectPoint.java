package org.tarebook.rejects;

import io.swagger.v3.oas.annotations.media.Schema;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import org.tarebook.stats.ControlLimits;
import org.tarebook.stats.chart.CountLimits;

/**
 * One point of a chart of rejects; value and lines are shares from 0 to 1 in a P chart, counts in
 * an NP chart.
 */
@Schema(
    name = "RejectChartPoint",
    description =
        "One point of a chart of rejects. Value and lines are shares from 0 to 1 in a P"
            + " chart, counts in an NP chart.")
record RejectPoint(
    @Schema(description = "The period of the point.") RateAnswer.Period bucket,
    long judged,
    long firstPassRejected,
    @Schema(description = "Of judged: items that rest on a suspect instrument.") long judgedSuspect,
    @Schema(description = "Of firstPassRejected: items that no sound instrument rejects.")
        long firstPassRejectedSuspect,
    @Schema(description = "firstPassRejected over judged, 0 to 1.") double share,
    @Schema(description = "What is drawn: the share, or in an NP chart the count.") double value,
    @Schema(
            description =
                "Least count of rejects within the exact limits; absent where there are none.")
        @Nullable Long fewest,
    @Schema(
            description =
                "Greatest count of rejects within the exact limits; absent where there are none.")
        @Nullable Long most,
    @Schema(description = "Lower three-sigma line; absent where there is none.")
        @Nullable Double lower,
    @Schema(description = "Upper three-sigma line; absent where there is none.")
        @Nullable Double upper,
    @Schema(
            description =
                "Whether the count lies beyond the exact limits; absent where there are none.")
        @Nullable Boolean beyondExact,
    @Schema(
            description =
                "Lower limit that allows for the spread between points; absent where there is"
                    + " none.")
        @Nullable Double spreadLower,
    @Schema(
            description =
                "Upper limit that allows for the spread between points; absent where there is"
                    + " none.")
        @Nullable Double spreadUpper,
    @Schema(
            description =
                "Whether the value lies beyond the limits that allow for the spread between"
                    + " points; absent where there are none.")
        @Nullable Boolean beyondSpread) {

  /**
   * Makes a point.
   *
   * @param row of one bucket, with judged items
   * @param centre share of the window; absent where there are no limits
   * @param spread limits of the share that allow for the spread between points
   */
  static RejectPoint of(
      RateAnswer.Row row,
      RejectChart.Kind kind,
      @Nullable Double centre,
      @Nullable ControlLimits spread) {
    double share = (double) row.firstPassRejected() / row.judged();
    double scale = kind == RejectChart.Kind.P ? 1 : row.judged();
    CountLimits exact =
        centre == null
            ? null
            : CountLimits.ofItems(centre, Math.toIntExact(row.judged()), CountLimits.NORMAL_TAIL);
    ControlLimits lines =
        exact == null
            ? null
            : kind == RejectChart.Kind.NP ? exact.threeSigma() : exact.per((double) row.judged());
    return new RejectPoint(
        Objects.requireNonNull(row.bucket()),
        row.judged(),
        row.firstPassRejected(),
        row.judgedSuspect(),
        row.firstPassRejectedSuspect(),
        share,
        kind == RejectChart.Kind.P ? share : row.firstPassRejected(),
        exact == null ? null : exact.fewest(),
        exact == null ? null : exact.most(),
        lines == null ? null : lines.lower(),
        lines == null ? null : lines.upper(),
        exact == null ? null : exact.beyond(row.firstPassRejected()),
        spread == null ? null : spread.lower() * scale,
        spread == null ? null : spread.upper() * scale,
        spread == null ? null : share < spread.lower() || share > spread.upper());
  }
}
