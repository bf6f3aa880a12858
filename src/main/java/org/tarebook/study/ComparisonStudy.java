package org.tarebook.study;

import io.swagger.v3.oas.annotations.media.Schema;
import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;
import org.tarebook.control.Point;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.stats.Moments;
import org.tarebook.stats.OneWayAnova;
import org.tarebook.stats.compare.EqualSpread;
import org.tarebook.stats.compare.KruskalWallis;
import org.tarebook.stats.compare.WelchAnova;

/** Whether the strata of a chart differ; every p is the chance of such a difference without one. */
@Schema(name = "ComparisonStudy", description = "Whether the strata of a chart differ.")
record ComparisonStudy(
    @Schema(description = "The window that the study was made from.") Series.Basis basis,
    @Schema(description = "The strata.") List<Stratum> strata,
    @Schema(
            description =
                "One-way analysis of variance of the means, for equal spreads; absent where it"
                    + " cannot be computed.")
        @Nullable Test analysisOfVariance,
    @Schema(
            description =
                "Welch's test of the means, for unequal spreads; absent where it cannot be"
                    + " computed.")
        @Nullable Test welch,
    @Schema(
            description =
                "Kruskal-Wallis test of the ranks, for any distribution; absent where it cannot"
                    + " be computed.")
        @Nullable Test kruskalWallis,
    @Schema(description = "Levene's test of equal spreads; absent where it cannot be computed.")
        @Nullable Test levene,
    @Schema(description = "What all tests together say.") String words) {

  private static final double RARE = 0.05;

  /** The tests of levels, in words. */
  private static final List<String> LEVELS =
      List.of("analysis of variance", "Welch", "Kruskal-Wallis");

  /** One stratum; mean and standard deviation of its points, in unit, as all tests take them. */
  @Schema(
      name = "ComparedStratum",
      description =
          "One stratum of a comparison; mean and standard deviation are those of its points.")
  record Stratum(
      @Schema(description = "The stratum, such as DIE=D7.") String stratum,
      @Schema(description = "In its points.") long readings,
      @Schema(description = "Number of its points.") long points,
      @Schema(description = "Of its points, in the unit of basis.") double mean,
      @Schema(description = "Of its points, in the unit of basis.") @Nullable Double sd) {}

  /** A test; the statistic is F, H or W. */
  @Schema(name = "ComparisonTest", description = "A test of whether strata differ.")
  record Test(
      @Schema(description = "The test statistic: F, H or W.") double statistic,
      @Schema(
              description =
                  "p value: the probability of a statistic at least this large if the strata did"
                      + " not differ.")
          double p) {}

  static ComparisonStudy of(Series.Basis basis, Series series) {
    Map<String, Long> readings = new TreeMap<>();
    Map<String, List<Double>> values = new TreeMap<>();
    long size = commonest(series.points());
    List<Point> compared =
        series.points().stream().filter(point -> point.subgroup().count() == size).toList();
    for (Point point : compared) {
      readings.merge(point.stratum(), point.subgroup().count(), Long::sum);
      values.computeIfAbsent(point.stratum(), name -> new ArrayList<>()).add(point.value());
    }
    Map<String, Moments> moments = new TreeMap<>();
    values.forEach(
        (name, of) -> moments.put(name, Moments.of(of.stream().map(BigDecimal::valueOf).toList())));
    if (moments.size() < 2) {
      throw new Problem(
          ProblemType.RULE_BROKEN,
          "Chart "
              + basis.chart()
              + " has one stratum in the window"
              + (compared.size() == series.points().size()
                  ? ""
                  : " with points of " + size + " readings, as most have")
              + "; there is nothing to compare. Its strata are set in the control plan.");
    }
    List<Moments> all = List.copyOf(moments.values());
    List<double[]> arrays =
        values.values().stream()
            .map(list -> list.stream().mapToDouble(Double::doubleValue).toArray())
            .toList();
    List<Stratum> strata = new ArrayList<>();
    moments.forEach(
        (name, of) ->
            strata.add(
                new Stratum(
                    name,
                    readings.getOrDefault(name, 0L),
                    of.count(),
                    of.mean(),
                    of.count() < 2 ? null : of.sd())));
    Test anova = OneWayAnova.of(all).map(test -> new Test(test.f(), test.p())).orElse(null);
    Test welch = WelchAnova.of(all).map(test -> new Test(test.f(), test.p())).orElse(null);
    Test ranks = KruskalWallis.of(arrays).map(test -> new Test(test.h(), test.p())).orElse(null);
    Test levene =
        EqualSpread.levene(arrays).map(test -> new Test(test.statistic(), test.p())).orElse(null);
    Map<String, Test> levels = new LinkedHashMap<>();
    put(levels, LEVELS.get(0), anova);
    put(levels, LEVELS.get(1), welch);
    put(levels, LEVELS.get(2), ranks);
    String said = words(levels, levene, all);
    long left = (long) series.points().size() - compared.size();
    return new ComparisonStudy(
        basis,
        strata,
        anova,
        welch,
        ranks,
        levene,
        left == 0
            ? said
            : said
                + " %d points that do not have %d readings are left out: means of other numbers scatter otherwise."
                    .formatted(left, size));
  }

  /** The number of readings that most points have; of several the largest. */
  private static long commonest(List<Point> points) {
    Map<Long, Long> counts = new TreeMap<>();
    points.forEach(point -> counts.merge(point.subgroup().count(), 1L, Long::sum));
    long most = 0;
    long size = 1;
    for (Map.Entry<Long, Long> each : counts.entrySet()) {
      if (each.getValue() >= most) {
        most = each.getValue();
        size = each.getKey();
      }
    }
    return size;
  }

  private static void put(Map<String, Test> tests, String name, @Nullable Test test) {
    if (test != null) {
      tests.put(name, test);
    }
  }

  /** What the tests say, and which could not be computed. */
  private static String words(
      Map<String, Test> levels, @Nullable Test levene, List<Moments> strata) {
    boolean single = strata.stream().anyMatch(of -> of.count() < 2);
    List<String> left = new ArrayList<>(LEVELS);
    left.removeAll(levels.keySet());
    String why = single ? "a stratum has a single point" : "the points of a stratum do not vary";
    return words(levels, single ? null : levene)
        + (left.isEmpty()
            ? ""
            : " Not computed: " + String.join(", ", left) + ", since " + why + ".")
        + (single ? " A single point has no spread to compare." : "");
  }

  private static String words(Map<String, Test> levels, @Nullable Test levene) {
    List<String> differ = new ArrayList<>();
    List<String> agree = new ArrayList<>();
    levels.forEach((name, test) -> (test.p() < RARE ? differ : agree).add(name));
    String said =
        levels.isEmpty()
            ? "There are too few points to compare levels."
            : agree.isEmpty()
                ? "The levels of the strata differ by %s."
                    .formatted(
                        levels.size() == LEVELS.size()
                            ? "every test"
                            : String.join(" and ", levels.keySet()))
                : differ.isEmpty()
                    ? "No test shows that the levels of the strata differ."
                    : "The levels of the strata differ by %s, not by %s; where spreads differ go by Welch, where points are not normal by Kruskal-Wallis."
                        .formatted(String.join(" and ", differ), String.join(" and ", agree));
    return levene == null
        ? said
        : said
            + (levene.p() < RARE
                ? " Their spreads differ by Levene's test."
                : " Levene's test shows no difference of their spreads.");
  }
}
