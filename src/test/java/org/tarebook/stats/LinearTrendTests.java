package org.tarebook.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import java.util.Random;
import org.junit.jupiter.api.Test;

class LinearTrendTests {

  // scipy 1.17.1 linregress and t.ppf.
  @Test
  void slopeMeetsScipy() {
    double[] x = {1, 2, 3, 4, 5, 6, 7};
    double[] y = {2.1, 2.0, 2.6, 2.4, 3.1, 2.9, 3.3};
    LinearTrend line = LinearTrend.of(x, y).orElseThrow();
    assertThat(line.slope()).isCloseTo(0.210714285714286, within(1e-14));
    assertThat(line.slopeInterval(0.95).lower()).isCloseTo(0.106280615475438, within(1e-13));
    assertThat(line.slopeInterval(0.95).upper()).isCloseTo(0.315147955953133, within(1e-13));
    assertThat(line.slopeChance()).isCloseTo(0.00350588580645278, within(1e-14));
    assertThat(line.at(4)).isCloseTo(18.4 / 7, within(1e-14));
    assertThat(line.intervalAt(4, 0.95).upper() - line.at(4))
        .isLessThan(line.intervalAt(7, 0.95).upper() - line.at(7));
  }

  @Test
  void aLargeCommonValueCostsNoDigits() {
    double[] x = {1, 2, 3, 5, 8};
    double[] y = {2, 5, 4, 9, 11};
    double[] farX = Arrays.stream(x).map(v -> v + 1e9).toArray();
    double[] farY = Arrays.stream(y).map(v -> v - 3e9).toArray();
    LinearTrend near = LinearTrend.of(x, y).orElseThrow();
    LinearTrend far = LinearTrend.of(farX, farY).orElseThrow();
    assertThat(far.slope()).isCloseTo(near.slope(), within(1e-6));
    assertThat(LinearTrend.of(x, farY).orElseThrow().slope()).isCloseTo(near.slope(), within(1e-7));
    // Where the means are whole nothing is lost at all.
    double[] whole = {0, 1, 2, 3, 4};
    double[] steps = {1, 1, 2, 3, 3};
    double[] farSteps = Arrays.stream(steps).map(v -> v + 0x1p52).toArray();
    assertThat(LinearTrend.of(whole, farSteps).orElseThrow().slope())
        .isEqualTo(LinearTrend.of(whole, steps).orElseThrow().slope());
  }

  @Test
  void intervalsHoldTheirConfidence() {
    Random random = new Random(151);
    int held = 0;
    int heldAt = 0;
    int rounds = 4000;
    double[] x = {0, 1, 1, 2, 5, 8, 13};
    for (int r = 0; r < rounds; r++) {
      double[] y = Arrays.stream(x).map(v -> 3 - 0.2 * v + random.nextGaussian()).toArray();
      LinearTrend line = LinearTrend.of(x, y).orElseThrow();
      Interval slope = line.slopeInterval(0.9);
      Interval at = line.intervalAt(10, 0.9);
      held += slope.lower() <= -0.2 && -0.2 <= slope.upper() ? 1 : 0;
      heldAt += at.lower() <= 1 && 1 <= at.upper() ? 1 : 0;
    }
    assertThat((double) held / rounds).isBetween(0.885, 0.915);
    assertThat((double) heldAt / rounds).isBetween(0.885, 0.915);
  }

  @Test
  void isAbsentWithoutALine() {
    assertThat(LinearTrend.of(new double[] {1, 2}, new double[] {1, 2})).isEmpty();
    assertThat(LinearTrend.of(new double[] {1, 1, 1}, new double[] {1, 2, 3})).isEmpty();
    LinearTrend flat = LinearTrend.of(new double[] {1, 2, 3}, new double[] {4, 4, 4}).orElseThrow();
    assertThat(flat.slopeChance()).isEqualTo(1);
    assertThat(flat.slopeInterval(0.95)).isEqualTo(new Interval(0, 0));
    assertThatThrownBy(() -> LinearTrend.of(new double[3], new double[2]))
        .hasMessage("3 x for 2 y");
    assertThatThrownBy(() -> LinearTrend.of(new double[] {Double.NaN}, new double[1]))
        .hasMessage("x 0 is NaN, must be finite");
  }
}
