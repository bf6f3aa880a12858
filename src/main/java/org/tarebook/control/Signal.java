package org.tarebook.control;

import java.time.Instant;
import org.jspecify.annotations.Nullable;
import org.tarebook.stats.Side;

/**
 * A point, or run of points, that the rules call out of control.
 *
 * @param origin the first of the signals that are one: a later fact withdrew it, another brought it
 *     back; the signal itself, where it is the first
 * @param rule the code of the rule
 * @param side the half of the chart it lies in, or towards which a trend moves; absent for rules
 *     that look at both halves
 * @param beganAt time of the first point that counts in the run
 * @param completedBy the reading that completed it
 * @param completedAt time of the point that completed it
 * @param point that point's value, or its spread, as it was when the signal was raised; in the unit
 *     of the limit set
 * @param readings of that point, as it was then, where it is a sample; absent where it was cut by
 *     count
 * @param firstBy the reading under which the sample signalled first; absent where the point was cut
 *     by count
 * @param raisedAt when it was raised
 * @param withdrawnAt since when it no longer holds, because of a later fact; absent while it holds
 */
public record Signal(
    long id,
    long origin,
    long chartId,
    long limitSetId,
    String stratum,
    String rule,
    @Nullable Side side,
    Instant beganAt,
    long completedBy,
    Instant completedAt,
    double point,
    @Nullable Integer readings,
    @Nullable Long firstBy,
    Instant raisedAt,
    @Nullable Instant withdrawnAt) {

  /** What a signal is known by: no two standing ones have the same. */
  record Key(long limitSetId, String stratum, String rule, long completedBy) {}

  Key key() {
    return new Key(limitSetId, stratum, rule, completedBy);
  }

  /** The signal as it was while it held. */
  Signal whileItHeld() {
    return new Signal(
        id,
        origin,
        chartId,
        limitSetId,
        stratum,
        rule,
        side,
        beganAt,
        completedBy,
        completedAt,
        point,
        readings,
        firstBy,
        raisedAt,
        null);
  }

  /** Whether it still holds. */
  public boolean stands() {
    return withdrawnAt == null;
  }
}
