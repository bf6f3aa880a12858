package org.tarebook.rejects;

import java.time.Instant;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;
import org.tarebook.reading.Direction;
import org.tarebook.stats.Proportion;

/** What was counted of one group: its items, its failures by reason and by shift, its readings. */
final class Tally {

  /** A reason as far as rates are told apart by it; a part that is not asked for is absent. */
  record Reason(@Nullable Long characteristicId, @Nullable Direction direction) {
    static final Reason ANY = new Reason(null, null);
  }

  /** Items that failed, in all and by shift. */
  static final class Failures {
    private long rejected;
    private long rejectedSuspect;
    private long firstPassRejected;
    private long firstPassRejectedSuspect;
    private final Map<Instant, Long> rejectedByShift = new HashMap<>();
    private final Map<Instant, Long> firstPassRejectedByShift = new HashMap<>();

    long rejected() {
      return rejected;
    }

    long firstPassRejected() {
      return firstPassRejected;
    }

    /** Of those rejected, items that no sound instrument found so. */
    long rejectedSuspect() {
      return rejectedSuspect;
    }

    /** Of those rejected at the first pass, items that no sound instrument found so. */
    long firstPassRejectedSuspect() {
      return firstPassRejectedSuspect;
    }
  }

  private long judged;
  private long judgedSuspect;
  private long conditional;
  private long passAfterFail;
  private long readings;
  private long remeasured;
  private long unverified;
  private final Map<Apart, Long> apart = new EnumMap<>(Apart.class);
  private final Map<Instant, Long> judgedByShift = new HashMap<>();
  private final Map<Reason, Failures> failures = new HashMap<>();

  /** Counts a judged item under the shift of its first judged reading. */
  void add(JudgedItem item, Instant shift, Function<Measured.Reason, Reason> toReason) {
    judged++;
    judgedSuspect += item.suspect() ? 1 : 0;
    conditional += item.conditional() ? 1 : 0;
    passAfterFail += item.passAfterFail() ? 1 : 0;
    judgedByShift.merge(shift, 1L, Long::sum);
    suspectByReason(item.failedLast(), toReason)
        .forEach(
            (reason, suspect) -> {
              Failures failed = failures.computeIfAbsent(reason, none -> new Failures());
              failed.rejected++;
              failed.rejectedSuspect += suspect ? 1 : 0;
              failed.rejectedByShift.merge(shift, 1L, Long::sum);
            });
    suspectByReason(item.failedFirst(), toReason)
        .forEach(
            (reason, suspect) -> {
              Failures failed = failures.computeIfAbsent(reason, none -> new Failures());
              failed.firstPassRejected++;
              failed.firstPassRejectedSuspect += suspect ? 1 : 0;
              failed.firstPassRejectedByShift.merge(shift, 1L, Long::sum);
            });
  }

  /**
   * The reasons told apart, and {@link Reason#ANY} where anything failed; with each, whether all
   * that failed so was read by suspect instruments.
   */
  private static Map<Reason, Boolean> suspectByReason(
      List<Measured> failed, Function<Measured.Reason, Reason> toReason) {
    Map<Reason, Boolean> reasons = new HashMap<>();
    for (Measured reading : failed) {
      Reason told = toReason.apply(reading.reason());
      reasons.merge(Reason.ANY, reading.suspect(), Boolean::logicalAnd);
      if (!told.equals(Reason.ANY)) {
        reasons.merge(told, reading.suspect(), Boolean::logicalAnd);
      }
    }
    return reasons;
  }

  /** Counts a reading. */
  void add(Measured reading, boolean isUnverified) {
    readings++;
    if (reading.apart() != null) {
      apart.merge(reading.apart(), 1L, Long::sum);
    } else if (isUnverified) {
      unverified++;
    }
  }

  /** Counts a judged reading of a characteristic that was judged before. */
  void addRemeasured() {
    remeasured++;
  }

  /** The items that failed for a reason; none where there is no such. */
  Failures failures(Reason reason) {
    return failures.getOrDefault(reason, new Failures());
  }

  Set<Reason> reasons() {
    return failures.keySet();
  }

  /** Rejected for good out of judged, shift by shift. */
  List<Proportion.Count> rejectedByShift(Reason reason) {
    return byShift(failures(reason).rejectedByShift);
  }

  /** Rejected at the first pass out of judged, shift by shift. */
  List<Proportion.Count> firstPassRejectedByShift(Reason reason) {
    return byShift(failures(reason).firstPassRejectedByShift);
  }

  private List<Proportion.Count> byShift(Map<Instant, Long> failed) {
    List<Proportion.Count> counts = new ArrayList<>();
    judgedByShift.forEach(
        (shift, total) -> counts.add(new Proportion.Count(failed.getOrDefault(shift, 0L), total)));
    return counts;
  }

  long judged() {
    return judged;
  }

  /** Items that rest on a suspect instrument with the first or last reading of a characteristic. */
  long judgedSuspect() {
    return judgedSuspect;
  }

  long conditional() {
    return conditional;
  }

  long passAfterFail() {
    return passAfterFail;
  }

  long readings() {
    return readings;
  }

  long remeasured() {
    return remeasured;
  }

  long unverified() {
    return unverified;
  }

  long apart(Apart why) {
    return apart.getOrDefault(why, 0L);
  }
}
