package org.tarebook.study;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.Parameter;
import io.swagger.v3.oas.annotations.media.Schema;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.validation.constraints.DecimalMax;
import jakarta.validation.constraints.DecimalMin;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.bind.annotation.RestController;
import org.tarebook.http.Page;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.stats.RuleCost;
import org.tarebook.stats.RuleSet;
import org.tarebook.stats.RunRule;
import org.tarebook.stats.ZoneRule;

/**
 * {@code /rule-sets}, {@code /run-lengths}: published run rules, and what a choice of them costs.
 */
@Tag(name = "Signals")
@RestController
class RuleSetController {

  @Operation(
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

  @Operation(
      summary = "Tell how long a chart with some run rules runs to a signal",
      description =
          "In control and at a lasting shift: exact by a Markov chain where all rules are zone rules,"
              + " else by simulation with its standard error. For independent normal points and known"
              + " limits.")
  @GetMapping("/api/v1/run-lengths")
  Lengths lengths(
      @Parameter(
              description = "Codes of rules, of any set.",
              example = "BEYOND_LIMITS,EIGHT_ON_ONE_SIDE")
          @RequestParam
          List<String> rules,
      @Parameter(description = "Lasting shift of the mean, in sigma of a point.")
          @RequestParam(defaultValue = "1")
          @DecimalMin("-5")
          @DecimalMax("5")
          double shift) {
    List<RunRule> chosen = new ArrayList<>();
    for (String code : rules) {
      chosen.add(
          all()
              .filter(rule -> rule.code().equals(code))
              .findFirst()
              .orElseThrow(
                  () ->
                      Problem.at(
                          ProblemType.UNKNOWN_CODE,
                          "rules",
                          "'"
                              + code
                              + "' is no rule; there are "
                              + String.join(", ", all().map(RunRule::code).toList()))));
    }
    if (chosen.isEmpty()) {
      throw Problem.at(ProblemType.INVALID_REQUEST, "rules", "must name at least one rule");
    }
    Length inControl;
    Length shifted;
    try {
      inControl = length(chosen, 0);
      shifted = length(chosen, shift);
    } catch (IllegalArgumentException tooRare) {
      throw Problem.at(
          ProblemType.RULE_BROKEN,
          "rules",
          "hardly ever signal: not once in a million simulated points; add a rule");
    }
    return new Lengths(
        rules,
        shift,
        inControl,
        shifted,
        String.format(
            Locale.ROOT,
            "Such a chart signals falsely about once in %.0f points, and finds a shift of %.2f sigma"
                + " after about %.1f points.",
            inControl.mean(),
            shift,
            shifted.mean()));
  }

  private static Stream<RunRule> all() {
    return RuleSet.ALL.stream().flatMap(set -> set.rules().stream());
  }

  private static Length length(List<RunRule> rules, double shift) {
    RuleCost cost = RuleCost.of(rules, shift);
    return new Length(
        cost.runLength().mean(),
        cost.runLength().sd(),
        cost.standardError(),
        cost.standardError() == null
            ? "exact, by a Markov chain"
            : "simulated, " + cost.runs() + " runs");
  }

  private static Rule view(RunRule rule) {
    return rule instanceof ZoneRule zone
        ? new Rule(rule.code(), rule.window(), zone.count(), zone.zone(), !zone.strict())
        : new Rule(rule.code(), rule.window(), null, null, null);
  }

  /** A set of rules. */
  @Schema(name = "RuleSet")
  record View(String name, String source, List<Rule> rules) {}

  /**
   * A rule.
   *
   * @param window points looked at
   * @param count of a zone rule: points needed
   * @param zone of a zone rule: distance in sigma
   * @param onLineCounts of a zone rule: whether a point exactly on the line counts
   */
  @Schema(name = "RunRule")
  record Rule(
      String code,
      int window,
      @Nullable Integer count,
      @Nullable Double zone,
      @Nullable Boolean onLineCounts) {}

  /** How long a chart runs. */
  @Schema(name = "RunLengths")
  record Lengths(
      List<String> rules, double shift, Length inControl, Length shifted, String words) {}

  /** Points to the first signal. */
  @Schema(name = "RunLength")
  record Length(double mean, double sd, @Nullable Double standardError, String how) {}
}
