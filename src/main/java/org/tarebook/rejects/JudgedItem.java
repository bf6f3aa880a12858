package org.tarebook.rejects;

import java.time.Duration;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.tarebook.reading.Result;

/**
 * What became of one item. Each characteristic decides for itself: its first judged reading for the
 * first pass, its last for good. A conditional result is no reject.
 *
 * @param first the first judged reading of the item, which says where and when the item counts
 * @param failedFirst the readings that failed at the first pass; empty where none did
 * @param failedLast the readings that failed for good; empty where none did
 * @param conditional whether nothing failed for good but something is conditional
 * @param passAfterFail whether a failing reading was followed by a passing one within two minutes
 * @param again the judged readings of a characteristic that was judged before
 * @param load the cure that first judged it; absent where none did
 * @param suspect whether the first or the last reading of a characteristic is of a suspect
 *     instrument
 */
record JudgedItem(
    Measured first,
    List<Measured> failedFirst,
    List<Measured> failedLast,
    boolean conditional,
    boolean passAfterFail,
    List<Measured> again,
    @Nullable Long load,
    boolean suspect) {

  private static final Duration MOMENTS = Duration.ofMinutes(2);

  /**
   * Judges an item by its readings.
   *
   * @param readings of one item, in the order they were measured
   * @return empty where none of them is judged and counts
   */
  static Optional<JudgedItem> of(List<Measured> readings) {
    @Nullable Measured first = null;
    boolean passAfterFail = false;
    Long load = null;
    boolean suspect = false;
    List<Measured> failedFirst = new ArrayList<>();
    List<Measured> again = new ArrayList<>();
    Map<@Nullable Long, Measured> last = new HashMap<>(); // cures under no characteristic
    for (Measured reading : readings) {
      if (reading.apart() != null) {
        continue;
      }
      first = first == null ? reading : first;
      load = load == null && reading.cure() != null ? (Long) reading.id() : load;
      Measured before = last.put(reading.characteristicId(), reading);
      if (before != null) {
        again.add(reading);
        passAfterFail |= passesMomentsAfter(before, reading);
      } else {
        suspect |= reading.suspect();
        if (reading.result() == Result.FAIL) {
          failedFirst.add(reading);
        }
      }
    }
    if (first == null) {
      return Optional.empty();
    }
    List<Measured> failedLast = new ArrayList<>();
    boolean conditional = false;
    for (Measured reading : last.values()) {
      suspect |= reading.suspect();
      conditional |= reading.result() == Result.CONDITIONAL;
      if (reading.result() == Result.FAIL) {
        failedLast.add(reading);
      }
    }
    return Optional.of(
        new JudgedItem(
            first,
            failedFirst,
            failedLast,
            conditional && failedLast.isEmpty(),
            passAfterFail,
            again,
            load,
            suspect));
  }

  private static boolean passesMomentsAfter(Measured before, Measured reading) {
    return before.result() == Result.FAIL
        && reading.result() == Result.PASS
        && Duration.between(before.at(), reading.at()).compareTo(MOMENTS) <= 0;
  }
}
