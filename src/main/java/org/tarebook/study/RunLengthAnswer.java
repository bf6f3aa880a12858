package org.tarebook.study;

import io.swagger.v3.oas.annotations.media.Schema;
import java.util.List;
import java.util.Locale;
import org.jspecify.annotations.Nullable;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.stats.RuleCost;
import org.tarebook.stats.RunRule;
import org.tarebook.stats.RunRuleChances;
import org.tarebook.stats.Spread;
import org.tarebook.stats.ZoneRule;
import org.tarebook.stats.chart.EstimatedLimits;
import org.tarebook.stats.chart.Ewma;
import org.tarebook.stats.chart.MeanRunLengths;

/** How long a chart runs to a signal, and what estimated limits cost. */
@Schema(
    name = "RunLengths",
    description = "How many points a chart takes to a signal, and what estimated limits cost.")
record RunLengthAnswer(
    @Schema(description = "What the chart judges by.", example = "BEYOND_LIMITS") String chart,
    @Schema(description = "The shift that was asked about, in sigma of a point.") double shift,
    @Schema(description = "Points to a false signal.") Length inControl,
    @Schema(description = "Points to the signal of the shift.") Length shifted,
    @Schema(
            description =
                "What it costs that limits are estimated from a baseline; absent where no"
                    + " baseline was given.")
        @Nullable Estimated estimated,
    String words) {

  /** Points to the first signal. */
  @Schema(name = "RunLength", description = "The number of points to the first signal.")
  record Length(
      @Schema(description = "Average run length: the mean number of points.") double mean,
      @Schema(description = "Absent where the mean alone is computed.") @Nullable Double sd,
      @Schema(
              description =
                  "Standard error of mean where it was simulated; absent where it is exact.")
          @Nullable Double standardError,
      @Schema(description = "How it was computed.") String how) {}

  /** What limits cost that were estimated from a baseline. */
  @Schema(
      name = "EstimatedLimitsCost",
      description = "What it costs that limits are estimated from a baseline.")
  record Estimated(
      @Schema(description = "Points of the baseline.") long points,
      @Schema(description = "Readings in one point.") int subgroupSize,
      @Schema(description = "Of sigma: pooled, or by moving ranges of single readings.")
          double degreesOfFreedom,
      @Schema(description = "Chance of a false signal at a point if the limits were known.")
          double knownFalseSignals,
      @Schema(description = "The same, averaged over all baselines of this size.")
          double falseSignals,
      @Schema(description = "One baseline in ten signals falsely more often than this.")
          double falseSignalsOfOneInTen,
      @Schema(description = "One baseline in ten runs to a false signal in fewer points.")
          double runLengthOfOneInTen) {}

  static RunLengthAnswer ofRules(
      List<RunRule> rules, double shift, @Nullable Integer baseline, int subgroupSize) {
    Estimated estimated = baseline == null ? null : estimated(reach(rules), baseline, subgroupSize);
    return answer(
        String.join(", ", rules.stream().map(RunRule::code).toList()),
        shift,
        length(rules, 0),
        length(rules, shift),
        estimated);
  }

  static RunLengthAnswer ofEwma(Ewma ewma, double shift) {
    String how = "integral equation, steady limits";
    return answer(
        String.format(Locale.ROOT, "EWMA of weight %s and reach %s", ewma.weight(), ewma.reach()),
        shift,
        new Length(MeanRunLengths.ofSteady(ewma, 0), null, null, how),
        new Length(MeanRunLengths.ofSteady(ewma, shift), null, null, how),
        null);
  }

  static RunLengthAnswer ofSums(double allowance, double decision, double headStart, double shift) {
    String how = "integral equation, both sides";
    return answer(
        String.format(
            Locale.ROOT,
            "CUSUM of allowance %s, decision value %s and head start %s",
            allowance,
            decision,
            headStart),
        shift,
        new Length(MeanRunLengths.ofCusum(allowance, decision, headStart, 0), null, null, how),
        new Length(MeanRunLengths.ofCusum(allowance, decision, headStart, shift), null, null, how),
        null);
  }

  private static RunLengthAnswer answer(
      String chart, double shift, Length inControl, Length shifted, @Nullable Estimated estimated) {
    String words =
        String.format(
            Locale.ROOT,
            "Such a chart signals falsely about once in %s points, and finds a shift of %.2f sigma"
                + " after about %s points.",
            number(inControl.mean()),
            shift,
            number(shifted.mean()));
    return new RunLengthAnswer(
        chart,
        shift,
        inControl,
        shifted,
        estimated,
        estimated == null ? words : words + words(estimated));
  }

  private static String number(double points) {
    String form = points < 100 ? "%.1f" : points < 1e6 ? "%.0f" : "%.1e";
    return String.format(Locale.ROOT, form, points);
  }

  private static String words(Estimated estimated) {
    return String.format(
        Locale.ROOT,
        " Limits from a baseline of %d points of %d are off for good: on average %.2f %% of points"
            + " signal falsely in place of %.2f %%, and with one baseline in ten it is once in %.0f"
            + " points or oftener.",
        estimated.points(),
        estimated.subgroupSize(),
        100 * estimated.falseSignals(),
        100 * estimated.knownFalseSignals(),
        estimated.runLengthOfOneInTen());
  }

  private static double reach(List<RunRule> rules) {
    if (rules.size() == 1
        && rules.get(0) instanceof ZoneRule zone
        && zone.window() == 1
        && zone.zone() > 0) {
      return zone.zone();
    }
    throw Problem.at(
        ProblemType.RULE_BROKEN,
        "baseline",
        "goes with one rule that judges single points by limits, such as BEYOND_LIMITS; for runs of"
            + " points the cost of estimated limits is not known");
  }

  private static Estimated estimated(double reach, int points, int size) {
    double degrees =
        size == 1 ? Spread.degreesOfMovingRanges(points - 1L, 1) : (double) points * (size - 1);
    EstimatedLimits limits = new EstimatedLimits(points, degrees, reach);
    double known =
        1 / RunRuleChances.runLength(List.of(new ZoneRule("LIMITS", 1, 1, reach, true)), 0).mean();
    return new Estimated(
        points,
        size,
        degrees,
        known,
        limits.meanFalseSignals(),
        limits.falseSignals(0.9),
        limits.meanRunLength(0.1));
  }

  private static Length length(List<RunRule> rules, double shift) {
    RuleCost cost;
    try {
      cost = RuleCost.of(rules, shift);
    } catch (IllegalArgumentException tooRare) {
      throw Problem.at(
          ProblemType.RULE_BROKEN,
          "rules",
          "hardly ever signal: not once in a million simulated points; add a rule");
    }
    return new Length(
        cost.runLength().mean(),
        cost.runLength().sd(),
        cost.standardError(),
        cost.standardError() == null
            ? "exact, by a Markov chain"
            : "simulated, " + cost.runs() + " runs");
  }
}
