package org.tarebook.study;

import io.swagger.v3.oas.annotations.media.Schema;
import java.math.BigInteger;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import org.apache.commons.numbers.fraction.BigFraction;
import org.jspecify.annotations.Nullable;
import org.tarebook.control.Flag;
import org.tarebook.control.NotComputed;
import org.tarebook.control.Point;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.stats.ControlLimits;
import org.tarebook.stats.FaultRate;
import org.tarebook.stats.Interval;
import org.tarebook.stats.chart.BetweenShiftSpread;
import org.tarebook.stats.chart.CountLimits;

/**
 * A chart of counts: exact limits by the Poisson distribution beside the three-sigma ones, and
 * limits that allow for the spread between points, with the test of that spread.
 */
@Schema(
    name = "CountStudy",
    description =
        "A chart of counts. It has exact limits by the Poisson distribution, three-sigma"
            + " limits, and limits that allow for the spread between points, with the test of"
            + " that spread.")
record CountStudy(
    @Schema(description = "The window that the study was made from.") StudiedWindow window,
    @Schema(description = "C: lines and values are counts; U: counts over readings.") Kind kind,
    @Schema(description = "What makes a point.") Cut cut,
    double confidence,
    @Schema(description = "Sum of the counts of all points.") long counted,
    @Schema(description = "Number of readings in all points.") long opportunities,
    @Schema(description = "Counted over readings.") double rate,
    @Schema(description = "Exact, of the rate, by the Poisson distribution.") Interval interval,
    @Schema(
            description =
                "Centre line: the expected count of a point, or in a U chart the rate. Absent"
                    + " where it does not exist.")
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
    @Schema(description = "The points in the order of time.") List<Charted> points,
    List<Flag> flags,
    List<NotComputed> notComputed) {

  private static final double RARE = 0.01;
  private static final int FEW = 20;

  /** Kinds of charts of counts. */
  @Schema(name = "CountStudyKind", description = "A kind of chart of counts.")
  enum Kind {
    @Schema(description = "Counts; every point has the same area of opportunity.")
    C,
    @Schema(description = "Counts per reading, whatever the number of readings in a point.")
    U
  }

  /** What makes a point. */
  @Schema(name = "CountStudyCut", description = "What makes one point of a chart of counts.")
  enum Cut {
    @Schema(description = "One subgroup of the chart.")
    POINT,
    @Schema(
        description =
            "All readings of a shift; where the chart has strata, of a shift and stratum.")
    SHIFT
  }

  /** One point; value and lines are counts in a C chart, counts over readings in a U chart. */
  @Schema(
      name = "CountStudyPoint",
      description =
          "One point. Value and lines are counts in a C chart, counts over readings in a U"
              + " chart.")
  record Charted(
      @Schema(description = "Time of its last reading.") Instant at,
      String stratum,
      String firstReading,
      String lastReading,
      @Schema(description = "Number of its readings.") long readings,
      @Schema(description = "Sum of the counts of its readings.") long count,
      @Schema(description = "What is drawn: the count, or in a U chart the count over readings.")
          double value,
      @Schema(description = "Least count within the exact limits; absent where there are none.")
          @Nullable Long fewest,
      @Schema(description = "Greatest count within the exact limits; absent where there are none.")
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
                  "Whether the value lies beyond the three-sigma lines; absent where there are"
                      + " none.")
          @Nullable Boolean beyondThreeSigma,
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
          @Nullable Boolean beyondSpread) {}

  static CountStudy of(
      OpenedWindows.Opened opened, List<Point> points, Kind kind, Cut cut, double confidence) {
    if (points.isEmpty()) {
      throw OpenedWindows.tooLittle(opened.chart(), 0, "points");
    }
    long[] counts = points.stream().mapToLong(CountStudy::count).toArray();
    double[] sizes = points.stream().mapToDouble(point -> point.subgroup().count()).toArray();
    requireEqual(kind, sizes);
    long counted = Arrays.stream(counts).sum();
    long opportunities = (long) Arrays.stream(sizes).sum();
    FaultRate rate = new FaultRate(counted, opportunities);
    Optional<BetweenShiftSpread> spread = BetweenShiftSpread.ofRates(counts, sizes);
    List<Charted> charted = new ArrayList<>();
    for (int i = 0; i < OpenedWindows.listed(points).size(); i++) {
      int at = i;
      charted.add(
          charted(
              points.get(i),
              counts[i],
              kind,
              rate.rate(),
              spread.map(found -> found.limits().get(at)).orElse(null)));
    }
    return new CountStudy(
        StudiedWindow.of(opened.window(), points),
        kind,
        cut,
        confidence,
        counted,
        opportunities,
        rate.rate(),
        rate.interval(confidence),
        counted == 0 ? null : (Double) (kind == Kind.U ? rate.rate() : rate.rate() * sizes[0]),
        spread.map(BetweenShiftSpread::dispersion).orElse(null),
        spread.map(BetweenShiftSpread::p).orElse(null),
        spread.map(BetweenShiftSpread::factor).orElse(null),
        words(spread.orElse(null)),
        charted,
        OpenedWindows.few(points.size(), FEW, "points"),
        missing(counted, points.size()));
  }

  private static long count(Point point) {
    BigFraction sum = point.subgroup().moments().sum();
    if (!sum.getDenominator().equals(BigInteger.ONE) || sum.signum() < 0) {
      throw new Problem(
          ProblemType.RULE_BROKEN,
          "The readings from "
              + point.firstReading()
              + " to "
              + point.lastReading()
              + " come to "
              + sum.doubleValue()
              + ", which is no count; counts are whole numbers, 0 or more, in the chart's unit.");
    }
    return sum.getNumerator().longValueExact();
  }

  private static void requireEqual(Kind kind, double[] sizes) {
    double least = Arrays.stream(sizes).min().orElse(0);
    double most = Arrays.stream(sizes).max().orElse(0);
    if (kind == Kind.C && least < most) {
      throw Problem.at(
          ProblemType.RULE_BROKEN,
          "kind",
          "C asks for as many readings in every point; here they go from %.0f to %.0f: ask for kind U"
              .formatted(least, most));
    }
  }

  private static Charted charted(
      Point point, long count, Kind kind, double rate, @Nullable ControlLimits spread) {
    double size = point.subgroup().count();
    double scale = kind == Kind.C ? size : 1;
    CountLimits exact =
        rate > 0 && rate * size <= CountLimits.MOST_FAULTS
            ? CountLimits.ofFaults(rate * size, CountLimits.NORMAL_TAIL)
            : null;
    ControlLimits lines =
        exact == null ? null : kind == Kind.C ? exact.threeSigma() : exact.per(size);
    return new Charted(
        point.at(),
        point.stratum(),
        String.valueOf(point.firstReading()),
        String.valueOf(point.lastReading()),
        point.subgroup().count(),
        count,
        kind == Kind.C ? count : count / size,
        exact == null ? null : exact.fewest(),
        exact == null ? null : exact.most(),
        lines == null ? null : lines.lower(),
        lines == null ? null : lines.upper(),
        exact == null ? null : exact.beyond(count),
        exact == null
            ? null
            : count < exact.threeSigma().lower() || count > exact.threeSigma().upper(),
        spread == null ? null : spread.lower() * scale,
        spread == null ? null : spread.upper() * scale,
        spread == null ? null : count / size < spread.lower() || count / size > spread.upper());
  }

  private static String words(@Nullable BetweenShiftSpread spread) {
    if (spread == null) {
      return "There is too little to judge the spread between points by.";
    }
    return spread.p() < RARE
        ? "The points differ by more than chance: judge by the limits that allow for it."
        : "The points differ no more than chance would have it: judge by the exact limits.";
  }

  private static List<NotComputed> missing(long counted, int points) {
    if (counted == 0) {
      return List.of(
          new NotComputed(
              "limits",
              NotComputed.Reason.ZERO_SPREAD,
              "Nothing was counted, so there is nothing to take limits from."));
    }
    return points < 2
        ? List.of(
            new NotComputed(
                "dispersion",
                NotComputed.Reason.TOO_FEW,
                "There is one point; it does not show how much points differ."))
        : List.of();
  }
}
