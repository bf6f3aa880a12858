package org.tarebook.control;

import io.swagger.v3.oas.annotations.media.Schema;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collection;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Component;
import org.tarebook.chart.Chart;
import org.tarebook.chart.Plan;
import org.tarebook.chart.Plans;
import org.tarebook.chart.Unsettled;
import org.tarebook.http.Faults;
import org.tarebook.http.ProblemType;
import org.tarebook.http.WireId;
import org.tarebook.reading.AsOf;
import org.tarebook.reading.ReadingWindow;
import org.tarebook.stats.Estimator;
import org.tarebook.stats.RuleSet;
import org.tarebook.stats.RunRule;
import org.tarebook.stats.Side;

/** The readings of a chart charted another way, by limits computed from the window itself. */
@Component
class ChartPreview {

  private static final int MOST = 10_000;

  private final ChartedWindows windows;
  private final RuleCosts costs;
  private final Flags flags;
  private final Plans plans;

  ChartPreview(ChartedWindows windows, RuleCosts costs, Flags flags, Plans plans) {
    this.windows = windows;
    this.costs = costs;
    this.flags = flags;
    this.plans = plans;
  }

  /** What is to be previewed; absent members are those of the control plan. */
  record Wish(
      Chart.@Nullable Kind kind,
      @Nullable Integer subgroupSize,
      @Nullable List<String> rules,
      @Nullable Estimator estimator) {}

  /** A way of charting. */
  @Schema(name = "ChartedBy", description = "The way of charting that was used.")
  record Used(
      @Schema(description = "Kind of chart.") Chart.Kind kind,
      int subgroupSize,
      @Schema(description = "Codes of the run rules.") List<String> rules,
      @Schema(description = "How sigma is estimated.") Estimator estimator,
      @Schema(description = "Which of these were asked for; the others are the control plan's.")
          List<String> asked) {}

  /** A point. */
  @Schema(name = "PreviewedPoint", description = "A point of a chart, as it would be.")
  record Shown(
      @Schema(description = "Time of its last reading.") Instant at,
      String stratum,
      @Schema(description = "The sample that it is; absent where it was cut by count.")
          @Nullable String sample,
      @Schema(description = "Readings of the point that count.") long readings,
      @WireId long firstReading,
      @WireId long lastReading,
      @Schema(description = "The mean, or the single reading, in the unit.") double value,
      @Schema(description = "UCUM code of the unit of value and spread.") String unit,
      @Schema(
              description =
                  "The spread of the point, in unit: range, standard deviation or moving range by"
                      + " the kind of chart. Absent where the point has none.")
          @Nullable Double spread,
      @Schema(description = "What it completes.") List<Completed> signals) {}

  /** A signal that a point would complete. */
  @Schema(name = "PreviewedSignal", description = "A signal that a point would complete.")
  record Completed(
      @Schema(description = "Code of the run rule that the points would break.") String rule,
      @Schema(
              description =
                  "The half of the chart it would lie in; absent for rules that look at both"
                      + " halves.")
          @Nullable Side side) {}

  /** A chart as it would look. */
  @Schema(
      name = "ChartPreview",
      description = "A chart as it would look if it were charted in another way.")
  record Answer(
      String chart,
      @Schema(description = "UCUM code of the unit of every figure.") String unit,
      Instant measuredFrom,
      Instant measuredBefore,
      @Schema(description = "The way of charting that was used.") Used used,
      @Schema(description = "Limits of the window itself; absent where they do not exist.")
          @Nullable ShownLimits limits,
      @Schema(description = "Absent where the rules hardly ever signal.")
          RuleCosts.@Nullable Shown cost,
      @Schema(
              description =
                  "Points that complete a signal; one that completes several counts once.")
          long signalled,
      @Schema(description = "All points of the window, including those that are not listed.")
          long pointsInAll,
      @Schema(
              description =
                  "The points in the order of time; pointsInAll says whether some are left out.")
          List<Shown> points,
      List<Flag> flags,
      @Nullable Unsettled unsettled,
      List<NotComputed> notComputed) {}

  /**
   * What the rules of a way of charting cost. It may be simulated, so it is asked before a snapshot
   * is opened.
   */
  Optional<RuleCosts.Shown> cost(Chart chart, Wish wish) {
    return costs.find(cut(chart, wish).rules());
  }

