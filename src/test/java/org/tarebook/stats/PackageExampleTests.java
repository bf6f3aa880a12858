package org.tarebook.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.tarebook.stats.baseline.Doubt;
import org.tarebook.stats.baseline.SpreadDoubts;
import org.tarebook.stats.capability.SmallestSample;
import org.tarebook.stats.chart.EstimatedLimits;
import org.tarebook.stats.chart.Ewma;
import org.tarebook.stats.measuring.DecisionRisk;
import org.tarebook.stats.measuring.GuardedAcceptance;

/** The worked example of the package description; figures by mpmath 1.3.0 at 40 digits. */
class PackageExampleTests {

  @Test
  void threeSubgroupsOfTreadStrips() {
    List<Subgroup> subgroups =
        List.of(
            Subgroup.of(4_385_000_000L, 4_390_000_000L, 4_375_000_000L, 4_400_000_000L),
            Subgroup.of(4_410_000_000L, 4_395_000_000L, 4_405_000_000L, 4_390_000_000L),
            Subgroup.of(4_380_000_000L, 4_400_000_000L, 4_395_000_000L, 4_385_000_000L));
    Moments all = subgroups.stream().map(Subgroup::moments).reduce(Moments.EMPTY, Moments::plus);
    assertThat(all.mean()).isEqualTo(4.3925);

    SigmaEstimate within = Spread.pooled(subgroups).orElseThrow();
    assertThat(within.sigma()).isEqualTo(0.009574271077563381);
    assertThat(within.degreesOfFreedom()).isEqualTo(9);
    assertThat(Spread.meanRange(subgroups).orElseThrow().sigma())
        .isCloseTo(0.01052418157403462, within(1e-16));

    ControlLimits limits = ControlLimits.ofMean(all.mean(), within.sigma(), 4);
    assertThat(limits.centre()).isEqualTo(4.3925);
    assertThat(limits.lower()).isCloseTo(4.378138593383655, within(1e-15));
    assertThat(limits.upper()).isCloseTo(4.406861406616345, within(1e-15));

    Tolerance tolerance = Tolerance.between(4.350, 4.430);
    CapabilityIndices c = CapabilityIndices.of(all.mean(), within.sigma(), tolerance).orElseThrow();
    assertThat(c.potential()).isCloseTo(1.393, within(5e-4));
    assertThat(c.minimum()).isCloseTo(1.306, within(5e-4)).isEqualTo(c.upper());
    Interval interval = CapabilityIntervals.ofPotential(c.potential(), within, 0.95);
    assertThat(interval.lower()).isCloseTo(0.763, within(5e-4));
    assertThat(interval.upper()).isCloseTo(2.025, within(5e-4));

    double total = Spread.total(all).orElseThrow().sigma();
    assertThat(total).isEqualTo(0.010335288182638248);
    CapabilityIndices p = CapabilityIndices.of(all.mean(), total, tolerance).orElseThrow();
    assertThat(p.potential()).isCloseTo(1.290, within(5e-4));
    assertThat(p.minimum()).isCloseTo(1.209, within(5.1e-4));

    // scipy 1.17.1: 2 * t.sf(3 / sqrt(4/3), 9), nct.sf, quad over the normal density.
    assertThat(new EstimatedLimits(3, within.degreesOfFreedom(), 3).meanFalseSignals())
        .isCloseTo(0.028829046514401813, within(1e-14));
    Doubt few = SpreadDoubts.fewSubgroups(within, 0.1);
    assertThat(few.figure()).isCloseTo(0.2357, within(5e-5));
    assertThat(few.raised()).isTrue();
    assertThat(SmallestSample.readings(1.33, 1.6, 0.95)).isEqualTo(54);

    double[] means = {4.3875, 4.4, 4.39};
    Ewma.Point last = new Ewma(0.2, 3).points(means, 4.3925, within.sigma() / 2).get(2);
    assertThat(last.average()).isCloseTo(4.39256, within(1e-12));
    assertThat(last.limits().lower()).isCloseTo(4.388387920234237, within(1e-12));
    assertThat(last.limits().upper()).isCloseTo(4.396612079765763, within(1e-12));

    GuardedAcceptance rule = GuardedAcceptance.of(tolerance, 0.004, 1);
    assertThat(rule.judge(4.428)).isEqualTo(GuardedAcceptance.Decision.CONDITIONAL);
    DecisionRisk risk = new DecisionRisk(all.mean(), total, 0.002, tolerance, rule.acceptance());
    assertThat(risk.consumers()).isCloseTo(8.377e-7, within(2e-10));
    assertThat(risk.producers()).isCloseTo(6.9667e-4, within(1e-7));
  }
}
