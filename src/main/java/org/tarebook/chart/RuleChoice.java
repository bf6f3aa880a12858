package org.tarebook.chart;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.tarebook.http.Faults;
import org.tarebook.stats.CusumRule;
import org.tarebook.stats.EwmaRule;
import org.tarebook.stats.RuleSet;
import org.tarebook.stats.RunRule;
import org.tarebook.stats.ZoneRule;

/**
 * Run rules as they are chosen for a chart and kept.
 *
 * @param published codes of rules of published sets
 * @param own zone rules that the plant wrote itself
 * @param ewmaWeight of a watched average; absent with {@code ewmaReach} where none is
 * @param cusumAllowance of watched sums; absent with {@code cusumDecision} where none are
 */
record RuleChoice(
    List<String> published,
    List<OwnRule> own,
    @Nullable Double ewmaWeight,
    @Nullable Double ewmaReach,
    @Nullable Double cusumAllowance,
    @Nullable Double cusumDecision) {

  RuleChoice(
      @Nullable List<String> published,
      List<OwnRule> own,
      @Nullable Double ewmaWeight,
      @Nullable Double ewmaReach,
      @Nullable Double cusumAllowance,
      @Nullable Double cusumDecision) {
    this.published =
        published == null
            ? ZoneRule.WESTERN_ELECTRIC.stream().map(RunRule::code).toList()
            : List.copyOf(published);
    this.own = List.copyOf(own);
    this.ewmaWeight = ewmaWeight;
    this.ewmaReach = ewmaReach;
    this.cusumAllowance = cusumAllowance;
    this.cusumDecision = cusumDecision;
  }

  /** How some rules were chosen. */
  static RuleChoice of(List<RunRule> rules) {
    List<String> published = new ArrayList<>();
    List<OwnRule> own = new ArrayList<>();
    EwmaRule average = null;
    CusumRule sums = null;
    for (RunRule rule : rules) {
      if (RuleSet.rule(rule.code()).filter(rule::equals).isPresent()) {
        published.add(rule.code());
      } else if (rule instanceof EwmaRule ewma) {
        average = ewma;
      } else if (rule instanceof CusumRule cusum) {
        sums = cusum;
      } else {
        own.add(OwnRule.of(rule));
      }
    }
    return new RuleChoice(
        published,
        own,
        average == null ? null : (Double) average.weight(),
        average == null ? null : (Double) average.reach(),
        sums == null ? null : (Double) sums.allowance(),
        sums == null ? null : (Double) sums.decision());
  }

  /** The rules, of a choice that holds. */
  List<RunRule> rules() {
    List<RunRule> rules = new ArrayList<>();
    published.forEach(code -> RuleSet.rule(code).ifPresent(rules::add));
    own.forEach(each -> rules.add(each.rule()));
    if (ewmaWeight != null && ewmaReach != null) {
      rules.add(new EwmaRule(EwmaRule.USUAL.code(), RunRule.LONGEST_WINDOW, ewmaWeight, ewmaReach));
    }
    if (cusumAllowance != null && cusumDecision != null) {
      rules.add(
          new CusumRule(
              CusumRule.USUAL.code(), RunRule.LONGEST_WINDOW, cusumAllowance, cusumDecision));
    }
    return List.copyOf(rules);
  }

  /**
   * The rules as they are asked for.
   *
   * @param faults takes what is wrong with the choice
   */
  List<RunRule> check(Faults faults) {
    for (String code : published) {
      faults.require(RuleSet.rule(code).isPresent(), "/rules", RuleSet.unknown(code));
    }
    boolean fit = true;
    for (int i = 0; i < own.size(); i++) {
      OwnRule each = own.get(i);
      fit &= each.count() <= each.window();
      faults.require(
          RuleSet.rule(each.code()).isEmpty(),
          "/ownRules/" + i + "/code",
          "is the code of a published rule; choose another");
      faults.require(
          each.count() <= each.window(),
          "/ownRules/" + i + "/count",
          "is " + each.count() + ", more than the " + each.window() + " points looked at");
    }
    faults.require(
        (ewmaWeight == null) == (ewmaReach == null),
        "/ewmaReach",
        "goes with ewmaWeight: give both or neither");
    faults.require(
        (cusumAllowance == null) == (cusumDecision == null),
        "/cusumDecision",
        "goes with cusumAllowance: give both or neither");
    List<RunRule> rules = fit ? rules() : List.of();
    faults.require(!rules.isEmpty() || !faults.none(), "/rules", "must name at least one rule");
    Set<String> codes = new HashSet<>();
    for (RunRule rule : rules) {
      faults.require(codes.add(rule.code()), "/rules", "names " + rule.code() + " twice");
    }
    return rules;
  }
}
