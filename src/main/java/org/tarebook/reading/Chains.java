package org.tarebook.reading;

import java.util.ArrayList;
import java.util.Collection;
import java.util.EnumSet;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.springframework.stereotype.Component;

/**
 * Decides which reading of an item counts: the first that is valid, in the order they were
 * measured. Later ones are remeasurements, which decide about the item but count once.
 */
@Component
class Chains {

  private final ReadingStore readings;
  private final UncountedStore uncounted;

  Chains(ReadingStore readings, UncountedStore uncounted) {
    this.readings = readings;
    this.uncounted = uncounted;
  }

  /**
   * Looks at some chains again, after readings were added or their causes changed.
   *
   * @param rootIds the first readings of the items
   * @param versions the version now in force of each lock
   * @return the readings that changed between counting and not
   */
  List<Reading> settle(Collection<Long> rootIds, Map<Long, Long> versions) {
    if (rootIds.isEmpty()) {
      return List.of();
    }
    Map<Long, List<Reading>> chains = new LinkedHashMap<>();
    Map<Long, Reading> all = new HashMap<>();
    for (Reading reading : readings.findChains(rootIds)) {
      chains.computeIfAbsent(reading.firstId(), id -> new ArrayList<>()).add(reading);
      all.put(reading.id(), reading);
    }
    Map<Long, Set<Cause>> causes = uncounted.of(all.keySet());
    List<UncountedStore.Change> begin = new ArrayList<>();
    List<UncountedStore.Change> end = new ArrayList<>();
    for (List<Reading> chain : chains.values()) {
      boolean taken = false;
      for (Reading reading : chain) {
        Set<Cause> own = causes.getOrDefault(reading.id(), EnumSet.noneOf(Cause.class));
        boolean marked = own.contains(Cause.REMEASUREMENT);
        boolean valid = own.isEmpty() || (marked && own.size() == 1);
        boolean repeats = taken;
        taken |= valid;
        UncountedStore.Change change =
            new UncountedStore.Change(
                reading,
                Cause.REMEASUREMENT,
                versions.getOrDefault(reading.lockId(), reading.lockVersion()));
        if (repeats && !marked) {
          begin.add(change);
        } else if (!repeats && marked) {
          end.add(change);
        }
      }
    }
    uncounted.begin(begin);
    uncounted.end(end);
    List<Reading> changed = new ArrayList<>();
    begin.forEach(change -> changed.add(change.reading()));
    end.forEach(change -> changed.add(change.reading()));
    return changed;
  }
}
