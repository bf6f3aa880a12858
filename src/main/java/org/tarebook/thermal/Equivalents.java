package org.tarebook.thermal;

/**
 * Equivalent minutes of a stretch of a trace, and how much hangs on its largest interval.
 *
 * @param minutes equivalent minutes at the reference temperature
 * @param rule how they were integrated; {@link Rule#HOLD} for every held trace
 * @param largestShare share of {@code minutes} that came from one interval between readings, 0 to 1
 * @param largestFrom start of that interval, seconds
 * @param largestTo end of that interval, seconds
 */
public record Equivalents(
    double minutes, Rule rule, double largestShare, double largestFrom, double largestTo) {}
