package org.tarebook.study;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.media.Schema;
import io.swagger.v3.oas.annotations.tags.Tag;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.RestController;
import org.tarebook.http.Page;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.stats.BandRule;
import org.tarebook.stats.CusumRule;
import org.tarebook.stats.EwmaRule;
import org.tarebook.stats.OneSideRule;
import org.tarebook.stats.RuleSet;
import org.tarebook.stats.RunRule;
import org.tarebook.stats.Side;
import org.tarebook.stats.TrendRule;
import org.tarebook.stats.ZoneRule;

/** {@code /rule-sets}: published run rules. */
@Tag(name = "Signals")
@RestController
class RuleSetController {

  @Operation(
      operationId = "listRuleSets",
      summary = "List published sets of run rules",
      description = "Each with its source and its rules as data. Rules of any set may be mixed.")
  @GetMapping("/api/v1/rule-sets")
  Page<View> sets() {
    return Page.whole(
        RuleSet.ALL.stream()
            .map(
                set ->
                    new View(
                        set.name(),
                        set.source(),
                        set.rules().stream().map(RuleSetController::view).toList()))
            .toList());
  }

  /** The rule with a code, of any set. */
  static RunRule require(String code, String pointer) {
    return RuleSet.rule(code)
        .orElseThrow(() -> Problem.at(ProblemType.UNKNOWN_CODE, pointer, RuleSet.unknown(code)));
  }

  private static Rule view(RunRule rule) {
    String code = rule.code();
    int window = rule.window();
    if (rule instanceof ZoneRule zone) {
      return new Rule(code, RuleKind.ZONE, window, zone(zone, null), null, null, null);
    } else if (rule instanceof OneSideRule oneSide) {
      return new Rule(
          code, RuleKind.ZONE, window, zone(oneSide.rule(), oneSide.side()), null, null, null);
    } else if (rule instanceof BandRule band) {
      Band shown = new Band(band.zone(), band.inside(), band.bothSides(), !band.strict());
      return new Rule(code, RuleKind.BAND, window, null, shown, null, null);
    } else if (rule instanceof EwmaRule ewma) {
      Average shown = new Average(ewma.weight(), ewma.reach());
      return new Rule(code, RuleKind.EWMA, window, null, null, shown, null);
    } else if (rule instanceof CusumRule cusum) {
      Sums shown = new Sums(cusum.allowance(), cusum.decision());
      return new Rule(code, RuleKind.CUSUM, window, null, null, null, shown);
    }
    RuleKind kind = rule instanceof TrendRule ? RuleKind.TREND : RuleKind.ALTERNATION;
    return new Rule(code, kind, window, null, null, null, null);
  }

  private static Zone zone(ZoneRule of, @Nullable Side side) {
    return new Zone(of.count(), of.zone(), side, !of.strict());
  }

  /** A set of rules. */
  @Schema(name = "RuleSet")
  record View(String name, String source, List<Rule> rules) {}

  /** Kinds of rules. */
  @Schema(name = "RuleKind")
  enum RuleKind {
    /** So many of the points lie beyond a zone on one side. */
    ZONE,
    /** All points lie inside a band about the centre line, or all outside. */
    BAND,
    /** All points rise, or all fall. */
    TREND,
    /** The points go up and down in turn. */
    ALTERNATION,
    /** The weighted average of the points lies beyond its limits. */
    EWMA,
    /** A sum of the points' deviations is above its decision value. */
    CUSUM
  }

  /**
   * A rule as data; of the last four members the one that goes with its kind.
   *
   * @param window points looked at; fewer at the start of a series, where a zone rule signals as
   *     soon as its count is reached: two of the first two as two of three
   */
  @Schema(name = "RunRule")
  record Rule(
      String code,
      RuleKind kind,
      int window,
      @Nullable Zone zone,
      @Nullable Band band,
      @Nullable Average average,
      @Nullable Sums sums) {}

  /** What counts for a zone rule; distances in sigma of a point. */
  @Schema(name = "RuleZone")
  record Zone(
      @Schema(description = "Points needed.") int count,
      double distance,
      @Schema(description = "The one half judged; absent: each half by itself.")
          @Nullable Side side,
      boolean onLineCounts) {}

  /** What counts for a band rule; distances in sigma of a point. */
  @Schema(name = "RuleBand")
  record Band(
      double distance,
      @Schema(description = "Whether points count inside; else outside.") boolean inside,
      @Schema(description = "Whether a point must lie on each side of the centre line.")
          boolean bothSides,
      boolean onLineCounts) {}

  /** A weighted average. */
  @Schema(name = "RuleAverage")
  record Average(double weight, @Schema(description = "In sigma of the average.") double reach) {}

  /** Cumulative sums, in sigma of a point. */
  @Schema(name = "RuleSums")
  record Sums(double allowance, double decision) {}
}
