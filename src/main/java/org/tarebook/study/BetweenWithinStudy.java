package org.tarebook.study;

import io.swagger.v3.oas.annotations.media.Schema;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.tarebook.chart.Chart;
import org.tarebook.control.Flag;
import org.tarebook.control.Limits;
import org.tarebook.control.Point;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.stats.ControlLimits;
import org.tarebook.stats.chart.BetweenWithin;

/**
 * Three charts of subgroups that hold several cavities, heads or places: their means as single
 * readings, the moving range of the means, and the spread inside.
 *
 * @param sigmaWithin inside a subgroup, pooled
 * @param sigmaBetween what the means scatter beyond that; 0 where the spread inside explains them
 * @param sigmaTogether of single readings, both parts together
 */
@Schema(
    name = "BetweenWithinStudy",
    description =
        "Three charts of subgroups that hold several cavities, heads or places: their"
            + " means as single readings, the moving range of the means, and the spread inside.")
record BetweenWithinStudy(
    @Schema(description = "The window that the study was made from.") StudiedWindow window,
    @Schema(description = "Limits of the means, from how means move.") LimitLines means,
    @Schema(description = "Limits of the moving range of the means.") LimitLines movingRanges,
    @Schema(description = "Limits of the standard deviation inside a subgroup.") LimitLines within,
    @Schema(description = "Of readings inside a subgroup, in the unit of window.")
        double sigmaWithin,
    @Schema(description = "Degrees of freedom of sigmaWithin.") double degreesOfFreedom,
    @Schema(description = "Of the means beyond that, in the unit of window.") double sigmaBetween,
    @Schema(description = "Of both together, in the unit of window.") double sigmaTogether,
    String words,
    @Schema(description = "The subgroups in the order of time.") List<Charted> points,
    List<Flag> flags) {

  /** One subgroup, in the chart's unit. */
  @Schema(name = "BetweenWithinPoint", description = "One subgroup of a between/within study.")
  record Charted(
      @Schema(description = "Time of its last reading.") Instant at,
      String firstReading,
      String lastReading,
      @Schema(description = "In the unit of window.") double mean,
      @Schema(description = "From the subgroup before; absent for the first.")
          @Nullable Double movingRange,
      @Schema(description = "Absent for a sample of one reading.") @Nullable Double sd,
      @Schema(description = "Whether the mean lies beyond its limits.") boolean meanBeyond,
      @Schema(
              description =
                  "Whether the moving range lies beyond its limits; false for the first subgroup,"
                      + " which has none.")
          boolean movingRangeBeyond,
      @Schema(
              description =
                  "Whether the standard deviation lies beyond its limits; absent for a sample of"
                      + " one reading.")
          @Nullable Boolean sdBeyond) {}

  static BetweenWithinStudy of(OpenedWindows.Opened opened) {
    int size = opened.chart().cut().subgroupSize();
    if (size < 2) {
      throw new Problem(
          ProblemType.RULE_BROKEN,
          "Chart "
              + opened.chart().code()
              + " takes single readings; between and within are told apart by subgroups of 2 and more.");
    }
    List<Point> points = opened.window().points();
    List<String> strata = points.stream().map(Point::stratum).distinct().sorted().toList();
    if (strata.size() > 1) {
      throw Problem.at(
          ProblemType.RULE_BROKEN,
          "stratum",
          "is needed: the means of different strata do not follow each other; there are "
              + String.join(", ", strata));
    }
    Optional<BetweenWithin> found =
        BetweenWithin.of(points.stream().map(Point::subgroup).toList(), size)
            .filter(each -> each.sigmaTogether().sigma() > 0);
    if (found.isEmpty()) {
      throw OpenedWindows.tooLittle(opened.chart(), points.size(), "subgroups");
    }
    BetweenWithin charts = found.get();
    return new BetweenWithinStudy(
        StudiedWindow.of(opened.window(), points),
        LimitLines.of(charts.means()),
        LimitLines.of(charts.movingRanges()),
        LimitLines.of(charts.within()),
        charts.sigmaWithin().sigma(),
        charts.sigmaWithin().degreesOfFreedom(),
        charts.sigmaBetween(),
        charts.sigmaTogether().sigma(),
        charts.sigmaBetween() > 0
            ? "The means scatter by more than the spread inside a subgroup explains."
            : "The spread inside a subgroup explains how the means scatter.",
        charted(opened.chart().cut(), points, charts),
        opened.flags(charts.sigmaWithin()));
  }

  /** Limits of a moving range of two means, each of its own number of readings. */
  private static ControlLimits ofMove(Limits limits, Chart.Cut cut, Point before, Point point) {
    double one = limits.of(cut, before.subgroup().count()).sigmaOfPoint();
    double other = limits.of(cut, point.subgroup().count()).sigmaOfPoint();
    return ControlLimits.ofMovingRange(one == other ? one : Math.hypot(one, other) / Math.sqrt(2));
  }

  private static List<Charted> charted(Chart.Cut cut, List<Point> points, BetweenWithin charts) {
    Limits limits = Limits.of(charts);
    List<Charted> charted = new ArrayList<>();
    for (int i = 0; i < OpenedWindows.listed(points).size(); i++) {
      Point point = points.get(i);
      Limits.OfPoint lines = limits.of(cut, point.subgroup().count());
      Double spread = point.spread(cut.kind()).orElse(null);
      double moved = i == 0 ? 0 : Math.abs(point.value() - points.get(i - 1).value());
      charted.add(
          new Charted(
              point.at(),
              String.valueOf(point.firstReading()),
              String.valueOf(point.lastReading()),
              point.value(),
              i == 0 ? null : moved,
              spread,
              LimitLines.of(lines.points()).beyond(point.value()),
              i > 0 && LimitLines.of(ofMove(limits, cut, points.get(i - 1), point)).beyond(moved),
              (spread == null || lines.spread() == null)
                  ? null
                  : (Boolean) LimitLines.of(lines.spread()).beyond(spread)));
    }
    return charted;
  }
}
