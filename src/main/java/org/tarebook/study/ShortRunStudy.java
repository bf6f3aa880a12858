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
 *
 * @param sigmaTogether of single readings, pooled over the charts; limits of deviations come from
 *     it
 * @param meanDeviation of all points: how far the sizes together lie off their targets
 * @param spreadsEqual whether nothing speaks against one spread of all sizes; absent where untested
 */
@Schema(name = "ShortRunStudy")
record ShortRunStudy(
    Instant measuredFrom,
    Instant measuredBefore,
    @Schema(description = "UCUM code of the unit of every figure but the standardised ones.")
        String unit,
    List<Sized> sizes,
    double sigmaTogether,
    double meanDeviation,
    @Nullable SpreadTest equalSpread,
    @Nullable Boolean spreadsEqual,
    String words,
    List<Charted> points,
    @Schema(description = "Points that are not listed: those beyond the first 10,000.")
        long unlisted,
    @Schema(description = "Runs of standardised points by the four Western Electric rules.")
        List<Signalled> signals,
    List<Flag> flags,
    @Nullable Unsettled unsettled,
    List<NotComputed> notComputed) {

  private static final double SURE = 0.01;

  /** One chart; sigma is that of its single readings, in the unit of all. */
  @Schema(name = "ShortRunSize")
  record Sized(
      String chart,
      String characteristic,
      long points,
      @Schema(description = "Points left out: no target was in force when they were measured.")
          long withoutTarget,
      double sigma,
      double degreesOfFreedom,
      Estimator estimator,
      List<Excluded> excluded) {}

  /** Levene's test of the deviations about their medians. */
  @Schema(name = "EqualSpreadTest")
  record SpreadTest(double statistic, double p) {}

  /** One point; its deviation has limits as far on both sides of 0, a standardised one 3. */
  @Schema(name = "ShortRunPoint")
  record Charted(
      Instant at,
      String chart,
      String stratum,
      String lastReading,
      long readings,
      double value,
      double target,
      double deviation,
      @Schema(description = "Limit of the deviation, plus and minus.") double deviationLimit,
      boolean deviationBeyond,
      double standardised,
      boolean standardisedBeyond) {}

  /** A run of standardised points. */
  @Schema(name = "ShortRunSignal")
  record Signalled(
      String rule, @Nullable Side side, Instant firstAt, Instant completedAt, String chart) {}

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
