package org.tarebook.spec;

import java.time.Instant;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.tarebook.storage.CatchUp;

/**
 * What specifications and measuring uncertainties must know and change of the readings they judge.
 * Implemented by the feature that stores readings; called inside the transaction of the change.
 */
public interface JudgedReadings {

  /**
   * A wish to judge the readings of a window again.
   *
   * @param askedBy the specification or uncertainty that changed, as {@link #by} writes it
   * @param stationId of this station alone, where a result rests on a measuring uncertainty or
   *     waits for one; absent: of all stations
   * @param before end of the window, open where absent
   * @param cause in a few words, kept with each successor
   */
  record Again(
      String askedBy,
      long characteristicId,
      @Nullable Long stationId,
      Instant from,
      @Nullable Instant before,
      String cause) {}

  /** Names what changed, so that its progress is found by it. */
  static String by(Specification changed) {
    return "specification " + changed.id();
  }

  /** Names what changed, so that its progress is found by it. */
  static String by(MeasuringUncertainty changed) {
    return "measuring uncertainty " + changed.id();
  }

  /** Takes the locks of a characteristic's charts until the transaction ends. */
  void lock(long characteristicId);

  /** How many readings were measured in a window, the end open where absent. */
  long count(long characteristicId, Instant from, @Nullable Instant before);

  /** Whether any reading was measured in a window, of all stations where none is named. */
  boolean any(
      long characteristicId, @Nullable Long stationId, Instant from, @Nullable Instant before);

  /**
   * Lets readings be judged again after the transaction, by what is on record then. Each whose
   * result differs gets a successor result; all successors count from one moment on.
   */
  void judgeAgain(Again wish);

  /** How far the judging again of a characteristic's readings is, by who asked for it last. */
  Map<String, CatchUp.Progress> judgingAgain(long characteristicId);

  /**
   * Whether the result of any reading that a station measured since a moment rests on one of these
   * measuring uncertainties, or may come to rest on one.
   */
  boolean judgedWith(Set<Long> uncertaintyIds, long characteristicId, long stationId, Instant from);
}
