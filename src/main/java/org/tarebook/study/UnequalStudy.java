package org.tarebook.study;

import io.swagger.v3.oas.annotations.media.Schema;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.tarebook.control.Flag;
import org.tarebook.control.Flags;
import org.tarebook.control.NotComputed;
import org.tarebook.control.Point;
import org.tarebook.control.ShiftCut;
import org.tarebook.stats.ControlLimits;
import org.tarebook.stats.Estimator;
import org.tarebook.stats.chart.SubgroupChart;

/**
 * Means and standard deviations of all readings of each shift, however many, each with its own
 * limits.
 *
 * @param centre mean of all readings
 * @param sigma pooled over the shifts, without a bias correction
 */
@Schema(
    name = "UnequalSubgroupStudy",
    description =
        "Means and standard deviations of all readings of each shift, however many there"
            + " are, each with its own limits.")
record UnequalStudy(
    @Schema(description = "The window that the study was made from.") StudiedWindow window,
    @Schema(description = "In the unit of window.") double centre,
    @Schema(description = "In the unit of window.") double sigma,
    double degreesOfFreedom,
    @Schema(description = "How sigma was estimated.") Estimator estimator,
    @Schema(description = "The points in the order of time.") List<Charted> points,
    List<Flag> flags,
    List<NotComputed> notComputed) {

  /** All readings of a shift, and of a stratum where there are strata; in the chart's unit. */
  @Schema(
      name = "UnequalSubgroupPoint",
      description = "All readings of a shift; where the chart has strata, of a shift and stratum.")
  record Charted(
      @Schema(description = "The plant's day of the shift.") String day,
      @Schema(description = "Name of the shift.") String shift,
      @Schema(description = "Time of its last reading.") Instant at,
      String stratum,
      String firstReading,
      String lastReading,
      @Schema(description = "Number of its readings.") long readings,
      @Schema(description = "In the unit of window.") double mean,
      @Schema(description = "Lower limit of the mean, in the unit of window.") double lower,
      @Schema(description = "Upper limit of the mean, in the unit of window.") double upper,
      @Schema(description = "Whether the mean lies beyond its limits.") boolean meanBeyond,
      @Schema(description = "Absent for one reading.") @Nullable Double sd,
      @Schema(description = "In the unit of window.") @Nullable Double sdCentre,
      @Schema(description = "In the unit of window.") @Nullable Double sdLower,
      @Schema(description = "In the unit of window.") @Nullable Double sdUpper,
      @Schema(
              description =
                  "Whether the standard deviation lies beyond its limits; absent for one reading.")
          @Nullable Boolean sdBeyond) {}

  static UnequalStudy of(OpenedWindows.Opened opened) {
    List<Point> shifts = ShiftCut.points(opened.plan(), opened.window());
    SubgroupChart chart =
        SubgroupChart.of(shifts.stream().map(Point::subgroup).toList())
            .filter(found -> shifts.size() > 1 && found.sigma().sigma() > 0)
            .orElseThrow(
                () ->
                    OpenedWindows.tooLittle(
                        opened.chart(), shifts.size(), "shifts with two readings and more"));
    List<Charted> charted = new ArrayList<>();
    for (int i = 0; i < OpenedWindows.listed(shifts).size(); i++) {
      charted.add(charted(shifts.get(i), chart.points().get(i)));
    }
    long single = shifts.stream().filter(point -> point.subgroup().count() == 1).count();
    return new UnequalStudy(
        StudiedWindow.of(opened.window(), shifts),
        chart.centre(),
        chart.sigma().sigma(),
        chart.sigma().degreesOfFreedom(),
        chart.sigma().estimator(),
        charted,
        OpenedWindows.few(shifts.size(), Flags.FEWEST_SUBGROUPS, "shifts"),
        single == 0
            ? List.of()
            : List.of(
                new NotComputed(
                    "sd",
                    NotComputed.Reason.TOO_FEW,
                    single
                        + (single == 1 ? " shift has" : " shifts have")
                        + " one reading, which has no standard deviation.")));
  }

  private static Charted charted(Point shift, SubgroupChart.Point point) {
    Double sd = point.sd();
    ControlLimits sdLimits = point.sdLimits();
    return new Charted(
        shift.segment().shift().day().toString(),
        shift.segment().shift().name(),
        shift.at(),
        shift.stratum(),
        String.valueOf(shift.firstReading()),
        String.valueOf(shift.lastReading()),
        shift.subgroup().count(),
        point.mean(),
        point.meanLimits().lower(),
        point.meanLimits().upper(),
        LimitLines.of(point.meanLimits()).beyond(point.mean()),
        sd,
        sdLimits == null ? null : sdLimits.centre(),
        sdLimits == null ? null : sdLimits.lower(),
        sdLimits == null ? null : sdLimits.upper(),
        (sd == null || sdLimits == null) ? null : LimitLines.of(sdLimits).beyond(sd));
  }
}
