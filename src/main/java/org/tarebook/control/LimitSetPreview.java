package org.tarebook.control;

import io.swagger.v3.oas.annotations.media.Schema;
import java.time.Instant;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.tarebook.chart.Chart;
import org.tarebook.chart.Unsettled;
import org.tarebook.http.WireId;

/** What limits a baseline gives, on the wire. */
@Schema(name = "LimitSetPreview", description = "The control limits that a baseline gives.")
record LimitSetPreview(
    String chart,
    @Schema(description = "The one stratum asked for; empty for the whole chart.") String stratum,
    @Schema(description = "UCUM code of the unit of all limits.") String unit,
    @Schema(description = "The readings and points that the limits come from.")
        LimitSetView.Baseline baseline,
    @Schema(description = "Absent where they do not exist; notComputed says why.")
        @Nullable ShownLimits limits,
    @Schema(description = "What it costs that they are estimated; absent without limits.")
        @Nullable FalseSignals falseSignals,
    @Schema(
            description =
                "Of the baseline as it came, then after each round of points set aside; rounds"
                    + " without limits are left out.")
        List<Round> rounds,
    @Schema(description = "Points that went into the limits and lie beyond them.")
        List<Beyond> beyond,
    List<Flag> flags,
    @Nullable Unsettled unsettled,
    List<NotComputed> notComputed) {

  /** A point beyond the limits that it went into itself. */
  @Schema(
      name = "LimitSetBeyond",
      description = "A point that went into the limits and lies beyond them.")
  record Beyond(
      @Schema(description = "What it breaks: the code of a run rule.", example = "BEYOND_LIMITS")
          String rule,
      @Schema(description = "Time of the point.") Instant at,
      String stratum,
      @Schema(description = "Id of the first of its readings.") @WireId long firstReading,
      @Schema(description = "Id of the last of its readings, which names it in setAside.") @WireId
          long lastReading,
      @Schema(description = "The point, or its spread, in the unit.") double value) {}

  static LimitSetPreview of(Baselines.Computed of) {
    ChartedWindow window = of.window();
    Chart chart = window.asked().chart();
    return new LimitSetPreview(
        chart.code(),
        of.wanted().stratum(),
        window.unit().code(),
        LimitSetView.Baseline.of(window),
        of.usable()
            .map(limits -> ShownLimits.of(chart.cut().kind(), window.unit(), limits))
            .orElse(null),
        of.usable()
            .map(limits -> FalseSignals.of(limits.sigma(), of.outcome().kept().size()))
            .orElse(null),
        of.outcome().rounds(),
        of.beyond().stream()
            .map(
                found ->
                    new Beyond(
                        found.rule(),
                        found.completing().at(),
                        found.completing().stratum(),
                        found.completing().firstReading(),
                        found.completing().lastReading(),
                        found.value()))
            .toList(),
        of.flags(),
        window.unsettled(),
        of.notComputed().stream().toList());
  }
}
