package org.tarebook.rejects;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.function.Function;
import java.util.function.Predicate;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;

/**
 * Counts items and readings into the groups of a question. Integers only: the order in which items
 * come changes nothing.
 */
final class Tallies {

  /** The most rows answered. */
  static final int MOST_ROWS = 5000;

  private final Groups groups;
  private final boolean includeSuspect;
  private final Predicate<Measured> unverified;
  private final Map<Group, Tally> byGroup = new HashMap<>();
  private final Tally total = new Tally();

  Tallies(Groups groups, boolean includeSuspect, Predicate<Measured> unverified) {
    this.groups = groups;
    this.includeSuspect = includeSuspect;
    this.unverified = unverified;
  }

  /** Counts an item with all its readings, in measuring order. */
  void add(List<Measured> item) {
    List<Measured> taken =
        includeSuspect ? item : item.stream().map(Measured::withoutSuspect).toList();
    add(taken, groups::part, reading -> of(groups.of(reading)));
    add(taken, groups::partOfAll, reading -> total);
  }

  private void add(
      List<Measured> item,
      Function<Measured, Groups.Part> toPart,
      Function<Measured, Tally> toTally) {
    Map<Groups.Part, List<Measured>> parts = new LinkedHashMap<>();
    for (Measured reading : item) {
      parts.computeIfAbsent(toPart.apply(reading), part -> new ArrayList<>()).add(reading);
      if (groups.wants(reading)) {
        toTally.apply(reading).add(reading, unverified.test(reading));
      }
    }
    for (List<Measured> part : parts.values()) {
      JudgedItem.of(part)
          .ifPresent(
              judged -> {
                if (groups.wants(judged.first())) {
                  toTally
                      .apply(judged.first())
                      .add(judged, groups.shiftStart(judged.first()), groups::reason);
                }
                judged.again().stream()
                    .filter(groups::wants)
                    .forEach(reading -> toTally.apply(reading).addRemeasured());
              });
    }
  }

  private Tally of(Group group) {
    Tally tally = byGroup.computeIfAbsent(group, none -> new Tally());
    requireFew(byGroup.size());
    return tally;
  }

  /** Every group of which there is anything. */
  Map<Group, Tally> byGroup() {
    return byGroup;
  }

  /** All groups together, each item once. */
  Tally total() {
    return total;
  }

  /** The reasons to tell of every group: those there are in any; one, if none are told apart. */
  Set<Tally.Reason> reasons() {
    if (!groups.byReason()) {
      return Set.of(Tally.Reason.ANY);
    }
    Set<Tally.Reason> reasons = new HashSet<>();
    byGroup.values().forEach(tally -> reasons.addAll(tally.reasons()));
    reasons.remove(Tally.Reason.ANY);
    requireFew((long) byGroup.size() * reasons.size());
    return reasons;
  }

  private static void requireFew(long rows) {
    if (rows > MOST_ROWS) {
      throw Problem.at(
          ProblemType.RULE_BROKEN,
          "groupBy",
          "gives more than "
              + MOST_ROWS
              + " rows; take a shorter window, a longer bucket or fewer members of groupBy, or narrow"
              + " by line, component, product, station, die, characteristic or shift");
    }
  }
}
