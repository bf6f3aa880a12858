package org.tarebook.control;

import java.math.BigDecimal;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.tarebook.chart.Chart;
import org.tarebook.stats.Autocorrelation;

/** Doubts whether points are independent: each stratum's points in order, over all shifts. */
final class FollowingPoints {

  /** Points from which on the chance of a correlation is known well enough. */
  private static final int FEWEST = 20;

  private FollowingPoints() {}

  static Optional<Flag> flag(SummarisedWindow window) {
    List<List<Point>> strata =
        window.latestByStratum().values().stream()
            .filter(points -> points.size() >= FEWEST)
            .toList();
    if (strata.isEmpty()) {
      return Optional.empty();
    }
    double confidence = 1 - SpreadFlags.SURE / strata.size();
    Chart.Kind kind = window.cut().kind();
    return strata.stream()
        .flatMap(points -> Autocorrelation.of(values(points)).stream())
        .filter(found -> excess(found, confidence) > 1)
        .max(Comparator.comparingDouble(found -> excess(found, confidence)))
        .map(found -> flag(kind, found, found.chanceReach(confidence)));
  }

  private static double excess(Autocorrelation found, double confidence) {
    return Math.abs(found.lag1()) / found.chanceReach(confidence);
  }

  private static List<BigDecimal> values(List<Point> points) {
    return points.stream().map(point -> BigDecimal.valueOf(point.value())).toList();
  }

  private static Flag flag(Chart.Kind kind, Autocorrelation found, double reach) {
    boolean individuals = !kind.repeats();
    boolean follow = found.lag1() > 0;
    String what =
        "%s %s (correlation %s of successive ones, by chance up to %s): "
            .formatted(
                kind == Chart.Kind.INDIVIDUALS ? "Readings" : "Means of subgroups",
                follow ? "follow each other" : "swing against each other",
                Words.number(found.lag1(), 0.1),
                Words.number(reach, 0.1));
    String cost =
        individuals
            ? "moving ranges show %.0f %% of sigma, so limits from them are too %s. "
                .formatted(100 * found.movingRangeBias(), follow ? "narrow" : "wide")
            : "sigma within subgroups is not touched, but runs signal %s often than stated. "
                .formatted(follow ? "more" : "less");
    String advice =
        follow
            ? "Thin the readings out until they no longer follow each other, or put successive ones"
                + " into subgroups and chart the means as single readings; a step or drift in the"
                + " baseline does the same, so look for one first."
            : "Look for adjustments after every reading, or for two streams taking turns.";
    Map<String, Double> figures =
        individuals
            ? Map.of(
                "lag1",
                found.lag1(),
                "bound",
                reach,
                "points",
                (double) found.readings(),
                "movingRangeBias",
                found.movingRangeBias())
            : Map.of("lag1", found.lag1(), "bound", reach, "points", (double) found.readings());
    return new Flag(
        Flag.Code.AUTOCORRELATED,
        what + cost + advice,
        "Told beyond what chance gives with 99 %, shared among the strata, from 20 points on; M. S."
            + " Bartlett's large-sample variance. What it does to moving ranges: H. D. Maragah and"
            + " W. H. Woodall, Journal of Statistical Computation and Simulation 40 (1992) 29-42.",
        figures);
  }
}
