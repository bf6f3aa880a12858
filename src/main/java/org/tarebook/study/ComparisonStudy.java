package org.tarebook.study;

import io.swagger.v3.oas.annotations.media.Schema;
import java.util.ArrayList;
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
@Schema(name = "ComparisonStudy")
record ComparisonStudy(
    Series.Basis basis,
    List<Stratum> strata,
    @Nullable Test analysisOfVariance,
    @Nullable Test welch,
    @Nullable Test kruskalWallis,
    @Nullable Test levene) {

  /** One stratum; mean and standard deviation in unit. */
  @Schema(name = "ComparedStratum")
  record Stratum(String stratum, long readings, double mean, @Nullable Double sd) {}

  /** A test; the statistic is F, H or W. */
  @Schema(name = "ComparisonTest")
  record Test(double statistic, double p) {}

  static ComparisonStudy of(Series.Basis basis, Series series) {
    Map<String, Moments> moments = new TreeMap<>();
    Map<String, List<Double>> values = new TreeMap<>();
    for (Point point : series.points()) {
      moments.merge(point.stratum(), point.subgroup().moments(), Moments::plus);
      values.computeIfAbsent(point.stratum(), name -> new ArrayList<>()).add(point.value());
    }
    if (moments.size() < 2) {
      throw new Problem(
          ProblemType.RULE_BROKEN,
          "Chart "
              + basis.chart()
              + " has one stratum in the window; there is nothing to compare. Its strata are set in"
              + " the control plan.");
    }
    List<Moments> all = List.copyOf(moments.values());
    List<double[]> arrays =
        values.values().stream()
            .map(list -> list.stream().mapToDouble(Double::doubleValue).toArray())
            .toList();
    List<Stratum> strata = new ArrayList<>();
    moments.forEach(
        (name, of) ->
            strata.add(new Stratum(name, of.count(), of.mean(), of.count() < 2 ? null : of.sd())));
    return new ComparisonStudy(
        basis,
        strata,
        OneWayAnova.of(all).map(test -> new Test(test.f(), test.p())).orElse(null),
        WelchAnova.of(all).map(test -> new Test(test.f(), test.p())).orElse(null),
        KruskalWallis.of(arrays).map(test -> new Test(test.h(), test.p())).orElse(null),
        EqualSpread.levene(arrays).map(test -> new Test(test.statistic(), test.p())).orElse(null));
  }
}
