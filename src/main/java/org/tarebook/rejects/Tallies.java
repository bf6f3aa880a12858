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
                    .forEach(reading -> toTally.apply(reading).addRemeasured(reading));
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

  /**
   * The reasons to tell of each group: those there are in any group, as far as what they are about
   * was judged in this one, at whatever time; one, if none are told apart or none is possible.
   */
  Map<Group, Set<Tally.Reason>> reasons() {
    Map<Group, Set<Tally.Reason>> byGroupAndReason = new HashMap<>();
    if (!groups.byReason()) {
      byGroup.keySet().forEach(group -> byGroupAndReason.put(group, Set.of(Tally.Reason.ANY)));
      return byGroupAndReason;
    }
    Set<Tally.Reason> all = new HashSet<>();
    Map<Group, Set<Tally.Reason>> ownAtAnyTime = new HashMap<>();
    Map<Group, Set<Tally.Judged>> subjects = new HashMap<>();
    byGroup.forEach(
        (group, tally) -> {
          Group any = group.in(null);
          all.addAll(tally.reasons());
          ownAtAnyTime.computeIfAbsent(any, none -> new HashSet<>()).addAll(tally.reasons());
          subjects.computeIfAbsent(any, none -> new HashSet<>()).addAll(tally.subjects());
        });
    long rows = 0;
    for (Group group : byGroup.keySet()) {
      Group any = group.in(null);
      Set<Tally.Reason> reasons = new HashSet<>(ownAtAnyTime.getOrDefault(any, Set.of()));
      Set<Tally.Judged> judged = subjects.getOrDefault(any, Set.of());
      all.stream().filter(reason -> groups.possible(reason, judged)).forEach(reasons::add);
      reasons.remove(Tally.Reason.ANY);
      byGroupAndReason.put(group, reasons.isEmpty() ? Set.of(Groups.NONE) : reasons);
      rows += Math.max(1, reasons.size());
      requireFew(rows);
    }
    return byGroupAndReason;
  }

  /** Adds a tally of nothing for every bucket of the window in which a group could have been. */
  void addEmptyBuckets() {
    Set<Group> any = new HashSet<>();
    byGroup.keySet().forEach(group -> any.add(group.in(null)));
    if (groups.byTimeOnly()) {
      any.add(Group.ALL);
    }
    if (any.isEmpty()) {
      return;
    }
    for (Span bucket : groups.buckets(MOST_ROWS)) {
      Set<String> shifts = groups.shifts(bucket);
      if (groups.onlyShift() == null || shifts.contains(groups.onlyShift())) {
        any.stream()
            .filter(group -> group.shift() == null || shifts.contains(group.shift()))
            .forEach(group -> of(group.in(bucket)));
      }
    }
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
