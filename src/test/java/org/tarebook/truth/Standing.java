package org.tarebook.truth;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.EnumSet;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.tarebook.truth.Facts.Check;
import org.tarebook.truth.Facts.Row;

/** Which readings do not count and why, found anew from amendments, checks and chains of items. */
final class Standing {

  /** Why a reading does not count, in the order in which causes are told. */
  enum Cause {
    VOIDED,
    REPLACED,
    INSTRUMENT_FAILED,
    INSTRUMENT_SUSPECT,
    NO_VALUE,
    NOT_RUNNING,
    REMEASUREMENT
  }

  private final Map<Long, Set<Cause>> causes = new HashMap<>();
  private final Map<Long, List<Check>> checks = new HashMap<>();

  Standing(Facts facts) {
    facts.checks().stream()
        .filter(check -> !check.voided())
        .sorted(Comparator.comparing(Check::at).thenComparing(Check::id))
        .forEach(
            check ->
                checks.computeIfAbsent(check.instrument(), id -> new ArrayList<>()).add(check));
    for (Row row : facts.rows()) {
      causes.put(row.id(), own(row));
    }
    Map<Long, Long> replaces = new HashMap<>();
    for (Facts.Amendment each : facts.amendments()) {
      Long by = each.replacement();
      causes.get(each.reading()).add(by == null ? Cause.VOIDED : Cause.REPLACED);
      if (by != null) {
        replaces.put(by, each.reading());
      }
    }
    chains(facts.rows(), replaces).forEach(this::firstValidCounts);
  }

  /** Empty for a reading that counts. */
  Set<Cause> of(Row row) {
    return causes.get(row.id());
  }

  private Set<Cause> own(Row row) {
    Set<Cause> own = EnumSet.noneOf(Cause.class);
    if (row.value() == null || row.flags().matches(".*(UNSTABLE|OVERLOAD|UNDER).*")) {
      own.add(Cause.NO_VALUE);
    }
    if (!row.phase().equals("RUNNING")) {
      own.add(Cause.NOT_RUNNING);
    }
    if (row.instrument() != null) {
      Check before = null;
      Check after = null;
      for (Check check : checks.getOrDefault(row.instrument(), List.of())) {
        if (check.at().isAfter(row.at())) {
          after = check;
          break;
        }
        before = check;
      }
      if (before != null && !before.leavesRight()) {
        own.add(Cause.INSTRUMENT_FAILED);
      } else if (after != null && Boolean.FALSE.equals(after.found())) {
        own.add(Cause.INSTRUMENT_SUSPECT);
      }
    }
    return own;
  }

  /**
   * Readings of one item, each in one chain: in the order they were recorded, a replacement joins
   * the reading it replaces, a declared remeasurement the posting it names if that was on record,
   * and an item named again its earlier readings.
   */
  private static Iterable<List<Row>> chains(List<Row> rows, Map<Long, Long> replaces) {
    record Key(long station, String key) {}
    Map<Key, Long> byKey = new HashMap<>();
    Map<String, Long> byItem = new HashMap<>();
    Map<Long, Long> rootOf = new HashMap<>();
    Map<Long, List<Row>> chains = new HashMap<>();
    rows.stream()
        .sorted(Comparator.comparing(Row::version).thenComparing(Row::id))
        .forEach(
            row -> {
              Long root = null;
              if (replaces.containsKey(row.id())) {
                root = rootOf.get(replaces.get(row.id()));
              } else if (row.remeasures() != null) {
                root = byKey.get(new Key(row.station(), row.remeasures()));
              }
              if (root == null && row.item() != null) {
                root = byItem.get(row.item());
              }
              long own = root == null ? row.id() : root;
              rootOf.put(row.id(), own);
              byKey.putIfAbsent(new Key(row.station(), row.key()), own);
              if (row.item() != null) {
                byItem.putIfAbsent(row.item(), own);
              }
              chains.computeIfAbsent(own, id -> new ArrayList<>()).add(row);
            });
    return chains.values();
  }

  private void firstValidCounts(List<Row> chain) {
    chain.sort(Comparator.comparing(Row::at).thenComparing(Row::id));
    boolean taken = false;
    for (Row row : chain) {
      Set<Cause> own = causes.get(row.id());
      boolean valid = own.isEmpty();
      if (taken) {
        own.add(Cause.REMEASUREMENT);
      }
      taken |= valid;
    }
  }
}