  Answer of(
      Plan now,
      Chart chart,
      StudyWindow asked,
      WindowQuery query,
      Wish wish,
      Optional<RuleCosts.Shown> cost) {
    AsOf asOf = windows.asOf(chart, query.asOf());
    Plan plan = plans.asOf(now, asOf.moment());
    Chart.Cut cut = cut(chart, wish);
    Estimator estimator = estimator(chart, cut.kind(), wish.estimator());
    ChartedWindow window =
        windows.read(
            plan,
            new ReadingWindow.Asked(chart, asked.from(), asked.before(), asOf),
            cut,
            query.stratum());
    Optional<Limits> limits = Limits.of(cut, estimator, window.points()).filter(Limits::apart);
    Map<Long, List<Completed>> signals =
        limits
            .map(lines -> signals(cut, window.pointsByStratum().values(), lines))
            .orElse(Map.of());
    List<NotComputed> missing = new ArrayList<>();
    if (limits.isEmpty()) {
      missing.add(
          new NotComputed(
              "limits",
              NotComputed.Reason.TOO_FEW,
              "The window has %d point(s) so cut, or nothing varies in them; choose a longer window."
                  .formatted(window.points().size())));
    }
    if (cost.isEmpty()) {
      missing.add(
          new NotComputed(
              "cost",
              NotComputed.Reason.TOO_FEW,
              "These rules hardly ever signal: not once in a million simulated points."));
    }
    return new Answer(
        chart.code(),
        window.unit().code(),
        asked.from(),
        asked.before(),
        new Used(
            cut.kind(),
            cut.subgroupSize(),
            cut.rules().stream().map(RunRule::code).toList(),
            estimator,
            asked(wish)),
        limits.map(found -> ShownLimits.of(cut.kind(), window.unit(), found)).orElse(null),
        cost.orElse(null),
        signals.size(),
        window.points().size(),
        window.points().stream()
            .limit(MOST)
            .map(point -> shown(cut.kind(), window.unit().code(), point, signals))
            .toList(),
        flags.of(plan, window, limits.map(Limits::sigma)),
        window.unsettled(),
        missing);
  }

  private static Map<Long, List<Completed>> signals(
      Chart.Cut cut, Collection<List<Point>> strata, Limits limits) {
    Map<Long, List<Completed>> signals = new HashMap<>();
    for (List<Point> run : strata) {
      for (Found found : Found.in(cut, run, limits)) {
        signals
            .computeIfAbsent(found.completing().lastReading(), id -> new ArrayList<>())
            .add(new Completed(found.rule(), found.side()));
      }
    }
    return signals;
  }

  private static Shown shown(
      Chart.Kind kind, String unit, Point point, Map<Long, List<Completed>> signals) {
    return new Shown(
        point.at(),
        point.stratum(),
        point.sample(),
        point.subgroup().count(),
        point.firstReading(),
        point.lastReading(),
        point.value(),
        unit,
        point.spread(kind).orElse(null),
        signals.getOrDefault(point.lastReading(), List.of()));
  }

  private static Chart.Cut cut(Chart chart, Wish wish) {
    Chart.Cut own = chart.cut();
    Chart.Kind kind = wish.kind() == null ? own.kind() : wish.kind();
    boolean individuals = kind == Chart.Kind.INDIVIDUALS;
    Integer wanted = wish.subgroupSize();
    int size = wanted != null ? wanted : individuals ? 1 : own.subgroupSize();
    Faults faults = new Faults();
    faults.require(
        individuals == (size == 1),
        "subgroupSize",
        individuals
            ? "must be 1 for INDIVIDUALS"
            : "must be 2 to 25 for " + kind + ": a subgroup of one has no spread");
    List<RunRule> rules = own.rules();
    if (wish.rules() != null) {
      rules = wish.rules().stream().flatMap(code -> RuleSet.rule(code).stream()).toList();
      for (String code : wish.rules()) {
        faults.require(RuleSet.rule(code).isPresent(), "rules", RuleSet.unknown(code));
      }
      faults.require(!wish.rules().isEmpty(), "rules", "must name at least one rule");
    }
    faults.throwIfAny(ProblemType.RULE_BROKEN);
    return new Chart.Cut(kind, size, own.strata(), rules.stream().distinct().toList());
  }

  private static Estimator estimator(Chart chart, Chart.Kind kind, @Nullable Estimator wanted) {
    if (wanted == null) {
      Estimator usual = chart.usual().estimator();
      return kind.estimators().contains(usual) ? usual : kind.estimators().get(0);
    }
    Faults faults = new Faults();
    faults.require(
        kind.estimators().contains(wanted),
        "estimator",
        wanted
            + " does not go with the kind "
            + kind
            + "; use "
            + String.join(" or ", kind.estimators().stream().map(Enum::name).toList()));
    faults.throwIfAny(ProblemType.RULE_BROKEN);
    return wanted;
  }

  private static List<String> asked(Wish wish) {
    List<String> asked = new ArrayList<>();
    if (wish.kind() != null) {
      asked.add("kind");
    }
    if (wish.subgroupSize() != null) {
      asked.add("subgroupSize");
    }
    if (wish.rules() != null) {
      asked.add("rules");
    }
    if (wish.estimator() != null) {
      asked.add("estimator");
    }
    return asked;
  }
}
