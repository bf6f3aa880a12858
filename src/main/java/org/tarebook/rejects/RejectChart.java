package org.tarebook.rejects;

import io.swagger.v3.oas.annotations.media.Schema;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.LongSummaryStatistics;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.tarebook.chart.Unsettled;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.stats.Interval;
import org.tarebook.stats.MethodRevision;
import org.tarebook.stats.Proportion;
import org.tarebook.stats.chart.BetweenShiftSpread;

/**
 * A chart of first-pass rejects: a point for each shift, day or week with judged items, the exact
 * limits by the binomial beside the three-sigma ones, and limits that allow for the spread between
 * points, with the test of that spread.
 *
 * @param withoutJudged shifts, days or weeks that have readings but no judged item: no points
 */
@Schema(
    name = "RejectChart",
    description =
        "A chart of first-pass rejects: a point for each shift, day or week with judged"
            + " items. It has exact limits by the binomial distribution, three-sigma limits,"
            + " and limits that allow for the spread between points, with the test of that"
            + " spread.")
record RejectChart(
    Instant measuredFrom,
    Instant measuredBefore,
    @Schema(description = "The period of one point.") Bucket bucket,
    @Schema(description = "P: lines and values are shares of judged items; NP: counts of rejects.")
        Kind kind,
    double confidence,
    @Schema(description = "How the confidence interval of the share is computed.")
        IntervalMethod method,
    @Schema(description = MethodRevision.MEANING) int methodRevision,
    long judged,
    long firstPassRejected,
    @Schema(description = "Of judged: items that rest on a suspect instrument.") long judgedSuspect,
    @Schema(description = "Of firstPassRejected: items that no sound instrument rejects.")
        long firstPassRejectedSuspect,
    @Schema(description = RateAnswer.UNVERIFIED) @Nullable Long unverified,
    @Schema(description = "Readings left out: not judged.") long notJudged,
    @Schema(description = "Buckets that have readings but no judged item: they make no point.")
        long withoutJudged,
    @Schema(
            description =
                "firstPassRejected over judged in the whole window, 0 to 1; absent where nothing"
                    + " was judged.")
        @Nullable Double share,
    @Schema(
            description =
                "Confidence interval of share by the method, as if items were independent;"
                    + " absent where share is.")
        @Nullable Interval shareInterval,
    @Schema(
            description =
                "Centre line: the share, or in an NP chart the expected rejects in a point."
                    + " Absent where it does not exist.")
        @Nullable Double centre,
    @Schema(
            description =
                "Pearson's chi-square over its degrees of freedom: about 1 where points differ"
                    + " by chance only. Absent where it does not exist.")
        @Nullable Double dispersion,
    @Schema(
            description =
                "p value of the dispersion: the probability of one at least this large if points"
                    + " differed by chance only. Absent where dispersion is.")
        @Nullable Double dispersionP,
    @Schema(
            description =
                "How many times wider than by chance the points spread; absent where it does not"
                    + " exist.")
        @Nullable Double factor,
    String words,
    @Schema(description = "The points in the order of time.") List<RejectPoint> points,
    @Schema(description = "What is absent, and why.") List<AbsentFigure> notComputed,
    @Schema(description = "The moment as of which the record was looked at; absent for now.")
        @Nullable Instant asOf,
    @Schema(description = "Readings of the window that changed since; of now absent.")
        @Nullable Long changedSince,
    @Nullable Unsettled unsettled) {

  private static final double RARE = 0.01;
  private static final int FEW = 20;

  /** Kinds of charts of rejects. */
  @Schema(name = "RejectChartKind", description = "A kind of chart of rejects.")
  enum Kind {
    @Schema(
        description = "The share of rejected items in each point, whatever the number of items.")
    P,
    @Schema(
        description =
            "The number of rejected items in each point; all points have the same number of"
                + " items.")
    NP
  }

  /**
   * Charts the rows of an answer that was cut in time and in nothing else.
   *
   * @throws Problem if an NP chart is asked for and points differ in size
   */
  static RejectChart of(RateAnswer rates, Kind kind) {
    List<RateAnswer.Row> rows = rates.rows().stream().filter(row -> row.judged() > 0).toList();
    LongSummaryStatistics judged =
        rows.stream().mapToLong(RateAnswer.Row::judged).summaryStatistics();
    requireEqualSizes(kind, judged);
    long rejected = rows.stream().mapToLong(RateAnswer.Row::firstPassRejected).sum();
    RateAnswer.Rate rate = rates.total().firstPassRate();
    boolean loads =
        rate.effectiveItems() != null || rate.notComputed() == RateAnswer.NotComputed.ONE_LOAD;
    boolean limits = !loads && rejected > 0 && rejected < judged.getSum();
    Proportion.Count all = rows.isEmpty() ? null : new Proportion.Count(rejected, judged.getSum());
    Double share = all == null ? null : (Double) all.share();
    Optional<BetweenShiftSpread> spread =
        BetweenShiftSpread.ofShares(
            rows.stream()
                .map(row -> new Proportion.Count(row.firstPassRejected(), row.judged()))
                .toList());
    List<RejectPoint> points = new ArrayList<>();
    for (int i = 0; i < rows.size(); i++) {
      int at = i;
      points.add(
          RejectPoint.of(
              rows.get(i),
              kind,
              limits ? share : null,
              spread.map(found -> found.limits().get(at)).orElse(null)));
    }
    return new RejectChart(
        rates.measuredFrom(),
        rates.measuredBefore(),
        rates.bucket(),
        kind,
        rates.confidence(),
        rates.method(),
        MethodRevision.NOW,
        judged.getSum(),
        rejected,
        rows.stream().mapToLong(RateAnswer.Row::judgedSuspect).sum(),
        rows.stream().mapToLong(RateAnswer.Row::firstPassRejectedSuspect).sum(),
        rates.total().unverified(),
        rates.total().notJudged(),
        rates.rows().size() - rows.size(),
        share,
        rate.interval(),
        share == null || kind == Kind.P ? share : (Double) (share * judged.getMax()),
        spread.map(BetweenShiftSpread::dispersion).orElse(null),
        spread.map(BetweenShiftSpread::p).orElse(null),
        spread.map(BetweenShiftSpread::factor).orElse(null),
        words(rows.size(), rates.rows().size() - rows.size(), spread.orElse(null), loads),
        points,
        missing(judged.getSum(), rejected, rows.size(), loads),
        rates.asOf(),
        rates.changedSince(),
        rates.unsettled());
  }

  private static void requireEqualSizes(Kind kind, LongSummaryStatistics judged) {
    if (kind == Kind.NP && judged.getCount() > 0 && judged.getMin() != judged.getMax()) {
      throw Problem.at(
          ProblemType.RULE_BROKEN,
          "kind",
          "NP counts rejects and needs as many judged items in every point; here they go from "
              + judged.getMin()
              + " to "
              + judged.getMax()
              + ": ask for kind P");
    }
  }

  private static String words(
      int points, long withoutJudged, @Nullable BetweenShiftSpread spread, boolean loads) {
    String first =
        spread == null
            ? "There is too little to judge the spread between points by."
            : spread.p() < RARE
                ? "The points differ by more than chance: judge by the limits that allow for it."
                : loads
                    ? "The points differ no more than chance would have it."
                    : "The points differ no more than chance would have it: judge by the exact limits.";
    String few = points < FEW ? " With fewer than 20 points all limits are rough." : "";
    String left =
        withoutJudged == 0
            ? ""
            : " Left out because no item was judged: "
                + withoutJudged
                + (withoutJudged == 1 ? " bucket." : " buckets.");
    return first + few + left;
  }

  private static List<AbsentFigure> missing(long judged, long rejected, int points, boolean loads) {
    if (judged == 0) {
      return List.of(
          new AbsentFigure(
              "centre",
              RateAnswer.NotComputed.NOTHING_JUDGED,
              "There is no point and no limit: no item was judged in the window."));
    }
    if (rejected == 0) {
      return List.of(
          new AbsentFigure(
              "limits",
              RateAnswer.NotComputed.NOTHING_REJECTED,
              "Nothing was rejected, so there is nothing to take limits from."));
    }
    if (rejected == judged) {
      return List.of(
          new AbsentFigure(
              "limits",
              RateAnswer.NotComputed.EVERYTHING_REJECTED,
              "Everything was rejected, so there is nothing to take limits from."));
    }
    List<AbsentFigure> absent = new ArrayList<>();
    if (loads) {
      absent.add(
          new AbsentFigure(
              "limits",
              RateAnswer.NotComputed.NOT_INDEPENDENT,
              "Items of one press load are not independent, so the exact and three-sigma limits do"
                  + " not hold: judge by the limits that allow for the spread between points."));
    }
    if (points < 2) {
      absent.add(
          new AbsentFigure(
              "dispersion",
              RateAnswer.NotComputed.TOO_FEW,
              "There is one point; it does not show how much points differ."));
    }
    return absent;
  }
}
