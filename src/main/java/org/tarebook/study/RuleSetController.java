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
import org.tarebook.stats.RuleSet;
import org.tarebook.stats.RunRule;
import org.tarebook.stats.ZoneRule;

/** {@code /rule-sets}: published run rules. */
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

  /** The rule with a code, of any set. */
  static RunRule require(String code, String pointer) {
    return RuleSet.rule(code)
        .orElseThrow(
            () ->
                Problem.at(
                    ProblemType.UNKNOWN_CODE,
                    pointer,
                    "'%s' is no rule; there are %s"
                        .formatted(code, String.join(", ", RuleSet.codes()))));
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
}
