package org.tarebook.stats;

/**
 * A run of points that a rule calls out of control.
 *
 * @param rule the rule
 * @param side the half of the chart the run lies in
 * @param first index, from 0, of the earliest point that counts in the run
 * @param completedAt index, from 0, of the point that completes it; not before {@code first}
 */
public record RunSignal(ZoneRule rule, Side side, int first, int completedAt) {}
