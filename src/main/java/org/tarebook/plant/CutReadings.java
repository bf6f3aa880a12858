package org.tarebook.plant;

import java.util.Map;
import org.tarebook.storage.CatchUp;
import org.tarebook.storage.WriteLocks;

/**
 * What shift calendars must know and change of the readings they cut into shifts. Implemented by
 * the feature that makes points of readings; called inside the transaction of the change.
 */
public interface CutReadings {

  /**
   * What lies where calendars cut otherwise.
   *
   * @param readings of charts or not
   * @param charts that have such readings
   * @param judgedShifts shifts of a stratum in which limits were in force
   * @param signals that stand
   * @param limitSets whose baseline has such readings
   */
  record Counts(long readings, long charts, long judgedShifts, long signals, long limitSets) {}

  /** Takes the locks of all charts together until the transaction ends. */
  WriteLocks.Together lock();

  /** Whether any reading would be cut again. */
  boolean any(Shifts.Recut recut);

  /** What would be cut again. */
  Counts count(Shifts.Recut recut);

  /**
   * Lets readings be cut again after the transaction, because of a change of calendars. When all is
   * done, the calendars come into use as they were changed.
   */
  void cutAgain(long changeId);

  /** How far the cutting again is, by the ids of changes. */
  Map<Long, CatchUp.Progress> progress();
}
