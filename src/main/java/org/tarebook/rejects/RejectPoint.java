package org.tarebook.rejects;

import io.swagger.v3.oas.annotations.media.Schema;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import org.tarebook.stats.ControlLimits;
import org.tarebook.stats.chart.CountLimits;

/**
 * One point of a chart of rejects; value and lines are shares from 0 to 1 in a P chart, counts in
 * an NP chart.
 *
 * @param fewest the least count of rejects within the exact limits
 * @param most the greatest count of rejects within the exact limits
 * @param lower three-sigma line
 * @param upper three-sigma line
 * @param beyondExact whether the count lies beyond the exact limits
 * @param spreadLower lower limit that allows for the spread between points
 * @param spreadUpper upper limit that allows for the spread between points
 * @param beyondSpread whether the value lies beyond those
 */
@Schema(name = "RejectChartPoint")
record RejectPoint(
    RateAnswer.Period bucket,
    long judged,
    long firstPassRejected,
    @Schema(description = "Of judged: items that rest on a suspect instrument.") long judgedSuspect,
    @Schema(description = "Of firstPassRejected: items that no sound instrument rejects.")
        long firstPassRejectedSuspect,
    double share,
    @Schema(description = "What is drawn: the share, or in an NP chart the count.") double value,
    @Nullable Long fewest,
    @Nullable Long most,
    @Nullable Double lower,
    @Nullable Double upper,
    @Nullable Boolean beyondExact,
    @Nullable Double spreadLower,
    @Nullable Double spreadUpper,
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
