package org.tarebook.spec;

import java.time.Instant;
import org.jspecify.annotations.Nullable;

/**
 * What specifications and measuring uncertainties must know and change of the readings they judge.
 * Implemented by the feature that stores readings; called inside the transaction of the change.
 */
public interface JudgedReadings {

  /** Takes the locks of a characteristic's charts until the transaction ends. */
  void lock(long characteristicId);

  /** How many readings were measured in a window, the end open where absent. */
  long count(long characteristicId, Instant from, @Nullable Instant before);

  /**
   * Judges the readings of a window again by the specifications now on record, and gives each whose
   * result or specification differs a successor result.
   *
   * @param cause in a few words, kept with each successor
   * @return how many successors were written
   */
  long judgeAgain(long characteristicId, Instant from, @Nullable Instant before, String cause);

  /**
   * Whether the result in force of any reading that a station measured since a moment rests on a
   * measuring uncertainty.
   */
  boolean judgedWithUncertainty(long characteristicId, long stationId, Instant from);

  /**
   * Judges the readings of one station again by the measuring uncertainties now on record, where
   * their results rest on one or wait for one.
   *
   * @param cause in a few words, kept with each successor
   * @return how many successors were written
   */
  long judgeAgain(
      long characteristicId, long stationId, Instant from, @Nullable Instant before, String cause);
}
