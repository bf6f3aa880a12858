package org.tarebook.control;

import io.swagger.v3.oas.annotations.media.Schema;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.tarebook.chart.Chart;
import org.tarebook.chart.Plan;
import org.tarebook.stats.OneWayAnova;
import org.tarebook.stats.Resolution;
import org.tarebook.stats.SigmaEstimate;

/**
 * Something that makes limits or indices doubtful, with the figures that say so.
 *
 * @param code what kind, for a program
 * @param words what it is, for a person
 * @param figures the figures it rests on, by name
 */
@Schema(name = "Flag", description = "Something that makes figures doubtful.")
public record Flag(
    @Schema(example = "TOO_FEW") Code code,
    String words,
    @Schema(description = "The figures it rests on; lengths and spreads in the chart's unit.")
        Map<String, Double> figures) {

  /** Points below which limits are doubtful: 20 subgroups, as is common practice. */
  public static final int FEWEST_SUBGROUPS = 20;

  /** The same for single readings: 100, as is common practice. */
  public static final int FEWEST_INDIVIDUALS = 100;

  /** The chance below which strata are said to differ. */
  public static final double SURE = 0.01;

  /** Kinds of doubts. */
  public enum Code {
    /** Too few points: limits and indices are rough. */
    TOO_FEW,
    /** The instrument's step is larger than sigma: spreads are wrong by what rounding did. */
    TOO_COARSE,
    /** The means of the strata differ by more than their spread explains. */
    MIXED_STRATA
  }

  /**
   * The doubts about limits or indices that come from a window.
   *
   * @param sigma the within-subgroup sigma, where it exists
   */
  public static List<Flag> of(Plan plan, ChartedWindow window, Optional<SigmaEstimate> sigma) {
    List<Flag> flags = new ArrayList<>();
    int points = window.points().size();
    boolean individuals = window.cut().kind() == Chart.Kind.INDIVIDUALS;
    int fewest = individuals ? FEWEST_INDIVIDUALS : FEWEST_SUBGROUPS;
    if (points < fewest) {
      flags.add(
          new Flag(
              Code.TOO_FEW,
              "There are %d points; common practice asks for at least %d %s."
                  .formatted(points, fewest, individuals ? "readings" : "subgroups"),
              Map.of("points", (double) points, "wanted", (double) fewest)));
    }
    sigma.ifPresent(estimate -> addTooCoarse(plan, window, estimate.sigma(), flags));
    if (window.stratum() == null) {
      addMixedStrata(window, flags);
    }
    return flags;
  }

  private static void addTooCoarse(
      Plan plan, ChartedWindow window, double sigma, List<Flag> flags) {
    double step =
        window.coarsestStep(instrument -> ChartedWindows.interval(plan, instrument, window.unit()));
    if (step > 0 && Resolution.tooCoarse(step, sigma)) {
      flags.add(
          new Flag(
              Code.TOO_COARSE,
              "The coarsest step shown, %s %s, is larger than sigma, %s %s: a finer instrument is needed."
                  .formatted(
                      Words.number(step, step),
                      window.unit().label(),
                      Words.number(sigma, sigma),
                      window.unit().label()),
              Map.of("step", step, "sigma", sigma)));
    }
  }

  private static void addMixedStrata(ChartedWindow window, List<Flag> flags) {
    OneWayAnova.of(window.strata())
        .filter(anova -> anova.p() < SURE)
        .ifPresent(
            anova ->
                flags.add(
                    new Flag(
                        Code.MIXED_STRATA,
                        "The means of the strata differ (F = %s, p = %s): study each by itself."
                            .formatted(Words.number(anova.f(), 1), Words.chance(anova.p())),
                        Map.of(
                            "f",
                            anova.f(),
                            "p",
                            anova.p(),
                            "strata",
                            (double) (anova.degreesBetween() + 1)))));
  }
}
