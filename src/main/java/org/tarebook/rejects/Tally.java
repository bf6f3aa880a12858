package org.tarebook.rejects;

import java.time.Instant;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;
import org.tarebook.reading.Direction;
import org.tarebook.stats.ClusteredShare;
import org.tarebook.stats.Proportion;

/** What was counted of one group: its items, its failures by reason and by shift, its readings. */
final class Tally {

  /** A reason as far as rates are told apart by it; a part that is not asked for is absent. */
  record Reason(
      @Nullable Long characteristicId, @Nullable Direction direction, @Nullable String breach) {
    static final Reason ANY = new Reason(null, null, null);
  }

  /** Items that failed, in all and by shift. */
  static final class Failures {
    private long rejected;
    private long rejectedSuspect;
    private long firstPassRejected;
    private long firstPassRejectedSuspect;
    private final Map<Instant, Long> rejectedByShift = new HashMap<>();
    private final Map<Instant, Long> firstPassRejectedByShift = new HashMap<>();
    private final Map<Long, Long> rejectedByLoad = new HashMap<>();
    private final Map<Long, Long> firstPassRejectedByLoad = new HashMap<>();

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

  /** What was judged in a group: a characteristic, or a cure where that is absent. */
  record Judged(@Nullable Long characteristicId) {
    static final Judged CURE = new Judged(null);
  }

  private final Set<Judged> subjects = new HashSet<>();
  private long judged;
  private long judgedSuspect;
  private long conditional;
  private long passAfterFail;
  private long readings;
  private long cavities;
  private long curedAgain;
  private long remeasured;
  private long unverified;
  private final Map<Apart, Long> apart = new EnumMap<>(Apart.class);
  private final Map<Instant, Long> judgedByShift = new HashMap<>();
  private final Map<Long, Long> judgedByLoad = new HashMap<>();
  private final Map<Reason, Failures> failures = new HashMap<>();

  /** Counts a judged item under the shift of its first judged reading. */
  void add(JudgedItem item, Instant shift, Function<Measured.Reason, Reason> toReason) {
    judged++;
    judgedSuspect += item.suspect() ? 1 : 0;
    conditional += item.conditional() ? 1 : 0;
    passAfterFail += item.passAfterFail() ? 1 : 0;
    judgedByShift.merge(shift, 1L, Long::sum);
    count(judgedByLoad, item.load());
    suspectByReason(item.failedLast(), toReason)
        .forEach(
            (reason, suspect) -> {
              Failures failed = failures.computeIfAbsent(reason, none -> new Failures());
              failed.rejected++;
              failed.rejectedSuspect += suspect ? 1 : 0;
              failed.rejectedByShift.merge(shift, 1L, Long::sum);
              count(failed.rejectedByLoad, item.load());
            });
    suspectByReason(item.failedFirst(), toReason)
        .forEach(
            (reason, suspect) -> {
              Failures failed = failures.computeIfAbsent(reason, none -> new Failures());
              failed.firstPassRejected++;
              failed.firstPassRejectedSuspect += suspect ? 1 : 0;
              failed.firstPassRejectedByShift.merge(shift, 1L, Long::sum);
              count(failed.firstPassRejectedByLoad, item.load());
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
      reasons.merge(Reason.ANY, reading.suspect(), Boolean::logicalAnd);
      for (Measured.Reason each : reading.reasons()) {
        Reason told = toReason.apply(each);
        if (!told.equals(Reason.ANY)) {
          reasons.merge(told, reading.suspect(), Boolean::logicalAnd);
        }
      }
    }
    return reasons;
  }

  private static void count(Map<Long, Long> loads, @Nullable Long load) {
    if (load != null) {
      loads.merge(load, 1L, Long::sum);
    }
  }

  /** Counts a reading or a cavity. */
  void add(Measured reading, boolean isUnverified) {
    if (reading.cure() == null) {
      readings++;
    } else {
      cavities++;
    }
    if (reading.apart() == null) {
      subjects.add(new Judged(reading.characteristicId()));
    }
    if (reading.apart() != null) {
      apart.merge(reading.apart(), 1L, Long::sum);
    } else if (isUnverified) {
      unverified++;
    }
  }

  /** Counts a judged reading of a characteristic that was judged before, or a further cure. */
  void addRemeasured(Measured again) {
    if (again.cure() == null) {
      remeasured++;
    } else {
      curedAgain++;
    }
  }

  /** The items that failed for a reason; none where there is no such. */
  Failures failures(Reason reason) {
    return failures.getOrDefault(reason, new Failures());
  }

  /** What its readings and cures were judged on. */
  Set<Judged> subjects() {
    return subjects;
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

  /** The share rejected for good, where loads hold several of the items; else empty. */
  Optional<ClusteredShare> rejectedByLoad(Reason reason) {
    Failures failed = failures(reason);
    return byLoad(failed.rejectedByLoad, failed.rejected);
  }

  /** The share rejected at the first pass, where loads hold several of the items; else empty. */
  Optional<ClusteredShare> firstPassRejectedByLoad(Reason reason) {
    Failures failed = failures(reason);
    return byLoad(failed.firstPassRejectedByLoad, failed.firstPassRejected);
  }

  private Optional<ClusteredShare> byLoad(Map<Long, Long> failed, long allFailed) {
    List<Proportion.Count> loads = new ArrayList<>();
    long counted = 0;
    long total = 0;
    for (Map.Entry<Long, Long> load : judgedByLoad.entrySet()) {
      long rejected = failed.getOrDefault(load.getKey(), 0L);
      loads.add(new Proportion.Count(rejected, load.getValue()));
      counted += rejected;
      total += load.getValue();
    }
    return ClusteredShare.of(
        loads,
        judged == total
            ? Optional.empty()
            : Optional.of(new Proportion.Count(allFailed - counted, judged - total)));
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

  /** Cavities of cures, judged or not. */
  long cavities() {
    return cavities;
  }

  /** Judged cures of items that were cured and judged before. */
  long curedAgain() {
    return curedAgain;
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
