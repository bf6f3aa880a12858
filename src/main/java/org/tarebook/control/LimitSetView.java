package org.tarebook.control;

import io.swagger.v3.oas.annotations.media.Schema;
import java.time.Instant;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.tarebook.chart.Chart;

/** A limit set on the wire. */
@Schema(
    name = "LimitSet",
    description = "Control limits that were computed from a baseline and frozen.")
record LimitSetView(
    String code,
    String chart,
    @Schema(description = "Empty: every stratum without a set of its own.") String stratum,
    @Schema(description = "UCUM code of the unit of all limits.", example = "[lb_av]") String unit,
    @Schema(description = "The readings and points that the limits come from.") Baseline baseline,
    @Schema(
            description =
                "Readings of the chart in the baseline's window that were added, amended, doubted"
                    + " or moved into other shifts since; of all strata.")
        long baselineChanged,
    @Schema(description = "The control limits.") ShownLimits limits,
    @Schema(
            description =
                "How the limits were found: of the baseline as it came, then after each round of"
                    + " points set aside. Empty for sets from before rounds were recorded.")
        List<Round> rounds,
    @Schema(description = "Readings in one point.", example = "5") int subgroupSize,
    @Schema(description = "First moment whose points it judges.") Instant inForceFrom,
    String reason,
    String person,
    Instant recordedAt,
    @Schema(description = "Who withdrew it, when and why; absent while it stands.")
        @Nullable Withdrawal withdrawal) {

  /** That a limit set judges nothing any more. */
  @Schema(
      name = "LimitSetWithdrawal",
      description = "The withdrawal of a limit set, which then judges no more points.")
  record Withdrawal(String key, String reason, String person, Instant recordedAt) {

    static @Nullable Withdrawal of(LimitSet.@Nullable Withdrawal withdrawal) {
      return withdrawal == null
          ? null
          : new Withdrawal(
              withdrawal.key(), withdrawal.reason(), withdrawal.person(), withdrawal.recordedAt());
    }
  }

  /** What limits were or would be computed from. */
  @Schema(name = "LimitSetBaseline", description = "What control limits are computed from.")
  record Baseline(
      Instant measuredFrom,
      Instant measuredBefore,
      @Schema(description = "Readings that count.", example = "100") long readings,
      @Schema(description = "Points they make, set aside or not.", example = "20") long points,
      @Schema(description = "Counted readings that make no point.", example = "3") long incomplete,
      @Schema(description = "Readings of the chart's window that do not count.")
          List<Excluded> excluded) {

    static Baseline of(ChartedWindow window) {
      return new Baseline(
          window.asked().from(),
          window.asked().before(),
          window.readings().size(),
          window.points().size(),
          window.incomplete(),
          Excluded.list(window.uncounted()));
    }
  }

  static LimitSetView of(Chart chart, LimitSet set, long changed, List<Round> rounds) {
    LimitSet.Baseline baseline = set.baseline();
    return new LimitSetView(
        set.code(),
        chart.code(),
        set.stratum(),
        set.unit().code(),
        new Baseline(
            baseline.from(),
            baseline.before(),
            baseline.readings(),
            baseline.points(),
            baseline.incomplete(),
            Excluded.list(baseline.uncounted())),
        changed,
        ShownLimits.of(chart.cut().kind(), set.unit(), set.limits()),
        rounds,
        chart.cut().subgroupSize(),
        set.inForceFrom(),
        set.signed().reason(),
        set.signed().person(),
        set.signed().recordedAt(),
        Withdrawal.of(set.withdrawal()));
  }
}
