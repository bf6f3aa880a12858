package org.tarebook.stats;

import org.jspecify.annotations.Nullable;

/**
 * A pattern of points that a rule of any kind calls out of control.
 *
 * @param rule the rule
 * @param side the half of the chart the pattern lies in; null for rules that do not judge halves
 * @param first index, from 0, of the earliest point of the pattern
 * @param completedAt index, from 0, of the point that completes it; not before {@code first}
 */
public record PatternSignal(RunRule rule, @Nullable Side side, int first, int completedAt) {}
