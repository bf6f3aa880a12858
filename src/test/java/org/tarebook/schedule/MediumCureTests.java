package org.tarebook.schedule;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.math.BigDecimal;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.tarebook.compound.Kinetics;
import org.tarebook.fixtures.ReferenceTable;
import org.tarebook.plant.Quantity;
import org.tarebook.schedule.MediumCure.Heating;
import org.tarebook.schedule.MediumCure.Stretch;
import org.tarebook.schedule.ScheduleDefinition.Medium;
import org.tarebook.schedule.ScheduleDefinition.WantedOfMedium;
import org.tarebook.thermal.Arrhenius;
import org.tarebook.thermal.Between;
import org.tarebook.thermal.Trace;

class MediumCureTests {

  private static final Trace STEADY = Trace.constant(160);

  /** By the closed form with E1 of the table: the truth lies between both rules. */
  @Test
  void aRampAgreesWithTheTable() {
    for (Map<String, String> row : ReferenceTable.read("trade/cure_ramp.csv")) {
      double seconds = 60 * number(row, "t_min");
      Trace ramp =
          new Trace(
              new double[] {0, seconds},
              new double[] {number(row, "T_start_C"), number(row, "T_end_C")},
              Between.LINEAR);
      MediumCure cure = cure(number(row, "Ea_J_per_mol"), number(row, "Tref_C"), null, null);
      HeatFigure least = cure.minimum(known(ramp, seconds));
      HeatFigure most = cure.maximum(known(ramp, seconds));
      assertThat(least.minutes() / number(row, "equiv_min_logmean_one_segment"))
          .isEqualTo(1, within(1e-9));
      assertThat(most.minutes() / number(row, "equiv_min_trapezoid_one_segment"))
          .isEqualTo(1, within(1e-9));
      assertThat(number(row, "equiv_min_exact")).isBetween(least.minutes(), most.minutes());
      assertThat(least.otherRule()).isEqualTo(most.minutes());
      assertThat(least.layer()).isNull();
      assertThat(least.depthMillimetres()).isNull();
    }
  }

  /** k(160 °C) against 150 °C with 90 kJ/mol is exp(90000/R (1/423.15 - 1/433.15)). */
  @Test
  void whatIsNotKnownCountsNothingForTheLeastAndTheHottestForTheMost() {
    double rate = Math.exp(90_000 / 8.31446261815324 * (1 / 423.15 - 1 / 433.15));
    MediumCure cure = cure(90_000, 150, null, null);
    List<Stretch> gaps = List.of(new Stretch(60, 120), new Stretch(500, 900));
    Trace ceiling = STEADY.replaced(60, 120, 180).replaced(500, 900, 180);
    HeatFigure figure = cure.minimum(new Heating(STEADY, STEADY, ceiling, 0, 600, gaps));
    assertThat(figure.minutes()).isEqualTo(10 * rate, within(1e-9));
    assertThat(figure.bounds().least()).isEqualTo((600 - 60 - 100) / 60.0 * rate, within(1e-9));
    assertThat(figure.bounds().most()).isGreaterThan(figure.minutes() * 1.3);

    HeatFigure unbounded = cure.minimum(new Heating(STEADY, STEADY, null, 0, 600, gaps));
    assertThat(unbounded.bounds().most()).isNull();
    assertThat(unbounded.bounds().mostExtrapolated()).isNull();
  }

  @Test
  void kineticsBeyondTheirRangeProveNothing() {
    double at150 = 10;
    MediumCure cold = cure(90_000, 150, null, new Kinetics.Range(100, 150));
    HeatFigure hot = cold.minimum(known(STEADY, 600));
    assertThat(hot.bounds().least()).isEqualTo(at150, within(1e-9));
    assertThat(hot.bounds().most()).isNull();
    assertThat(hot.bounds().mostExtrapolated()).isGreaterThan(at150);
    HeatFigure below =
        cure(90_000, 150, null, new Kinetics.Range(170, 190)).minimum(known(STEADY, 600));
    assertThat(below.bounds().least()).isEqualTo(0, within(1e-9));
    assertThat(below.bounds().most()).isGreaterThan(below.minutes());
  }

