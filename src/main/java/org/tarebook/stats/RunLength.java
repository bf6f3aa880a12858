package org.tarebook.stats;

/**
 * The number of points from a fresh start to the first signal, the signalling point included.
 *
 * @param mean average run length, at least 1
 * @param sd its standard deviation; about the mean itself for long runs
 */
public record RunLength(double mean, double sd) {}
