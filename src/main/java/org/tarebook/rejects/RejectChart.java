package org.tarebook.rejects;

import io.swagger.v3.oas.annotations.media.Schema;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.tarebook.stats.ControlLimits;
import org.tarebook.stats.Proportion;
import org.tarebook.stats.chart.BetweenShiftSpread;
import org.tarebook.stats.chart.CountLimits;

/**
 * A p chart of first-pass rejects: a point for each shift, day or week with judged items, the exact
 * limits by the binomial beside the three-sigma ones, and limits that allow for the spread between
 * points, with the test of that spread.
 *
 * @param centre rejected over judged in the whole window; absent where nothing was judged
 * @param dispersion Pearson's chi-square over its degrees of freedom: about 1 by chance only
 * @param dispersionP chance of a dispersion at least this large if points differed by chance only
 * @param factor how many times wider than chance the points really move
 */
@Schema(name = "RejectChart")
record RejectChart(
    Instant measuredFrom,
    Instant measuredBefore,
    Bucket bucket,
    long judged,
    long firstPassRejected,
    @Nullable Double centre,
    @Nullable Double dispersion,
    @Nullable Double dispersionP,
    @Nullable Double factor,
    String words,
    List<Point> points,
    @Schema(description = "What is absent, and why.") List<String> notComputed) {

  private static final double RARE = 0.01;
  private static final int FEW = 20;

  /**
   * One point; shares of items from 0 to 1.
   *
   * @param fewest the least count of rejects within the exact limits
   * @param most the greatest count of rejects within the exact limits
   * @param beyondExact whether the count lies beyond the exact limits
   * @param spreadLower lower limit that allows for the spread between points
   * @param spreadUpper upper limit that allows for the spread between points
   * @param beyondSpread whether the share lies beyond those
   */
  @Schema(name = "RejectChartPoint")
  record Point(
      RateAnswer.Period bucket,
      long judged,
      long firstPassRejected,
      double share,
      @Nullable Long fewest,
      @Nullable Long most,
      @Nullable Double lower,
      @Nullable Double upper,
      @Nullable Boolean beyondExact,
      @Nullable Double spreadLower,
      @Nullable Double spreadUpper,
      @Nullable Boolean beyondSpread) {}

  /** Charts the rows of an answer that was cut in time and in nothing else. */
  static RejectChart of(RateAnswer rates) {
    List<RateAnswer.Row> rows =
        rates.rows().stream().filter(row -> row.bucket() != null && row.judged() > 0).toList();
    long judged = rows.stream().mapToLong(RateAnswer.Row::judged).sum();
    long rejected = rows.stream().mapToLong(RateAnswer.Row::firstPassRejected).sum();
    boolean limits = rejected > 0 && rejected < judged;
    double centre = judged == 0 ? 0 : (double) rejected / judged;
    Optional<BetweenShiftSpread> spread =
        BetweenShiftSpread.ofShares(
            rows.stream()
                .map(row -> new Proportion.Count(row.firstPassRejected(), row.judged()))
                .toList());
    List<Point> points = new ArrayList<>();
    for (int i = 0; i < rows.size(); i++) {
      int at = i;
      points.add(
          point(
              rows.get(i),
              limits ? centre : null,
              spread.map(found -> found.limits().get(at)).orElse(null)));
    }
    return new RejectChart(
        rates.measuredFrom(),
        rates.measuredBefore(),
        rates.bucket(),
        judged,
        rejected,
        judged == 0 ? null : centre,
        spread.map(BetweenShiftSpread::dispersion).orElse(null),
        spread.map(BetweenShiftSpread::p).orElse(null),
        spread.map(BetweenShiftSpread::factor).orElse(null),
        words(rows.size(), spread.orElse(null)),
        points,
        missing(judged, rejected, rows.size()));
  }

  private static Point point(
      RateAnswer.Row row, @Nullable Double centre, @Nullable ControlLimits spread) {
    double share = (double) row.firstPassRejected() / row.judged();
    CountLimits exact =
        centre == null
            ? null
            : CountLimits.ofItems(centre, Math.toIntExact(row.judged()), CountLimits.NORMAL_TAIL);
    ControlLimits lines = exact == null ? null : exact.per((double) row.judged());
    return new Point(
        java.util.Objects.requireNonNull(row.bucket()),
        row.judged(),
        row.firstPassRejected(),
        share,
        exact == null ? null : exact.fewest(),
        exact == null ? null : exact.most(),
        lines == null ? null : lines.lower(),
        lines == null ? null : lines.upper(),
        exact == null ? null : exact.beyond(row.firstPassRejected()),
        spread == null ? null : spread.lower(),
        spread == null ? null : spread.upper(),
        spread == null ? null : share < spread.lower() || share > spread.upper());
  }

  private static String words(int points, @Nullable BetweenShiftSpread spread) {
    if (spread == null) {
      return "There is too little to judge the spread between points by.";
    }
    String few = points < FEW ? " With fewer than 20 points all limits are rough." : "";
    return (spread.p() < RARE
            ? "The points differ by more than chance: judge by the limits that allow for it."
            : "The points differ no more than chance would have it: judge by the exact limits.")
        + few;
  }

  private static List<String> missing(long judged, long rejected, int points) {
    if (judged == 0) {
      return List.of("centre and limits: no item was judged in the window");
    }
    if (rejected == 0 || rejected == judged) {
      return List.of("limits: " + (rejected == 0 ? "nothing" : "everything") + " was rejected");
    }
    return points < 2 ? List.of("spread between points: there is one point") : List.of();
  }
}
