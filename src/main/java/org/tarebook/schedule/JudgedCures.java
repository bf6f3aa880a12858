package org.tarebook.schedule;

import java.time.Instant;

/**
 * The cures that were judged by schedules, asked of the feature above that holds them. It judges
 * them again in the background when their revision changes.
 */
public interface JudgedCures {

  /** How many cures have a verdict by this revision as their last. */
  long cures(long revisionId);

  /**
   * Called in the transaction that withdraws or corrects a revision: cures of the schedule that
   * started at or behind a moment are to be judged again where that changes theirs.
   */
  void changed(long scheduleId, Instant from);

  /** How many cures of a schedule that started at or behind a moment are judged. */
  long curesSince(long scheduleId, Instant from);
}
