package org.tarebook.thermal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;
import static org.tarebook.thermal.StatedRange.Bound.LOWER;
import static org.tarebook.thermal.StatedRange.Bound.UPPER;

import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;

/** What a lower bound of a cure is made of: laws within their range, and traces without credit. */
class LowerBoundTests {

  private static final Arrhenius LAW = new Arrhenius(90_000, 150);

  @Test
  void aLawTakesNoCreditBeyondItsRange() {
    StatedRange law = new StatedRange(LAW, 120, 160, LOWER);
    assertThat(law.rate(140)).isEqualTo(LAW.rate(140));
    assertThat(law.rate(120)).isEqualTo(LAW.rate(120));
    assertThat(law.rate(160)).isEqualTo(LAW.rate(160));
    assertThat(law.rate(170)).isEqualTo(LAW.rate(160));
    assertThat(law.rate(119.9)).isLessThan(1e-200);
    assertThat(law.referenceCelsius()).isEqualTo(150);
    assertThatThrownBy(() -> new StatedRange(LAW, 160, 160, LOWER)).hasMessageContaining("below");
  }

  @Test
  void anUpperBoundCountsBelowTheRangeAsAtItsLowerEnd() {
    StatedRange law = new StatedRange(LAW, 120, 160, UPPER);
    assertThat(law.rate(140)).isEqualTo(LAW.rate(140));
    assertThat(law.rate(25)).isEqualTo(LAW.rate(120));
    assertThat(law.rate(170)).isEqualTo(LAW.rate(170));
  }

  /** A slab of 25 °C between faces of 160 °C: its faces are that hot at once, its middle never. */
  @Test
  void theHighestTemperatureOfAPlaceIsKept() {
    HeatHistory history = slab(Trace.constant(160), LAW, 300, 96);
    assertThat(history.hottestAt(0, 0)).isCloseTo(160, within(1e-9));
    assertThat(history.hottestAt(0.01, 0))
        .isCloseTo(history.celsiusAt(0.01, 0), within(0.5))
        .isLessThan(120);
    assertThat(history.hottestOf(0, 0)).isCloseTo(160, within(1e-9));
    Trace cooling =
        new Trace(new double[] {0, 1200, 1800}, new double[] {160, 160, 20}, Between.LINEAR);
    HeatHistory cooled = slab(cooling, LAW);
    assertThat(cooled.celsiusAt(0, 0)).isCloseTo(20, within(1e-6));
    assertThat(cooled.hottestAt(0, 0)).isCloseTo(160, within(1e-6));
  }

  /** Ten minutes at 170 °C count as ten at 160; the way there, from 100 °C, begins at 120. */
  @Test
  void equivalentsWithinARangeAreThoseOfTheCappedCourse() {
    Trace ramp = new Trace(new double[] {0, 70, 670}, new double[] {100, 170, 170}, Between.LINEAR);
    StatedRange law = new StatedRange(LAW, 120, 160, LOWER);
    Trace fine = fine(ramp);
    double capped = EquivalentCure.of(fine, law, 0, 670, Rule.LOG_MEAN).minutes();
    double byHand = 0;
    for (double at = 0; at < 670; at += 0.01) {
      double celsius = ramp.at(at + 0.005);
      byHand += celsius < 120 ? 0 : LAW.rate(Math.min(160, celsius)) * 0.01 / 60;
    }
    assertThat(capped).isLessThanOrEqualTo(byHand).isCloseTo(byHand, within(byHand * 1e-3));
  }

  private static Trace fine(Trace trace) {
    double[] seconds = new double[671];
    double[] values = new double[671];
    for (int i = 0; i <= 670; i++) {
      seconds[i] = i;
      values[i] = trace.at(i);
    }
    return new Trace(seconds, values, Between.LINEAR);
  }

  @Test
  void aStretchIsReplacedAndTheRestStays() {
    Trace line =
        new Trace(
            new double[] {0, 10, 100, 110}, new double[] {150, 151, 152, 153}, Between.LINEAR);
    Trace cold = line.replaced(10, 100, 20);
    assertThat(cold.at(10)).isEqualTo(151);
    assertThat(cold.at(10.01)).isEqualTo(20);
    assertThat(cold.at(99.99)).isEqualTo(20);
    assertThat(cold.at(100)).isEqualTo(152);
    assertThat(line.replaced(110, 200, 20).at(150)).isEqualTo(20);
    assertThat(
            new Trace(new double[] {50}, new double[] {150}, Between.LINEAR)
                .replaced(0, 50, 20)
                .at(20))
        .isEqualTo(20);
    Trace held = new Trace(new double[] {0, 100}, new double[] {150, 152}, Between.HOLD);
    Trace overdue = held.replaced(60, 100, 20);
    assertThat(overdue.at(59)).isEqualTo(150);
    assertThat(overdue.at(60)).isEqualTo(20);
    assertThat(overdue.at(100)).isEqualTo(152);
  }

