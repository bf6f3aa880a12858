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
  @Schema(name = "RuleSet", description = "A published set of run rules.")
  record View(
      @Schema(description = "Name of the set.") String name,
      @Schema(description = "Where the set is published.") String source,
      @Schema(description = "The rules of the set.") List<Rule> rules) {}

  /** Kinds of rules. */
  @Schema(name = "RuleKind", description = "A kind of run rule.")
  enum RuleKind {
    @Schema(description = "A number of the last points lies beyond a zone on one side.")
    ZONE,
    @Schema(description = "All points lie inside a band about the centre line, or all outside it.")
    BAND,
    @Schema(description = "All points rise, or all fall.")
    TREND,
    @Schema(description = "The points go up and down alternately.")
    ALTERNATION,
    @Schema(description = "The exponentially weighted moving average lies beyond its limits.")
    EWMA,
    @Schema(description = "A cumulative sum of deviations exceeds its decision interval.")
    CUSUM
  }

  /** A rule as data; of the last four members the one that goes with its kind. */
  @Schema(
      name = "RunRule",
      description =
          "A run rule as data. Of average, band, sums and zone it has the one that goes"
              + " with its kind, if any.")
  record Rule(
      @Schema(description = "Code of the rule, by which control plans and requests name it.")
          String code,
      @Schema(description = "Kind of rule.") RuleKind kind,
      @Schema(
              description =
                  "Points looked at. At the start of a series there are fewer, and a zone rule"
                      + " signals as soon as its count is reached: two of the first two as two"
                      + " of three.")
          int window,
      @Schema(description = "Of ZONE: what it looks at.") @Nullable Zone zone,
      @Schema(description = "Of BAND: what it looks at.") @Nullable Band band,
      @Schema(description = "Of EWMA: what it looks at.") @Nullable Average average,
      @Schema(description = "Of CUSUM: what it looks at.") @Nullable Sums sums) {}

  /** What counts for a zone rule; distances in sigma of a point. */
  @Schema(
      name = "RuleZone",
      description = "What a zone rule looks at; distances in sigma of a point.")
  record Zone(
      @Schema(description = "Points needed.") int count,
      @Schema(description = "Distance of the zone from the centre line, in sigma of a point.")
          double distance,
      @Schema(description = "The one half judged; absent: each half by itself.")
          @Nullable Side side,
      @Schema(description = "Whether a point exactly on that line counts.") boolean onLineCounts) {}

  /** What counts for a band rule; distances in sigma of a point. */
  @Schema(
      name = "RuleBand",
      description = "What a band rule looks at; distances in sigma of a point.")
  record Band(
      @Schema(
              description =
                  "Distance of the edges of the band from the centre line, in sigma of a point.")
          double distance,
      @Schema(description = "Whether points count inside; else outside.") boolean inside,
      @Schema(description = "Whether a point must lie on each side of the centre line.")
          boolean bothSides,
      @Schema(description = "Whether a point exactly on an edge counts.") boolean onLineCounts) {}

  /** A weighted average. */
  @Schema(name = "RuleAverage", description = "What an EWMA rule looks at.")
  record Average(
      @Schema(description = "Weight of the newest point in the average, 0 to 1.") double weight,
      @Schema(description = "In sigma of the average.") double reach) {}

  /** Cumulative sums, in sigma of a point. */
  @Schema(
      name = "RuleSums",
      description = "What a CUSUM rule looks at; values in sigma of a point.")
  record Sums(
      @Schema(description = "Reference value k, in sigma of a point: half the shift to be found.")
          double allowance,
      @Schema(description = "Decision interval h, in sigma of a point: a sum beyond it signals.")
          double decision) {}
}
