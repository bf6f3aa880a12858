package org.tarebook.cure;

import org.jspecify.annotations.Nullable;
import org.tarebook.cure.CavityFigures.Equivalents;
import org.tarebook.schedule.DecidingInterval;
import org.tarebook.schedule.KineticsUsed;
import org.tarebook.schedule.ScheduleDefinition.Medium;

/**
 * A limit of the schedule, held.
 *
 * @param ends what is held against it
 * @param line the place of the limit in the schedule
 */
record HeldLimit(Basis basis, Equivalents view, DecidingInterval ends, String line) {

  /**
   * What figures rest on.
   *
   * @param bridged how long a temperature that they need is not known, in seconds
   * @param medium whose own minutes they are; absent of places in the tyre
   */
  record Basis(KineticsUsed kinetics, double bridged, @Nullable Medium medium) {}
}
