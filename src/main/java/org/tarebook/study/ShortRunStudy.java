package org.tarebook.study;

import io.swagger.v3.oas.annotations.media.Schema;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.tarebook.chart.Unsettled;
import org.tarebook.control.Excluded;
import org.tarebook.control.Flag;
import org.tarebook.control.Flags;
import org.tarebook.control.NotComputed;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.stats.Estimator;
import org.tarebook.stats.RunRules;
import org.tarebook.stats.Side;
import org.tarebook.stats.ZoneRule;
import org.tarebook.stats.chart.ShortRun;
import org.tarebook.stats.compare.EqualSpread;

/**
 * Several sizes on one chart in the order of time, each point as its distance from its own target
 * and standardised by its own sigma.
 */
@Schema(
    name = "ShortRunStudy",
    description =
        "Several sizes on one chart in the order of time. Each point is shown by its"
            + " distance from its own target, and standardised by its own sigma.")
record ShortRunStudy(
    Instant measuredFrom,
    Instant measuredBefore,
    @Schema(description = "UCUM code of the unit of every figure but the standardised ones.")
        String unit,
    @Schema(description = "The charts that are studied together.") List<Sized> sizes,
    @Schema(
            description =
                "Sigma of single readings, pooled over the charts, in unit; the limits of"
                    + " deviations come from it.")
        double sigmaTogether,
    @Schema(
            description =
                "Mean deviation of all points, in unit: how far the sizes together are from"
                    + " their targets.")
        double meanDeviation,
    @Schema(
            description =
                "Test of whether the sizes have one spread; absent where it cannot be computed.")
        @Nullable SpreadTest equalSpread,
    @Schema(
            description =
                "Whether the test found no difference of spread; absent where it was not tested.")
        @Nullable Boolean spreadsEqual,
    String words,
    @Schema(description = "The points in the order of time.") List<Charted> points,
    @Schema(description = "Points that are not listed: those beyond the first 10,000.")
        long unlisted,
    @Schema(description = "Runs of standardised points by the four Western Electric rules.")
        List<Signalled> signals,
    List<Flag> flags,
    @Nullable Unsettled unsettled,
    List<NotComputed> notComputed) {

  private static final double SURE = 0.01;

  /** One chart; sigma is that of its single readings, in the unit of all. */
  @Schema(name = "ShortRunSize", description = "One of the charts that are studied together.")
  record Sized(
      String chart,
      String characteristic,
      @Schema(description = "Number of its points.") long points,
      @Schema(description = "Points left out: no target was in force when they were measured.")
          long withoutTarget,
      @Schema(description = "Sigma of its single readings, in the unit of the study.") double sigma,
      double degreesOfFreedom,
      @Schema(description = "How sigma was estimated.") Estimator estimator,
      @Schema(description = "Readings that do not count, by cause.") List<Excluded> excluded) {}

  /** Levene's test of the deviations about their medians. */
  @Schema(
      name = "EqualSpreadTest",
      description = "Levene's test of whether the sizes have one spread.")
  record SpreadTest(
      @Schema(description = "The test statistic W.") double statistic,
      @Schema(
              description =
                  "p value: the probability of a statistic at least this large if the spreads were"
                      + " equal.")
          double p) {}

  /** One point; its deviation has limits as far on both sides of 0, a standardised one 3. */
  @Schema(name = "ShortRunPoint", description = "One point of a short-run study.")
  record Charted(
      @Schema(description = "Time of the point.") Instant at,
      @Schema(description = "Code of the chart that the point is from.") String chart,
      String stratum,
      String lastReading,
      @Schema(description = "Number of readings in the point.") long readings,
      @Schema(description = "The mean, or the single reading, in the unit of the study.")
          double value,
      @Schema(
              description =
                  "Target of the specification in force when it was measured, in the unit of the"
                      + " study.")
          double target,
      @Schema(description = "Value less target, in the unit of the study.") double deviation,
      @Schema(description = "Limit of the deviation, plus and minus.") double deviationLimit,
      @Schema(description = "Whether the deviation lies beyond its limit.") boolean deviationBeyond,
      @Schema(
              description =
                  "Deviation over the sigma of such a point of its own chart; its limits are -3"
                      + " and 3.")
          double standardised,
      @Schema(description = "Whether the standardised deviation lies beyond its limits.")
          boolean standardisedBeyond) {}

  /** A run of standardised points. */
  @Schema(
      name = "ShortRunSignal",
      description = "A run of standardised points that breaks a run rule.")
  record Signalled(
      @Schema(description = "Code of the run rule.") String rule,
      @Schema(
              description =
                  "The half of the chart it lies in; absent for rules that look at both halves.")
          @Nullable Side side,
      @Schema(description = "Time of the first point of the run.") Instant firstAt,
      @Schema(description = "Time of the point that completed it.") Instant completedAt,
      @Schema(description = "Code of the chart that the completing point is from.") String chart) {}

  static ShortRunStudy of(ShortRuns.Read read) {
    List<ShortRuns.Placed> placed = read.placed();
    if (placed.size() < 2) {
      throw new Problem(
          ProblemType.RULE_BROKEN,
          "There are "
              + placed.size()
              + " points with a target in the window; at least 2 are needed. A specification says the"
              + " target, or has two limits with it in the middle.");
    }
    List<ShortRun.Point> figures = placed.stream().map(ShortRuns.Placed::figures).toList();
    double[] deviations = ShortRun.deviations(figures);
    double[] standardised = ShortRun.standardised(figures);
    double together = together(read.sizes());
    List<Charted> charted = new ArrayList<>();
    for (int i = 0; i < OpenedWindows.listed(placed).size(); i++) {
      charted.add(charted(placed.get(i), deviations[i], standardised[i], together));
    }
    Optional<EqualSpread> test = EqualSpread.levene(scaled(read, deviations));
    Boolean equal = test.map(found -> found.p() >= SURE).orElse(null);
    return new ShortRunStudy(
        read.window().from(),
        read.window().before(),
        read.unit().code(),
        read.sizes().stream().map(size -> sized(size, placed)).toList(),
        together,
        Arrays.stream(deviations).average().orElse(0),
        test.map(found -> new SpreadTest(found.statistic(), found.p())).orElse(null),
        equal,
        words(test.orElse(null)),
        charted,
        OpenedWindows.unlisted(placed.size()),
        signals(placed, standardised),
        flags(read),
        Unsettled.together(read.sizes().stream().map(size -> size.window().unsettled()).toList()),
        test.isPresent()
            ? List.of()
            : List.of(
                new NotComputed(
                    "equalSpread",
                    NotComputed.Reason.TOO_FEW,
                    "The test takes points that vary of two charts and more.")));
  }

  /** Deviations by chart, each times the root of its readings, so that sizes can be compared. */
  private static List<double[]> scaled(ShortRuns.Read read, double[] deviations) {
    List<List<Double>> byChart = new ArrayList<>();
    for (ShortRuns.Size size : read.sizes()) {
      List<Double> own = new ArrayList<>();
      for (int i = 0; i < deviations.length; i++) {
        if (read.placed().get(i).isOf(size)) {
          own.add(deviations[i] * Math.sqrt((double) read.placed().get(i).figures().n()));
        }
      }
      byChart.add(own);
    }
    return byChart.stream()
        .filter(own -> !own.isEmpty())
        .map(own -> own.stream().mapToDouble(Double::doubleValue).toArray())
        .toList();
  }

  private static double together(List<ShortRuns.Size> sizes) {
    double squares = 0;
    double degrees = 0;
    for (ShortRuns.Size size : sizes) {
      double sigma = size.sigma().sigma() * size.factor();
      squares += size.sigma().degreesOfFreedom() * sigma * sigma;
      degrees += size.sigma().degreesOfFreedom();
    }
    return Math.sqrt(squares / degrees);
  }

  private static Sized sized(ShortRuns.Size size, List<ShortRuns.Placed> placed) {
    long found = placed.stream().filter(each -> each.isOf(size)).count();
    return new Sized(
        size.chart().code(),
        size.characteristic().code(),
        found,
        size.window().points().size() - found,
        size.sigma().sigma() * Math.abs(size.factor()),
        size.sigma().degreesOfFreedom(),
        size.sigma().estimator(),
        Excluded.list(size.window().uncounted()));
  }

  private static Charted charted(
      ShortRuns.Placed placed, double deviation, double standardised, double together) {
    ShortRun.Point figures = placed.figures();
    double limit = 3 * together / Math.sqrt((double) figures.n());
    return new Charted(
        placed.point().at(),
        placed.size().chart().code(),
        placed.point().stratum(),
        String.valueOf(placed.point().lastReading()),
        figures.n(),
        figures.value(),
        figures.target(),
        deviation,
        limit,
        Math.abs(deviation) > limit,
        standardised,
        Math.abs(standardised) > ShortRun.STANDARDISED.upper());
  }

  private static List<Signalled> signals(List<ShortRuns.Placed> placed, double[] standardised) {
    return RunRules.signals(standardised, ZoneRule.WESTERN_ELECTRIC).stream()
        .limit(OpenedWindows.MOST_POINTS)
        .map(
            signal ->
                new Signalled(
                    signal.rule().code(),
                    signal.side(),
                    placed.get(signal.first()).point().at(),
                    placed.get(signal.completedAt()).point().at(),
                    placed.get(signal.completedAt()).size().chart().code()))
        .toList();
  }

  private static List<Flag> flags(ShortRuns.Read read) {
    List<Flag> flags = new ArrayList<>();
    for (ShortRuns.Size size : read.sizes()) {
      flags.addAll(
          OpenedWindows.few(
              size.window().points().size(),
              Flags.FEWEST_SUBGROUPS,
              "points of " + size.chart().code()));
    }
    return flags;
  }

  private static String words(@Nullable EqualSpread test) {
    if (test == null) {
      return "Whether the sizes have one spread was not tested: judge by the standardised points.";
    }
    return String.format(
        Locale.ROOT,
        test.p() < SURE
            ? "The sizes differ in spread (p = %.2g): do not believe the limits of the deviations,"
                + " judge by the standardised points."
            : "Nothing tells the spreads of the sizes apart (p = %.2g): the limits of the deviations"
                + " may be believed.",
        test.p());
  }
}