  /** d ln k / dT = E / (R T²): 0.0577 per kelvin at 433.15 K and 90 kJ/mol. */
  @Test
  void doubtsAreThoseOfSensorsAndEnergy() {
    MediumCure cure = cure(90_000, 150, 3_000.0, null);
    HeatFigure figure = cure.minimum(new Heating(STEADY, STEADY, STEADY, 0.3, 600, List.of()));
    assertThat(figure.contributions().keySet())
        .isEqualTo(Set.of(Guard.SENSOR, Guard.ACTIVATION_ENERGY));
    assertThat(figure.contributions().get(Guard.SENSOR))
        .isEqualTo(0.0577 * 0.3 / Math.sqrt(3), within(1e-4));
    assertThat(figure.contributions().get(Guard.ACTIVATION_ENERGY))
        .isEqualTo(3_000 / 8.31446261815324 * (1 / 423.15 - 1 / 433.15), within(1e-9));
  }

  /** A hair above the lowest temperature of the kinetics, and hotter: no end runs away. */
  @Test
  void theEndOfARangeIsKnownWithinTheErrorOfTheSensors() {
    double before = 0;
    MediumCure cure = cure(90_000, 150, 1_000.0, new Kinetics.Range(150, 190));
    for (double celsius = 149; celsius < 153; celsius += 0.05) {
      Trace trace = Trace.constant(celsius);
      HeatFigure figure = cure.minimum(new Heating(trace, trace, trace, 0.5, 1200, List.of()));
      double least = figure.bounds().least() * Math.exp(-figure.doubtOfLeast(Set.of(), 30));
      double most =
          Objects.requireNonNull(figure.bounds().most())
              * Math.exp(figure.doubtOfMost(Set.of(), 30));
      assertThat(least).as("%s", celsius).isGreaterThanOrEqualTo(before - 1e-9);
      assertThat(least > 1).isEqualTo(celsius >= 150.5);
      assertThat(most).isBetween(figure.minutes(), figure.minutes() * 1.15);
      before = least;
    }
  }

  /** By hand: 5 minutes at 200 °C are 14.9 times 5 at 150 °C, and 17.3 with 95 kJ/mol. */
  @Test
  void theMostOfAGapDoubtsTheEnergyThere() {
    Trace trace = Trace.constant(150);
    Trace ceiling =
        new Trace(
            new double[] {0, 300, 300.001, 1500},
            new double[] {200, 200, 150, 150},
            Between.LINEAR);
    HeatFigure figure =
        cure(90_000, 150, 5_000.0, null)
            .maximum(new Heating(trace, trace, ceiling, 0, 1500, List.of(new Stretch(0, 300))));
    double by = 1 / 423.15 - 1 / 473.15;
    double most = 20 + 5 * Math.exp(90_000 / 8.31446261815324 * by);
    double hotter = 20 + 5 * Math.exp(95_000 / 8.31446261815324 * by);
    assertThat(figure.bounds().most()).isEqualTo(most, within(0.01));
    assertThat(Math.exp(figure.doubtOfMost(Set.of(), 1e9)))
        .isEqualTo(Math.pow(hotter / most, 2), within(1e-3));
  }

  @Test
  void nothingIsCountedOfNoTime() {
    HeatFigure figure = cure(90_000, 150, 3_000.0, null).minimum(known(STEADY, 0));
    assertThat(figure.minutes()).isZero();
    assertThat(figure.doubtOfLeast(Set.of(), 1)).isZero();
  }

  private static Heating known(Trace trace, double until) {
    return new Heating(trace, trace, trace, 0, until, List.of());
  }

  private static MediumCure cure(
      double energy, double reference, @Nullable Double error, Kinetics.@Nullable Range range) {
    return new MediumCure(
        new WantedOfMedium(
            "water",
            Medium.INSIDE,
            "K-1",
            1,
            Until.OPENING,
            BigDecimal.ONE,
            null,
            new Quantity(new BigDecimal("180"), "Cel")),
        new Kinetics(
            1,
            "K-1",
            1,
            new Arrhenius(energy, reference),
            error,
            Double.POSITIVE_INFINITY,
            1e-7,
            0,
            0.2,
            null,
            range,
            false,
            "invented"));
  }

  private static double number(Map<String, String> row, String column) {
    return Double.parseDouble(row.get(column));
  }
}
