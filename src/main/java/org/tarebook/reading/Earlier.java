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
      List<Reading> declared = store.findByKeys(keys);
      earlier.add(declared);
      earlier.follow(declared, store);
    }
    return earlier;
  }

  /** Finds those of one item that is named. */
  static Earlier find(ReadingStore store, String label, long characteristicId) {
    Earlier earlier = new Earlier();
    earlier.add(store.findByItems(Set.of(label), Set.of(characteristicId)));
    return earlier;
  }

  /** Finds those that some readings declare to measure again. */
  static Earlier find(ReadingStore store, List<Reading> remeasurements) {
    Earlier earlier = new Earlier();
    Map<Long, Set<String>> keys = new HashMap<>();
    for (Reading reading : remeasurements) {
      String declared = reading.event().remeasuresKey();
      if (declared != null) {
        keys.computeIfAbsent(reading.event().stationId(), id -> new TreeSet<>()).add(declared);
      }
    }
    List<Reading> found = store.findByKeys(keys);
    earlier.add(found);
    earlier.follow(found, store);
    return earlier;
  }

  /** The standing reading that another declares to measure again. */
  @Nullable Reading declaredBy(Reading reading) {
    String declared = reading.event().remeasuresKey();
    return declared == null
        ? null
        : byKey.get(
            new Declared(reading.event().stationId(), declared, reading.characteristicId()));
  }

  /** Whoever declares a reading that was replaced declares what took its place. */
  private void follow(List<Reading> declared, ReadingStore store) {
    Map<Long, Reading> standing = store.findStanding(declared);
    for (Reading reading : declared) {
      byKey.computeIfPresent(
          new Declared(
              reading.event().stationId(), reading.event().key(), reading.characteristicId()),
          (same, first) -> standing.getOrDefault(first.id(), first));
    }
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
      return first(label, characteristic, value.lockId());
    }
    return found == null || found.lockId() != value.lockId() ? null : (Long) found.firstId();
  }

  /** The first reading of a named item; absent where there is none. */
  @Nullable Long first(String label, long characteristicId, long lockId) {
    Reading found = byItem.get(new Named(label, characteristicId, lockId));
    return found == null ? null : (Long) found.firstId();
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
    return label == null ? ownId : rootEvent(label, ownId);
  }

  /** The event that first measured a named item. */
  long rootEvent(String label, long ownId) {
    return rootByLabel.getOrDefault(label, ownId);
  }
}
