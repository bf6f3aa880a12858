package org.tarebook.schedule;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Map;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.tarebook.schedule.HeatFigure.Bounds;
import org.tarebook.thermal.Rule;

class HeatEstimateTests {

  /** JCGM 100:2008, table G.2, column for a fraction of 95.45 % (from memory). */
  @ParameterizedTest
  @CsvSource({
    "1, 13.97",
    "2, 4.53",
    "3, 3.31",
    "4, 2.87",
    "5, 2.65",
    "6, 2.52",
    "7, 2.43",
    "8, 2.37",
    "9, 2.32",
    "10, 2.28",
    "20, 2.13",
    "50, 2.05",
    "Infinity, 2.000"
  })
  void fewDegreesOfFreedomWidenTheInterval(double freedom, double factor) {
    HeatFigure figure = figure(Map.of(Guard.ACTIVATION_ENERGY, 0.01));
    assertThat(figure.doubtOfLeast(Set.of(), freedom) / 0.01).isEqualTo(factor, within(0.005));
  }

  /** Welch-Satterthwaite by hand: 30 (0.03² + 0.04²)² / 0.04⁴ = 73.2 degrees of freedom. */
  @Test
  void otherSourcesAddDegreesOfFreedom() {
    HeatFigure figure = figure(Map.of(Guard.ACTIVATION_ENERGY, 0.04, Guard.DIFFUSIVITY, 0.03));
    double factor = figure.doubtOfLeast(Set.of(), 30) / 0.05;
    assertThat(factor).isBetween(2.0, 2.09);
    assertThat(figure.doubtOfLeast(Set.of(Guard.ACTIVATION_ENERGY), 1))
        .isEqualTo(0.06, within(1e-12));
    assertThat(figure.doubtOfMost(Set.of(Guard.DIFFUSIVITY), 1) / 0.04)
        .isEqualTo(13.97, within(0.005));
    assertThat(figure.doubtOfMost(Set.of(Guard.values()), 1)).isZero();
  }

  /** With one degree of freedom a second doubt would else lower the factor from 14 to 2. */
  @Test
  void moreDoubtNeverNarrowsTheInterval() {
    double before = 0;
    for (double sensor = 0; sensor < 0.1; sensor += 0.001) {
      Map<Guard, Double> doubts = Map.of(Guard.ACTIVATION_ENERGY, 0.01, Guard.SENSOR, sensor);
      double doubt = figure(doubts).doubtOfLeast(Set.of(), 1);
      assertThat(doubt).as("sensor %s", sensor).isGreaterThanOrEqualTo(before - 1e-12);
      assertThat(doubt)
          .isGreaterThanOrEqualTo(figure(doubts).doubtOfLeast(Set.of(Guard.SENSOR), 1) - 1e-12);
      before = doubt;
    }
    assertThat(before).isGreaterThan(0.19);
  }

  private static HeatFigure figure(Map<Guard, Double> contributions) {
    return new HeatFigure(
        "TREAD",
        5.0,
        20,
        Rule.LOG_MEAN,
        20,
        140,
        new Bounds(20, 20, 20.0, 20.0),
        contributions,
        contributions,
        contributions);
  }
}
