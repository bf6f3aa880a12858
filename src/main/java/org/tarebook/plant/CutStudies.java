package org.tarebook.plant;

/** What shift calendars must know of the answers that are kept. Implemented by their feature. */
public interface CutStudies {

  /** How many kept studies have a window in which calendars cut otherwise. */
  long count(Shifts.Recut recut);
}
