package org.tarebook.schedule;

import java.time.Instant;

/**
 * The cures that were judged by schedules, asked of the feature above that holds them. It finds
 * withdrawn revisions by itself and judges their cures again.
 */
public interface JudgedCures {

  /** How many cures have a verdict by this revision as their last. */
  long cures(long revisionId);

  /** How many cures of a schedule that started at or behind a moment are judged. */
  long curesSince(long scheduleId, Instant from);
}
