package org.tarebook.study;

import io.swagger.v3.oas.annotations.media.Schema;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import org.tarebook.chart.Chart;
import org.tarebook.control.Flag;
import org.tarebook.control.NotComputed;
import org.tarebook.control.Point;
import org.tarebook.control.WithinSigma;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.stats.ControlLimits;
import org.tarebook.stats.Estimator;
import org.tarebook.stats.Moments;
import org.tarebook.stats.SigmaEstimate;
import org.tarebook.stats.chart.MovingRangeMedian;

/** Limits of single readings by the median moving range beside those by the mean. */
@Schema(
    name = "MedianRangeStudy",
    description =
        "Limits of single readings by the median moving range, beside those by the mean"
            + " moving range.")
record MedianRangeStudy(
    @Schema(description = "The window that the study was made from.") StudiedWindow window,
    @Schema(description = "Mean of the readings.") double centre,
    @Schema(description = "By the mean moving range.") RangeLimits byMean,
    @Schema(description = "By the median moving range, which wild readings hardly move.")
        @Nullable RangeLimits byMedian,
    @Schema(
            description =
                "Sigma by the mean over sigma by the median; about 1 without wild readings.")
        @Nullable Double ratio,
    String words,
    @Schema(description = "The readings in the order of time.") List<Charted> points,
    List<Flag> flags,
    List<NotComputed> notComputed) {

  /** Common practice: a fifth more is worth a look. */
  private static final double TELLING = 1.2;

  /** Limits, in the chart's unit. */
  @Schema(
      name = "MovingRangeLimits",
      description = "Limits of single readings and their moving ranges.")
  record RangeLimits(
      @Schema(description = "The mean or the median moving range.") double movingRange,
      @Schema(description = "In the unit of window.") double sigma,
      @Schema(description = "Mean of the readings, or with the median range their median.")
          double centre,
      @Schema(description = "Lower limit of a reading, in the unit of window.") double lower,
      @Schema(description = "Upper limit of a reading, in the unit of window.") double upper,
      @Schema(description = "Upper limit of a moving range.") double movingRangeUpper) {

    static RangeLimits of(double movingRange, double sigma, double centre) {
      ControlLimits limits = ControlLimits.ofIndividual(centre, sigma);
      return new RangeLimits(
          movingRange,
          sigma,
          centre,
          limits.lower(),
          limits.upper(),
          ControlLimits.ofMovingRange(sigma).upper());
    }

    boolean beyond(double value) {
      return value < lower || value > upper;
    }
  }

  /** One reading, in the chart's unit. */
  @Schema(name = "MedianRangePoint", description = "One reading.")
  record Charted(
      @Schema(description = "When it was measured.") Instant at,
      String stratum,
      @Schema(description = "Id of the reading.") String reading,
      @Schema(description = "In the unit of window.") double value,
      @Schema(description = "Absent for the first reading of a shift and stratum.")
          @Nullable Double movingRange,
      @Schema(description = "Whether it lies beyond the limits by the mean moving range.")
          boolean beyondByMean,
      @Schema(
              description =
                  "Whether it lies beyond the limits by the median moving range; absent where"
                      + " there are none.")
          @Nullable Boolean beyondByMedian) {}

  static MedianRangeStudy of(OpenedWindows.Opened opened) {
    Chart chart = opened.chart();
    if (chart.cut().kind() != Chart.Kind.INDIVIDUALS) {
      throw new Problem(
          ProblemType.RULE_BROKEN,
          "Chart "
              + chart.code()
              + " is of the kind "
              + chart.cut().kind()
              + "; moving ranges are those of single readings, kind INDIVIDUALS.");
    }
    List<Point> points = opened.window().points();
    double[] ranges =
        points.stream()
            .map(Point::moved)
            .filter(Objects::nonNull)
            .mapToDouble(moved -> moved.size().mean())
            .toArray();
    SigmaEstimate mean =
        WithinSigma.of(chart.cut(), Estimator.MOVING_RANGE, points)
            .filter(sigma -> sigma.sigma() > 0)
            .orElseThrow(
                () ->
                    OpenedWindows.tooLittle(
                        chart, points.size(), "readings with " + ranges.length + " moving ranges"));
    MovingRangeMedian median = MovingRangeMedian.ofRanges(ranges).orElseThrow();
    Moments all = Moments.EMPTY;
    for (Point point : points) {
      all = all.plus(point.subgroup().moments());
    }
    RangeLimits byMean =
        RangeLimits.of(
            ControlLimits.ofMovingRange(mean.sigma()).centre(), mean.sigma(), all.mean());
    boolean flat = !(median.sigma() > 0);
    RangeLimits byMedian =
        flat ? null : RangeLimits.of(median.median(), median.sigma(), middle(points));
    Double ratio = flat ? null : (Double) (mean.sigma() / median.sigma());
    return new MedianRangeStudy(
        StudiedWindow.of(opened.window(), points),
        all.mean(),
        byMean,
        byMedian,
        ratio,
        words(ratio),
        charted(points, byMean, byMedian),
        opened.flags(mean),
        flat
            ? List.of(
                new NotComputed(
                    "byMedian",
                    NotComputed.Reason.ZERO_SPREAD,
                    "The median moving range is 0: at least half of all neighbours are equal, as with"
                        + " a coarse instrument."))
            : List.of());
  }

  private static double middle(List<Point> points) {
    double[] values = points.stream().mapToDouble(Point::value).sorted().toArray();
    return (values[(values.length - 1) / 2] + values[values.length / 2]) / 2;
  }

  private static List<Charted> charted(
      List<Point> points, RangeLimits byMean, @Nullable RangeLimits byMedian) {
    List<Charted> charted = new ArrayList<>();
    for (Point point : OpenedWindows.listed(points)) {
      charted.add(
          new Charted(
              point.at(),
              point.stratum(),
              String.valueOf(point.lastReading()),
              point.value(),
              point.spread(Chart.Kind.INDIVIDUALS).orElse(null),
              byMean.beyond(point.value()),
              byMedian == null ? null : (Boolean) byMedian.beyond(point.value())));
    }
    return charted;
  }

  private static String words(@Nullable Double ratio) {
    if (ratio == null) {
      return "There are no limits by the median; judge by those of the mean.";
    }
    return String.format(
        Locale.ROOT,
        ratio > TELLING
            ? "The mean moving range gives limits %.2f times as wide: a few wild readings or steps"
                + " widen it. Judge by the median until they are explained."
            : "Both give about the same limits (ratio %.2f): no wild readings widen the mean.",
        ratio);
  }
}
