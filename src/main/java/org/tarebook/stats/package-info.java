/**
 * Statistics of readings: exact moments, spread, control limits, run rules, capability, shares.
 * This is the manual of the package and of the rooms below it.
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
 *       constant changes no digit of a mean, a spread or an F ratio. The rooms below take {@code
 *       double[]} and say their accuracy where it is not plain.
 *   <li><b>One unit.</b> Nothing here knows units; figures are in the unit of the readings,
 *       variances in its square, indices, factors and shares have none. {@link
 *       org.tarebook.stats.Moments#affine} converts exactly.
 *   <li><b>Refused:</b> an argument that cannot be (NaN, a negative sigma, unequal subgroups where
 *       one size is needed) raises {@link java.lang.IllegalArgumentException} and names it.
 *   <li><b>Absent:</b> a figure that the readings do not have (no subgroup of two, no spread) is an
 *       empty {@link java.util.Optional} or a null component marked so, never NaN. {@link
 *       org.tarebook.stats.Moments} throws {@link java.lang.IllegalStateException} for the mean of
 *       nothing: ask for {@link org.tarebook.stats.Moments#count()} first.
 *   <li><b>Chance is repeatable:</b> whatever is simulated or resampled takes a seed, and the same
 *       arguments give the same digits.
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
 * <tr><td>signals of any rule</td><td>{@link org.tarebook.stats.RunRules} with {@link
 *     org.tarebook.stats.RuleSet} or rules of one's own; false signals and run lengths: {@link
 *     org.tarebook.stats.RunRuleChances} (exact), {@link org.tarebook.stats.SimulatedRunLength}
 *     (trends)</td></tr>
 * <tr><td>other charts</td><td>{@link org.tarebook.stats.chart}: EWMA, CUSUM, attributes, short
 *     runs, several cavities, {@link org.tarebook.stats.chart.MeanRunLengths}, {@link
 *     org.tarebook.stats.chart.EstimatedLimits}</td></tr>
 * <tr><td>Cp, Cpk, Pp, Ppk</td><td>{@link org.tarebook.stats.CapabilityIndices}, {@link
 *     org.tarebook.stats.CapabilityIntervals}, {@link org.tarebook.stats.SharesOutside}; Cpm,
 *     percentiles and sample sizes: {@link org.tarebook.stats.capability}</td></tr>
 * <tr><td>readings that are not normal</td><td>{@link org.tarebook.stats.fit}: tests, fits,
 *     percentiles</td></tr>
 * <tr><td>reject rates</td><td>{@link org.tarebook.stats.Proportion}, {@link
 *     org.tarebook.stats.FaultRate}, by shifts {@link org.tarebook.stats.Overdispersion}, two of
 *     them {@link org.tarebook.stats.ShareComparison}, exactly {@link
 *     org.tarebook.stats.FisherExact}, several steps {@link
 *     org.tarebook.stats.FirstPassYield}</td></tr>
 * <tr><td>doubts about the readings</td><td>{@link org.tarebook.stats.baseline}, {@link
 *     org.tarebook.stats.Resolution}, {@link org.tarebook.stats.Autocorrelation}</td></tr>
 * <tr><td>differences between strata</td><td>{@link org.tarebook.stats.OneWayAnova}, {@link
 *     org.tarebook.stats.compare}</td></tr>
 * <tr><td>when it changed, how it drifts</td><td>{@link org.tarebook.stats.change}, {@link
 *     org.tarebook.stats.LinearTrend}</td></tr>
 * <tr><td>the instrument, decisions in doubt</td><td>{@link org.tarebook.stats.measuring}</td></tr>
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
 *
 * // What the short baseline costs: false signals of points by these limits, not 0.27 % but
 * new EstimatedLimits(3, within.degreesOfFreedom(), 3).meanFalseSignals();  // 2.9 %
 * SpreadDoubts.fewSubgroups(within, 0.1);               // sigma known to 24 %: raised
 * SmallestSample.readings(1.33, 1.6, 0.95);             // 54 strips to say "Ppk at least 1.33"
 *
 * // The same three means on an EWMA chart, exact limits.
 * new Ewma(0.2, 3).points(new double[] {4.3875, 4.4, 4.39}, 4.3925, within.sigma() / 2);
 * // last average 4.39256 within 4.38839 to 4.39661 kg
 *
 * // A station with U = 4 g: readings pass from 4.354 to 4.426 kg.
 * GuardedAcceptance rule = GuardedAcceptance.of(tolerance, 0.004, 1);
 * rule.judge(4.428);                                    // CONDITIONAL
 * DecisionRisk risk =
 *     new DecisionRisk(all.mean(), total, 0.002, tolerance, rule.acceptance());
 * risk.consumers();                                     // 8.4e-7 accepted although outside
 * risk.producers();                                     // 7.0e-4 not passed although inside
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
