package org.tarebook.http;

import java.util.HashMap;
import java.util.List;
import java.util.Map;

/** Places that are taken and freed: so many in all, and fewer for one holder. */
final class Places {

  private final int inAll;
  private final Map<String, Integer> taken = new HashMap<>();
  private int count;

  Places(int inAll) {
    this.inAll = inAll;
  }

  /**
   * Whose place it is.
   *
   * @param holder the holder, by a name of the caller's choice
   * @param most how many it may take at once
   */
  record Key(String holder, int most) {}

  /** Takes a place of every holder, or none of any. */
  synchronized boolean take(List<Key> keys) {
    if (count >= inAll
        || keys.stream().anyMatch(key -> taken.getOrDefault(key.holder(), 0) >= key.most())) {
      return false;
    }
    count++;
    keys.forEach(key -> taken.merge(key.holder(), 1, Integer::sum));
    return true;
  }

  /** Frees what {@link #take} gave. */
  synchronized void free(List<Key> keys) {
    count--;
    for (Key key : keys) {
      taken.computeIfPresent(key.holder(), (holder, number) -> number == 1 ? null : number - 1);
    }
  }
}
