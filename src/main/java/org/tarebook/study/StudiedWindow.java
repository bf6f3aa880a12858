package org.tarebook.study;

import io.swagger.v3.oas.annotations.media.Schema;
import java.time.Instant;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.tarebook.chart.Unsettled;
import org.tarebook.control.ChartedWindow;
import org.tarebook.control.Excluded;
import org.tarebook.control.Point;
import org.tarebook.reading.AsOf;
import org.tarebook.stats.MethodRevision;

/** The window that a study was made from. */
@Schema(name = "StudiedWindow", description = "The window that a study was made from.")
record StudiedWindow(
    String chart,
    Instant measuredFrom,
    Instant measuredBefore,
    @Schema(description = "Empty: all strata.") String stratum,
    @Schema(description = "UCUM code of the unit of every figure.") String unit,
    @Schema(description = "Number of readings of the window that count.") long readings,
    @Schema(description = "Number of points of the window.") long points,
    @Schema(description = "Readings that count but make no point.") long incomplete,
    @Schema(description = "Points that are not listed: those beyond the first 10,000.")
        long unlisted,
    @Schema(description = "Readings that do not count, by cause.") List<Excluded> excluded,
    @Schema(description = "Version of the chart's record that was asked for; absent for now.")
        @Nullable Long version,
    @Schema(description = StudiedWindow.AS_OF) @Nullable Instant asOf,
    @Schema(description = MethodRevision.MEANING) int methodRevision,
    @Nullable Unsettled unsettled) {

  static final String AS_OF =
      "The moment that the study stands for: the beginning of the minute asked for; absent for now.";

  /** The version of the record that a window shows; absent for now. */
  static @Nullable Long version(ChartedWindow window) {
    AsOf asOf = window.asked().asOf();
    return asOf.isNow() ? null : (Long) asOf.version();
  }

  /** The moment that a window shows; absent for now. */
  static @Nullable Instant moment(ChartedWindow window) {
    AsOf asOf = window.asked().asOf();
    return asOf.isNow() ? null : asOf.moment();
  }

  static StudiedWindow of(ChartedWindow window, List<Point> points) {
    String stratum = window.stratum();
    long used = points.stream().mapToLong(point -> point.subgroup().count()).sum();
    return new StudiedWindow(
        window.asked().chart().code(),
        window.asked().from(),
        window.asked().before(),
        stratum == null ? "" : stratum,
        window.unit().code(),
        window.readings().size(),
        points.size(),
        window.readings().size() - used,
        OpenedWindows.unlisted(points.size()),
        Excluded.list(window.uncounted()),
        version(window),
        moment(window),
        MethodRevision.NOW,
        window.unsettled());
  }
}