  /** Rows at 150.000, 150.001 and 150.002 s, the one between set aside: both steps fit in. */
  @Test
  void aStretchOfTwoMillisecondsIsReplaced() {
    Trace line =
        new Trace(
            new double[] {140, 150, 150.002, 160},
            new double[] {160, 160, 160, 160},
            Between.LINEAR);
    assertThat(line.replaced(150, 150.002, 200).at(150.001)).isEqualTo(200);
  }

  /** Stretches of a microsecond and more, one after the other, at any moment of a load. */
  @Test
  void aStretchOfAnyLengthIsReplacedInItsMiddleAndNowhereElse() {
    Random random = new Random(11);
    for (int i = 0; i < 20_000; i++) {
      Between between = random.nextBoolean() ? Between.LINEAR : Between.HOLD;
      double[] moments = new double[6];
      long micros = random.nextInt(2_000_000_000);
      for (int j = 0; j < moments.length; j++) {
        moments[j] = micros / 1e6;
        micros += 1 + random.nextInt((int) Math.pow(10, 1 + random.nextInt(5)));
      }
      double[] values = random.doubles(moments.length, 100, 200).toArray();
      Trace trace = new Trace(moments, values, between);
      Trace replaced =
          trace.replaced(moments[1], moments[2], 20).replaced(moments[2], moments[4], 20);
      assertThat(replaced.at((moments[1] + moments[2]) / 2)).isEqualTo(20);
      assertThat(replaced.at((moments[2] + moments[4]) / 2)).isEqualTo(20);
      for (int j : new int[] {0, 4, 5}) {
        assertThat(replaced.at(moments[j])).isEqualTo(values[j]);
      }
      replaced.between(moments[0] - 1, moments[5] + 1);
    }
  }

  /** Half an hour of which ten minutes are cold: as the same course held in two steps. */
  @Test
  void aStepInAStraightTraceIsSolvedAsOneOfAHeldTrace() {
    Trace steady =
        new Trace(
            new double[] {0, 600, 1200, 1800}, new double[] {160, 160, 160, 160}, Between.LINEAR);
    Trace held = new Trace(new double[] {0, 600, 1200}, new double[] {160, 20, 160}, Between.HOLD);
    HeatHistory straight = slab(steady.replaced(600, 1200, 20), LAW);
    HeatHistory stepped = slab(held, LAW);
    for (double depth = 0.001; depth < 0.02; depth += 0.003) {
      double expected = stepped.minutesAt(depth, 0, Rule.LOG_MEAN);
      assertThat(straight.minutesAt(depth, 0, Rule.LOG_MEAN))
          .isCloseTo(expected, within(5e-4 * expected));
    }
    assertThat(straight.slowest(0).minutes())
        .isLessThan(slab(steady, LAW).slowest(0).minutes() / 2);
  }

  /**
   * After a quarter of an hour the middle has 116 °C; between it and the faces nothing is made up.
   */
  @Test
  void nothingIsMadeUpBesideRubberThatNeverCameIntoTheRange() {
    StatedRange law = new StatedRange(LAW, 124, 160, LOWER);
    HeatHistory history = slab(Trace.constant(125), law, 900, 96);
    HeatHistory fine = slab(Trace.constant(125), law, 900, 768);
    for (double depth = 0; depth <= 0.01; depth += 0.00002) {
      assertThat(history.minutesAt(depth, 0, Rule.LOG_MEAN))
          .as("at %s", depth)
          .isLessThanOrEqualTo(fine.minutesAt(depth, 0, Rule.LOG_MEAN) * 1.01 + 0.05);
    }
    assertThat(history.minutesAt(0, 0, Rule.LOG_MEAN)).isCloseTo(15 * LAW.rate(125), within(0.01));
    assertThat(history.slowest(0).minutes()).isLessThan(1e-6);
  }

  private static HeatHistory slab(Trace face, CureLaw law) {
    return slab(face, law, 1800, 96);
  }

  private static HeatHistory slab(Trace face, CureLaw law, double seconds, int cells) {
    return Conduction.solve(
        new Section(List.of(new Layer("slab", 0.02, 1.2e-7, 0.25, law))),
        List.of(new Span(0, seconds, 0, 0, face, Film.PERFECT, face, Film.PERFECT)),
        new double[] {25},
        new double[] {seconds},
        cells,
        4);
  }
}
