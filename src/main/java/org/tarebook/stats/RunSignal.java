package org.tarebook.stats;

import org.jspecify.annotations.Nullable;

/**
 * A point, or run of points, that a rule calls out of control.
 *
 * @param rule the rule
 * @param side the half of the chart it lies in, or towards which a trend moves; null for rules that
 *     look at both halves together
 * @param first index, from 0, of the earliest point that counts in it
 * @param completedAt index, from 0, of the point that completes it; not before {@code first}
 */
public record RunSignal(RunRule rule, @Nullable Side side, int first, int completedAt) {}
