package org.tarebook.reading;

import java.util.Collection;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;

/**
 * The earlier readings of the items of a batch: items that are named again, and postings that
 * declare what they remeasure.
 */
final class Earlier {

  private record Declared(long stationId, String key, long characteristicId) {}

  private record Named(String label, long characteristicId, long lockId) {}

  private final Map<Declared, Reading> byKey = new HashMap<>();
  private final Map<Named, Reading> byItem = new HashMap<>();
  private final Map<String, Long> rootByLabel = new HashMap<>();

  private Earlier() {}

  /** Finds them, in one query for the named items and one for the declared keys. */
  static Earlier find(ReadingStore store, Collection<Understood> batch) {
    Earlier earlier = new Earlier();
    Set<String> labels = new TreeSet<>();
    Set<Long> characteristics = new HashSet<>();
    Map<Long, Set<String>> keys = new HashMap<>();
    for (Understood each : batch) {
      String label = each.posting().itemLabel();
      if (label != null) {
        labels.add(label);
        each.values().forEach(value -> characteristics.add(value.characteristic().id()));
      }
      String declared = each.posting().remeasures();
      if (declared != null) {
        keys.computeIfAbsent(each.station().id(), id -> new TreeSet<>()).add(declared);
      }
    }
    if (!labels.isEmpty()) {
      earlier.add(store.findByItems(labels, characteristics));
    }
    if (!keys.isEmpty()) {
      earlier.add(store.findByKeys(keys));
    }
    return earlier;
  }

  /** Notes readings, so that later ones of the same batch find them. */
  void add(List<Reading> readings) {
    for (Reading reading : readings) {
      Reading.Event event = reading.event();
      byKey.putIfAbsent(
          new Declared(event.stationId(), event.key(), reading.characteristicId()), reading);
      String label = event.circumstances().itemLabel();
      if (label != null) {
        byItem.putIfAbsent(new Named(label, reading.characteristicId(), reading.lockId()), reading);
        rootByLabel.putIfAbsent(label, event.rootId());
      }
    }
  }

  /** The first reading of the item that this value measures again; absent where it is the first. */
  @Nullable Long first(Understood each, Understood.Value value) {
    Reading found = null;
    String declared = each.posting().remeasures();
    long characteristic = value.characteristic().id();
    if (declared != null) {
      found = byKey.get(new Declared(each.station().id(), declared, characteristic));
    }
    String label = each.posting().itemLabel();
    if (found == null && label != null) {
      found = byItem.get(new Named(label, characteristic, value.lockId()));
    }
    if (found == null || found.lockId() != value.lockId()) {
      return null;
    }
    return found.remeasuresId() != null ? found.remeasuresId() : (Long) found.id();
  }

  /** The event that first measured the item. */
  long rootEvent(Understood each, long ownId) {
    String declared = each.posting().remeasures();
    if (declared != null) {
      Reading found =
          byKey.get(
              new Declared(
                  each.station().id(), declared, each.values().get(0).characteristic().id()));
      if (found != null) {
        return found.event().rootId();
      }
    }
    String label = each.posting().itemLabel();
    return label == null ? ownId : rootByLabel.getOrDefault(label, ownId);
  }
}
