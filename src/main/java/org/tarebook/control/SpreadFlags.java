package org.tarebook.control;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.tarebook.chart.Chart;
import org.tarebook.quantity.Unit;
import org.tarebook.stats.OneWayAnova;
import org.tarebook.stats.Resolution;
import org.tarebook.stats.SigmaEstimate;
import org.tarebook.stats.Spread;
import org.tarebook.stats.SubgroupSums;
import org.tarebook.stats.baseline.Doubt;
import org.tarebook.stats.baseline.SpreadDoubts;

/** Doubts whether a window can give a sigma: too short, too coarse, dependent or wrongly cut. */
final class SpreadFlags {

  /** The largest relative standard error of sigma that is not told. */
  private static final double SIGMA_ERROR = 0.1;

  /** The chance below which a difference is told. */
  static final double SURE = 0.01;

  private static final int FEWEST_COMPARED = 5;

  private SpreadFlags() {}

  static List<Flag> of(SummarisedWindow window, double step, Optional<SigmaEstimate> sigma) {
    List<Flag> flags = new ArrayList<>();
    tooFew(window).ifPresent(flags::add);
    sigma
        .filter(estimate -> estimate.sigma() > 0)
        .flatMap(estimate -> rough(estimate, window.points()))
        .ifPresent(flags::add);
    sigma.flatMap(estimate -> tooCoarse(window, step, estimate.sigma())).ifPresent(flags::add);
    if (window.stratum() == null) {
      mixedStrata(window).ifPresent(flags::add);
    }
    FollowingPoints.flag(window).ifPresent(flags::add);
    MixedStreams.flag(window, sigma).ifPresent(flags::add);
    sigma.flatMap(estimate -> tooAlike(window, estimate.sigma())).ifPresent(flags::add);
    return flags;
  }

  private static Optional<Flag> tooFew(SummarisedWindow window) {
    long points = window.points();
    boolean individuals = window.cut().kind() == Chart.Kind.INDIVIDUALS;
    int fewest = individuals ? Flags.FEWEST_INDIVIDUALS : Flags.FEWEST_SUBGROUPS;
    return points >= fewest
        ? Optional.empty()
        : Optional.of(
            new Flag(
                Flag.Code.TOO_FEW,
                "There are %d points; common practice asks for at least %d %s."
                    .formatted(points, fewest, individuals ? "readings" : "subgroups"),
                "Told below 20 subgroups or 100 single readings; common practice.",
                Map.of("points", (double) points, "wanted", (double) fewest)));
  }

  private static Optional<Flag> rough(SigmaEstimate sigma, long points) {
    Doubt doubt = SpreadDoubts.fewSubgroups(sigma, SIGMA_ERROR);
    if (!doubt.raised()) {
      return Optional.empty();
    }
    double chance = FalseSignals.onAverage(sigma, points);
    return Optional.of(
        new Flag(
            Flag.Code.ROUGH_LIMITS,
            "Sigma is known to %.0f %% only: three-sigma limits from it call a point in control out %s on average, instead of once in 370. Take more subgroups before limits are frozen for long."
                .formatted(100 * doubt.figure(), FalseSignals.oneIn(chance)),
            "Told above a relative standard error of sigma of 10 %; common practice. Chances after C. P. Quesenberry, Journal of Quality Technology 25 (1993) 237-247.",
            Map.of(
                "sigmaError",
                doubt.figure(),
                "bound",
                doubt.bound(),
                "degreesOfFreedom",
                sigma.degreesOfFreedom(),
                "falseSignals",
                chance)));
  }

  private static Optional<Flag> tooCoarse(SummarisedWindow window, double step, double sigma) {
    if (!(step > 0) || !Resolution.tooCoarse(step, sigma)) {
      return Optional.empty();
    }
    Unit unit = window.unit();
    return Optional.of(
        new Flag(
            Flag.Code.TOO_COARSE,
            "At least a fifth of the readings are recorded in steps of %s %s or more, which is larger than sigma, %s %s: record more digits, or use a finer instrument."
                .formatted(
                    Words.number(step, step, sigma),
                    unit.label(),
                    Words.number(sigma, sigma, step),
                    unit.label()),
            "Told when the step exceeds sigma (zeros at the end that a client leaves out make it no coarser); D. J. Wheeler and R. W. Lyday, Evaluating the Measurement Process (1989).",
            Map.of("step", step, "sigma", sigma)));
  }

  private static Optional<Flag> mixedStrata(SummarisedWindow window) {
    return OneWayAnova.of(
            window.summary().points().values().stream()
                .map(sums -> sums.subgroups().readings())
                .toList())
        .filter(anova -> anova.p() < SURE)
        .map(
            anova ->
                new Flag(
                    Flag.Code.MIXED_STRATA,
                    "The means of the strata differ (F = %s, p = %s): study each by itself."
                        .formatted(Words.number(anova.f(), 1), Words.chance(anova.p())),
                    "Told below p = 0.01 of a one-way analysis of variance; the bound is common practice.",
                    Map.of(
                        "f",
                        anova.f(),
                        "p",
                        anova.p(),
                        "strata",
                        (double) (anova.degreesBetween() + 1))));
  }

  private static Optional<Flag> tooAlike(SummarisedWindow window, double within) {
    if (!window.cut().kind().repeats()) {
      return Optional.empty();
    }
    List<SubgroupSums> strata =
        window.summary().points().values().stream()
            .map(PointSums::subgroups)
            .filter(sums -> sums.subgroups() >= FEWEST_COMPARED)
            .toList();
    double total = Spread.total(window.moments()).map(SigmaEstimate::sigma).orElse(0.0);
    return strata.stream()
        .flatMap(sums -> SpreadDoubts.tooAlike(sums, SURE / strata.size()).stream())
        .filter(Doubt::raised)
        .min(Comparator.comparingDouble(Doubt::figure))
        .map(
            doubt ->
                new Flag(
                    Flag.Code.TOO_ALIKE,
                    "The means of the subgroups agree better than the spread inside them allows (chance %s; sigma within %s, of all readings %s %s): limits are too wide. Each subgroup may mix streams that differ, or figures were made up; cut subgroups from one stream, and look at how they were taken."
                        .formatted(
                            Words.chance(doubt.figure()),
                            Words.number(within, within),
                            Words.number(total, within),
                            window.unit().label()),
                    "Told below a chance of 0.01, shared among the strata, of so small an F of a one-way analysis of variance; the bound is common practice.",
                    Map.of(
                        "p",
                        doubt.figure(),
                        "bound",
                        doubt.bound(),
                        "sigmaWithin",
                        within,
                        "sigmaTotal",
                        total)));
  }
}
