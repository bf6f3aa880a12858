package org.tarebook.study;

import io.swagger.v3.oas.annotations.media.Schema;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.tarebook.control.Point;
import org.tarebook.stats.Interval;
import org.tarebook.stats.LinearTrend;
import org.tarebook.stats.change.ChangePoint;

/** When a chart changed, most likely. */
@Schema(name = "ChangeStudy")
record ChangeStudy(
    Series.Basis basis,
    double confidence,
    @Nullable Step mean,
    @Nullable Step spread,
    @Nullable Trend trend) {

  /**
   * A step.
   *
   * @param firstPointAfter when the first point behind the most likely step was measured
   * @param earliest the first possible such moment, by the confidence set
   * @param latest the last possible such moment, by the confidence set
   * @param before level before, in unit
   * @param after level after, in unit
   * @param likelihoodRatio twice the logarithm of the likelihood over that without a step
   */
  @Schema(name = "ChangeStep")
  record Step(
      Instant firstPointAfter,
      String firstReading,
      Instant earliest,
      Instant latest,
      double before,
      double after,
      double likelihoodRatio) {}

  /** A straight trend; slopes in unit an hour. */
  @Schema(name = "ChangeTrend")
  record Trend(
      double slopePerHour,
      double lowerPerHour,
      double upperPerHour,
      @Schema(description = "Chance of a slope this far from 0 without a trend.") double p) {}

  static ChangeStudy of(Series.Basis basis, Series series, double confidence) {
    double[] values = series.array();
    return new ChangeStudy(
        basis,
        confidence,
        step(ChangePoint.ofMean(values, confidence), series.points()),
        step(ChangePoint.ofSpread(values, confidence), series.points()),
        trend(series, values, confidence));
  }

  private static @Nullable Step step(Optional<ChangePoint> found, List<Point> points) {
    if (found.isEmpty()) {
      return null;
    }
    ChangePoint change = found.get();
    Point first = points.get(change.at());
    return new Step(
        first.at(),
        String.valueOf(first.firstReading()),
        points.get(change.set().get(0)).at(),
        points.get(change.set().get(change.set().size() - 1)).at(),
        change.before(),
        change.after(),
        change.likelihoodRatio());
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
