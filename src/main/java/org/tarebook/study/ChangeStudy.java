package org.tarebook.study;

import io.swagger.v3.oas.annotations.media.Schema;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.tarebook.control.NotComputed;
import org.tarebook.control.Point;
import org.tarebook.quantity.Decimals;
import org.tarebook.stats.Interval;
import org.tarebook.stats.LinearTrend;
import org.tarebook.stats.change.ChangePoint;
import org.tarebook.stats.change.StepTest;

/** Whether a chart changed, and when most likely. */
@Schema(name = "ChangeStudy", description = "Whether a chart changed, and when most likely.")
record ChangeStudy(
    @Schema(description = "The window that the study was made from.") Series.Basis basis,
    @Schema(description = "Confidence level of the confidence sets and intervals, between 0 and 1.")
        double confidence,
    @Schema(description = "The most likely step of the mean; absent where all points are equal.")
        @Nullable Step mean,
    @Schema(
            description =
                "The most likely step of the spread; absent where nothing varies inside the"
                    + " points.")
        @Nullable Step spread,
    @Schema(
            description =
                "A straight trend of the points; absent where all points were measured at one"
                    + " time.")
        @Nullable Trend trend,
    @Schema(description = "Whether there was a step at all, and what limits the answer.")
        String words,
    List<NotComputed> notComputed) {

  /** What is looked at. */
  @Schema(name = "ObservedSpread", description = "What a change study looks at.")
  enum Observed {
    @Schema(description = "The plotted figures.")
    POINTS,
    @Schema(description = "Readings, each about the mean of its own subgroup.")
    READINGS_IN_SUBGROUPS,
    @Schema(
        description =
            "Single readings about their mean; where the mean has a significant step, about"
                + " the mean on either side of it.")
    READINGS
  }

  /**
   * A step.
   *
   * @param p chance of so clear a step without one, if points came in any order just as well
   * @param firstPointAfter when the first point after the most likely step was measured
   * @param earliest the first possible such moment, by the confidence set
   * @param latest the last possible such moment, by the confidence set
   * @param before level before, in unit
   * @param after level after, in unit
   * @param likelihoodRatio twice the logarithm of the likelihood over that without a step; absent
   *     where nothing varies but for the step, so that its moment is certain
   */
  @Schema(name = "ChangeStep", description = "The most likely step of a level.")
  record Step(
      @Schema(description = "What was looked at.") Observed observed,
      @Schema(
              description =
                  "Chance, 0 to 1, of so clear a step without one, if points came in any order just"
                      + " as well.")
          double p,
      @Schema(description = "When the first point after the most likely step was measured.")
          Instant firstPointAfter,
      @Schema(description = "Id of the first reading of that point.") String firstReading,
      @Schema(description = "The first possible such moment, by the confidence set.")
          Instant earliest,
      @Schema(description = "The last possible such moment, by the confidence set.") Instant latest,
      @Schema(description = "The level before it: a mean or a sigma, in the unit of basis.")
          double before,
      @Schema(description = "The level after it, in the unit of basis.") double after,
      @Schema(
              description =
                  "Twice the logarithm of the likelihood over that without a step, dimensionless;"
                      + " absent where nothing varies but for the step.")
          @Nullable Double likelihoodRatio) {}

  /** A straight trend; slopes in unit an hour. */
  @Schema(name = "ChangeTrend", description = "A straight trend of the points.")
  record Trend(
      @Schema(description = "In the unit of basis, an hour.") double slopePerHour,
      @Schema(description = "Lower limit of its interval.") double lowerPerHour,
      @Schema(description = "Upper limit of its interval.") double upperPerHour,
      @Schema(description = "Chance of a slope this far from 0 without a trend.") double p) {}

  static ChangeStudy of(Series.Basis basis, Series series, double confidence) {
    double[] values = series.array();
    List<NotComputed> missing = new ArrayList<>();
    Optional<ChangePoint> ofMean = ChangePoint.ofMean(values, confidence);
    double p = StepTest.ofMean(values);
    double rare = rare(confidence);
    Step mean = step(Observed.POINTS, ofMean, p, series.points());
    Step spread = spread(series, ofMean.filter(found -> p <= rare), confidence);
    Trend trend = trend(series, values, confidence);
    miss("mean", mean, "All points are equal.", missing);
    miss("spread", spread, "Nothing varies inside the points, so there is no spread.", missing);
    miss("trend", trend, "All points were measured at one time.", missing);
    return new ChangeStudy(
        basis, confidence, mean, spread, trend, words(series, rare, mean, spread), missing);
  }

  /** The chance that the confidence leaves; 0.05, not 0.050000000000000044. */
  private static double rare(double confidence) {
    return Math.rint((1 - confidence) * 1e9) / 1e9;
  }

  private static void miss(
      String figure, @Nullable Object found, String words, List<NotComputed> missing) {
    if (found == null) {
      missing.add(new NotComputed(figure, NotComputed.Reason.ZERO_SPREAD, words));
    }
  }

  private static @Nullable Step spread(
      Series series, Optional<ChangePoint> stepOfMean, double confidence) {
    List<Point> points = series.points();
    double[] squares = new double[points.size()];
    double[] degrees = new double[points.size()];
    boolean single = points.stream().allMatch(point -> point.subgroup().count() == 1);
    double[] values = series.array();
    double level = Arrays.stream(values).map(v -> v - values[0]).average().orElse(0) + values[0];
    for (int i = 0; i < squares.length; i++) {
      int at = i;
      double about =
          stepOfMean.map(found -> at < found.at() ? found.before() : found.after()).orElse(level);
      squares[i] =
          single
              ? (values[i] - about) * (values[i] - about)
              : points.get(i).subgroup().moments().exactSquaredDeviations().doubleValue();
      degrees[i] = single ? 1 : points.get(i).subgroup().count() - 1.0;
    }
    return step(
        single ? Observed.READINGS : Observed.READINGS_IN_SUBGROUPS,
        ChangePoint.ofSpread(squares, degrees, confidence),
        StepTest.ofSpread(squares, degrees),
        points);
  }

  private static @Nullable Step step(
      Observed observed, Optional<ChangePoint> found, double p, List<Point> points) {
    if (found.isEmpty()) {
      return null;
    }
    ChangePoint change = found.get();
    Point first = points.get(change.at());
    double ratio = change.likelihoodRatio();
    return new Step(
        observed,
        p,
        first.at(),
        String.valueOf(first.firstReading()),
        points.get(change.set().get(0)).at(),
        points.get(change.set().get(change.set().size() - 1)).at(),
        change.before(),
        change.after(),
        Double.isInfinite(ratio) ? null : (Double) ratio);
  }

  private static String words(
      Series series, double rare, @Nullable Step mean, @Nullable Step spread) {
    List<String> said = new ArrayList<>();
    said.add(words("mean", mean, rare));
    said.add(words("spread", spread, rare));
    long strata = series.points().stream().map(Point::stratum).distinct().count();
    if (strata > 1) {
      said.add(
          "The points are of %d strata, whose levels may differ; ask for one with stratum."
              .formatted(strata));
    }
    if (series.points().size() > ChangePoint.LONGEST_SIMULATED) {
      said.add(
          "Of more than %d points the sets are larger than needed."
              .formatted(ChangePoint.LONGEST_SIMULATED));
    }
    return String.join(" ", said);
  }

  /**
   * Whether there was a step.
   *
   * @param rare the chance up to which a step is said to have been
   */
  private static String words(String what, @Nullable Step step, double rare) {
    if (step == null) {
      return "There is no step of the %s to look for.".formatted(what);
    }
    String p = Decimals.beside(step.p(), rare, 2);
    String bound = Decimals.beside(rare, step.p(), 2);
    String when =
        "%s, between %s and %s at this confidence"
            .formatted(step.firstPointAfter(), step.earliest(), step.latest());
    return step.p() <= rare
        ? "The %s changed (p %s, at most %s), most likely by the point of %s."
            .formatted(what, p, bound, when)
        : "Nothing shows at this confidence that the %s changed (p %s, more than %s); if it did, most likely by the point of %s."
            .formatted(what, p, bound, when);
  }

  private static @Nullable Trend trend(Series series, double[] values, double confidence) {
    Instant start = series.points().get(0).at();
    double[] hours =
        series.points().stream()
            .mapToDouble(point -> Duration.between(start, point.at()).toMillis() / 3_600_000.0)
            .toArray();
    Optional<LinearTrend> found = LinearTrend.of(hours, values);
    if (found.isEmpty()) {
      return null;
    }
    Interval slope = found.get().slopeInterval(confidence);
    return new Trend(found.get().slope(), slope.lower(), slope.upper(), found.get().slopeChance());
  }
}
