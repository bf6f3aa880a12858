package org.tarebook.study;

import io.swagger.v3.oas.annotations.media.Schema;
import java.time.Instant;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.tarebook.chart.Chart;
import org.tarebook.chart.Unsettled;
import org.tarebook.control.ChartedWindow;
import org.tarebook.control.Excluded;
import org.tarebook.control.Limits;
import org.tarebook.control.Point;
import org.tarebook.control.WithinSigma;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.stats.Estimator;
import org.tarebook.stats.MethodRevision;
import org.tarebook.stats.SigmaEstimate;

/**
 * The points of one stratum of a chart's window in order, with the sigma of one point.
 *
 * @param values plotted figures, in the chart's unit
 * @param sigma of one plotted figure of the planned number of readings
 * @param limits that the window itself gives
 */
record Series(
    ChartedWindow window,
    List<Point> points,
    List<Double> values,
    double centre,
    double sigma,
    Limits limits,
    SigmaEstimate within) {

  /** What a study was made from. */
  @Schema(
      name = "StudyBasis",
      description = "The window that a study was made from, and the figures it starts with.")
  record Basis(
      String chart,
      Instant measuredFrom,
      Instant measuredBefore,
      @Schema(description = "Empty: all strata.") String stratum,
      @Schema(description = "UCUM code of the unit of every figure.") String unit,
      @Schema(description = "Number of readings of the window that count.") long readings,
      @Schema(description = "Number of points of the window.") long points,
      @Schema(description = "Readings that count but make no point, and so are left out of points.")
          long incomplete,
      @Schema(description = "Points that are not listed: those beyond the first 10,000.")
          long unlisted,
      @Schema(description = "Readings that do not count, by cause.") List<Excluded> excluded,
      @Schema(description = "How sigma was estimated.") Estimator estimator,
      @Schema(description = "Degrees of freedom of sigma on the chi scale.")
          double degreesOfFreedom,
      @Schema(description = "Sigma of one plotted point, in unit.") double sigma,
      @Schema(description = "Mean of the points, in unit.") double centre,
      @Schema(description = "Version of the chart's record that was asked for; absent for now.")
          @Nullable Long version,
      @Schema(description = StudiedWindow.AS_OF) @Nullable Instant asOf,
      @Schema(description = MethodRevision.MEANING) int methodRevision,
      @Nullable Unsettled unsettled) {}

  /**
   * Takes the points of a window.
   *
   * @throws Problem if it has fewer than ten points, or nothing varied
   */
  static Series of(OpenedWindows.Opened opened) {
    Chart chart = opened.chart();
    ChartedWindow window = opened.window();
    List<Point> points = window.points();
    Limits limits =
        Limits.of(chart.cut(), WithinSigma.require(chart, null, "estimator"), points).orElse(null);
    boolean vary =
        limits != null
            && (limits.sigmaOfPoint() > 0
                || points.stream().mapToDouble(Point::value).distinct().count() > 1);
    if (points.size() < 10 || limits == null || !vary) {
      throw tooLittle(chart, points.size(), "");
    }
    return new Series(
        window,
        points,
        points.stream().map(Point::value).toList(),
        limits.points().centre(),
        limits.sigmaOfPoint(),
        limits,
        limits.sigma());
  }

  /** The refusal of a window with too few points, or without any spread. */
  static Problem tooLittle(Chart chart, int points, String instead) {
    return new Problem(
        ProblemType.RULE_BROKEN,
        "Chart "
            + chart.code()
            + " has "
            + points
            + " points in the window; at least 10 that vary are needed. Ask for a longer window"
            + instead
            + ".");
  }

  double[] array() {
    return values.stream().mapToDouble(Double::doubleValue).toArray();
  }

  /**
   * The plotted figures as they would be of the planned number of readings: each as far from a
   * centre, in sigmas of such a figure, as it is in its own.
   *
   * @param by the limits that tell both sigmas
   */
  double[] alike(double about, Limits by) {
    double[] values = array();
    for (int i = 0; i < values.length; i++) {
      double own = by.of(window.cut(), points.get(i).subgroup().count()).sigmaOfPoint();
      if (own != by.sigmaOfPoint() && own > 0) {
        values[i] = about + (values[i] - about) * (by.sigmaOfPoint() / own);
      }
    }
    return values;
  }

  Basis basis(Chart chart) {
    String stratum = window.stratum();
    return new Basis(
        chart.code(),
        window.asked().from(),
        window.asked().before(),
        stratum == null ? "" : stratum,
        window.unit().code(),
        window.readings().size(),
        points.size(),
        window.incomplete(),
        OpenedWindows.unlisted(points.size()),
        Excluded.list(window.uncounted()),
        within.estimator(),
        within.degreesOfFreedom(),
        sigma,
        centre,
        StudiedWindow.version(window),
        StudiedWindow.moment(window),
        MethodRevision.NOW,
        window.unsettled());
  }
}
