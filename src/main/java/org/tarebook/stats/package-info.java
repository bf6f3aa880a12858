/**
 * Statistics of readings: exact moments, spread, control limits, run rules, capability, shares.
 *
 * <p>Pure Java without clock or storage. Readings come in as decimals or as {@code long} in
 * 10<sup>-9</sup> of the unit shown ({@code 4_385_000_000L} is 4.385 kg); figures go out as {@code
 * double}.
 *
 * <h2>What holds everywhere</h2>
 *
 * <ul>
 *   <li><b>Exact, then rounded once.</b> Sums, ranges, means, variances and sums of squares are
 *       integers and fractions. Merging segments, permuting readings or adding and removing a
 *       constant changes no digit of a mean, a spread or an F ratio.
 *   <li><b>One unit.</b> Nothing here knows units; figures are in the unit of the readings,
 *       variances in its square, indices, factors and shares have none. {@link
 *       org.tarebook.stats.Moments#affine} converts exactly.
 *   <li><b>Refused:</b> an argument that cannot be (NaN, a negative sigma, unequal subgroups where
 *       one size is needed) raises {@link java.lang.IllegalArgumentException} and names it.
 *   <li><b>Absent:</b> a figure that the readings do not have (no subgroup of two, no spread) is an
 *       empty {@link java.util.Optional} or a null component marked so, never NaN. {@link
 *       org.tarebook.stats.Moments} throws {@link java.lang.IllegalStateException} for the mean of
 *       nothing: ask for {@link org.tarebook.stats.Moments#count()} first.
 *   <li><b>Threads:</b> all types are immutable and may be shared, but {@link
 *       org.tarebook.stats.MomentsAccumulator}, which may not.
 * </ul>
 *
 * <h2>Assumptions</h2>
 *
 * <p>Moments, ranges and counts assume nothing. Everything that speaks of chances (factors, limits,
 * run lengths, confidence, shares outside) assumes independent, about normal readings of a stable
 * process. Readings that follow each other closely make the moving range too small and every
 * interval too narrow. A capability index of a process that is not in control describes nothing;
 * whether to compute it is for the caller to decide.
 *
 * <h2>From readings to figures</h2>
 *
 * <table>
 * <caption>Where each figure comes from</caption>
 * <tr><th>Wanted</th><th>Take</th></tr>
 * <tr><td>count, mean, variance of a window</td><td>{@link org.tarebook.stats.Moments}</td></tr>
 * <tr><td>one chart point</td><td>{@link org.tarebook.stats.Subgroup}</td></tr>
 * <tr><td>sigma and how well it is known</td><td>{@link org.tarebook.stats.Spread}, giving a
 *     {@link org.tarebook.stats.SigmaEstimate}</td></tr>
 * <tr><td>control limits, all kinds from sigma</td><td>{@link org.tarebook.stats.ControlLimits};
 *     printed-table factors: {@link org.tarebook.stats.Factors}</td></tr>
 * <tr><td>signals</td><td>{@link org.tarebook.stats.RunRules} with {@link
 *     org.tarebook.stats.ZoneRule}; false signals to expect: {@link
 *     org.tarebook.stats.RunRuleChances}</td></tr>
 * <tr><td>Cp, Cpk, Pp, Ppk</td><td>{@link org.tarebook.stats.CapabilityIndices}, {@link
 *     org.tarebook.stats.CapabilityIntervals}, {@link org.tarebook.stats.SharesOutside}</td></tr>
 * <tr><td>reject rates</td><td>{@link org.tarebook.stats.Proportion}, by shifts {@link
 *     org.tarebook.stats.Overdispersion}</td></tr>
 * <tr><td>doubts about the readings</td><td>{@link org.tarebook.stats.OneWayAnova} (mixed strata),
 *     {@link org.tarebook.stats.Resolution} (coarse instrument)</td></tr>
 * </table>
 *
 * <h2>A worked example, in kilograms</h2>
 *
 * <p>Three subgroups of four tread strips, tolerance 4.350 to 4.430 kg:
 *
 * <pre>{@code
 * List<Subgroup> subgroups = List.of(
 *     Subgroup.of(4_385_000_000L, 4_390_000_000L, 4_375_000_000L, 4_400_000_000L),
 *     Subgroup.of(4_410_000_000L, 4_395_000_000L, 4_405_000_000L, 4_390_000_000L),
 *     Subgroup.of(4_380_000_000L, 4_400_000_000L, 4_395_000_000L, 4_385_000_000L));
 * Moments all = subgroups.stream().map(Subgroup::moments).reduce(Moments.EMPTY, Moments::plus);
 *
 * all.mean();                                           // 4.3925 kg
 * SigmaEstimate within = Spread.pooled(subgroups).orElseThrow();
 * within.sigma();                                       // 0.0095743 kg, root of 0.000825 / 9
 * within.degreesOfFreedom();                            // 9, that is 3 (4 - 1)
 * Spread.meanRange(subgroups).orElseThrow().sigma();    // 0.0105242 kg, 0.021667 / d2(4)
 *
 * ControlLimits limits = ControlLimits.ofMean(all.mean(), within.sigma(), 4);
 * // centre 4.3925, lower 4.3781, upper 4.4069 kg
 *
 * Tolerance tolerance = Tolerance.between(4.350, 4.430);
 * CapabilityIndices c = CapabilityIndices.of(all.mean(), within.sigma(), tolerance).orElseThrow();
 * // Cp 1.393, Cpk 1.306, the upper side being the nearer
 * CapabilityIntervals.ofPotential(c.potential(), within, 0.95);
 * // 0.763 to 2.025: twelve strips say little
 * double total = Spread.total(all).orElseThrow().sigma();  // 0.0103353 kg
 * CapabilityIndices.of(all.mean(), total, tolerance);   // Pp 1.290, Ppk 1.209
 * }</pre>
 *
 * <h2>To add a statistic</h2>
 *
 * <p>A file named after what it does; a record for what it gives; its reference values with their
 * source under {@code src/test/resources/reference/statistics}; a row in the table above.
 */
@NullMarked
package org.tarebook.stats;

import org.jspecify.annotations.NullMarked;
