package org.tarebook.schedule;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.tarebook.compound.Kinetics;
import org.tarebook.thermal.Arrhenius;
import org.tarebook.thermal.Between;
import org.tarebook.thermal.Trace;
import tools.jackson.databind.json.JsonMapper;

/**
 * What the diffusivities of two compounds add to an interval, against sections that differ from the
 * stated one by a standard uncertainty of one of them.
 */
class DiffusivityDoubtTests {

  private static final double UNCERTAINTY = 0.1;
  private static final double OPENING = 1500;

  private static final ScheduleDefinition DEFINITION =
      new JsonMapper()
          .readValue(
              """
              {"steps": [], "largestGap": "PT15S", "section": {"layers": [
                {"name": "bladder", "kind": "BLADDER", "thickness": {"value": 4, "unit": "mm"},
                 "diffusivity": {"value": 0.10, "unit": "mm2/s"},
                 "conductivity": {"value": 0.20, "unit": "W/(m.K)"}, "startsAt": "GREEN_TYRE"},
                {"name": "carcass", "kind": "RUBBER", "thickness": {"value": 8, "unit": "mm"},
                 "compound": "A"},
                {"name": "tread", "kind": "RUBBER", "thickness": {"value": 16, "unit": "mm"},
                 "compound": "B"},
                {"name": "mould", "kind": "METAL", "thickness": {"value": 25, "unit": "mm"},
                 "diffusivity": {"value": 12, "unit": "mm2/s"},
                 "conductivity": {"value": 45, "unit": "W/(m.K)"}, "startsAt": "OUTSIDE"}],
                "inside": {"film": {"value": 1000, "unit": "W/(m2.K)"}},
                "outside": {"film": {"value": 3000, "unit": "W/(m2.K)"}}},
               "greenTyre": {"coldest": {"value": 20, "unit": "Cel"},
                 "warmest": {"value": 35, "unit": "Cel"}}}
              """,
              ScheduleDefinition.class);

  @Test
  void aStandardUncertaintyOfOneCompoundLiesWithinTheStatedInterval() {
    for (boolean slowest : List.of(true, false)) {
      HeatFigure stated = figure(Map.of(), slowest);
      double doubt = contribution(stated);
      for (String compound : List.of("A", "B")) {
        for (double by : new double[] {1 / (1 + UNCERTAINTY), 1 + UNCERTAINTY}) {
          double step =
              Math.log(figure(Map.of(compound, by), slowest).minutes() / stated.minutes());
          assertThat(Math.abs(step))
              .as("%s times %s, slowest %s", compound, by, slowest)
              .isLessThan(2 * doubt);
        }
      }
    }
  }

  /** By differences of sections: each compound by itself, in squares. */
  @Test
  void compoundsAreVariedEachByItselfAndAddedInSquares() {
    for (boolean slowest : List.of(true, false)) {
      HeatFigure stated = figure(Map.of(), slowest);
      double square = 0;
      for (String compound : List.of("A", "B")) {
        double lower = figure(Map.of(compound, 1 / (1 + UNCERTAINTY)), slowest).minutes();
        square += Math.pow(Math.log(lower / stated.minutes()), 2);
      }
      assertThat(contribution(stated) / Math.sqrt(square))
          .as("slowest %s", slowest)
          .isEqualTo(1, within(0.05));
    }
  }

  private static double contribution(HeatFigure figure) {
    return Objects.requireNonNull(figure.contributions().get(Guard.DIFFUSIVITY));
  }

  private static HeatFigure figure(Map<String, Double> times, boolean slowest) {
    HeatSection section =
        HeatSection.of(
                DEFINITION,
                (compound, revision, pointer) ->
                    new Kinetics(
                        compound.equals("A") ? 1 : 2,
                        compound,
                        1,
                        new Arrhenius(90_000, 150),
                        3_000.0,
                        Double.POSITIVE_INFINITY,
                        1.2e-7 * times.getOrDefault(compound, 1.0),
                        UNCERTAINTY,
                        0.25,
                        null,
                        null,
                        false,
                        "invented for this test"))
            .orElseThrow();
    Trace inside = new Trace(new double[] {0, 60, 120}, new double[] {90, 90, 168}, Between.LINEAR);
    Trace outside = Trace.constant(150);
    HeatEstimate estimate =
        HeatEstimate.of(
            section,
            new HeatEstimate.Heating(
                inside, inside, outside, outside, 25, 25, 0.3, 0.3, OPENING, OPENING, null));
    assertThat(estimate.section().kinetics().unknown(Set.of())).isEmpty();
    return slowest ? estimate.slowest(Until.OPENING) : estimate.fastest(Until.OPENING);
  }
}
