package org.tarebook.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.Arrays;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;

class ResolutionTests {

  @Test
  void isTooCoarseOnlyAboveOneSigma() {
    assertThat(Resolution.tooCoarse(0.005, 0.005)).isFalse();
    assertThat(Resolution.tooCoarse(0.005, Math.nextDown(0.005))).isTrue();
    assertThat(Resolution.tooCoarse(0.005, 0)).isTrue();
  }

  /** Sigma of 1.2 to 30 steps, the mean anywhere; as a JSON client sends it, 18.5 for 18.50. */
  @Test
  void aFineSeriesWithoutItsTrailingZerosIsNeverTooCoarse() {
    Random random = new Random(36);
    for (int run = 0; run < 4_000; run++) {
      double sigma = 0.012 * Math.pow(25, random.nextDouble());
      int count = 10 + random.nextInt(run % 10 == 0 ? 3_000 : 200);
      CountedNanos readings = normal(random, 8.4 + random.nextDouble(), sigma, count, 0.01);
      assertThat(Resolution.recordedStep(readings, finest(readings), 1e9 * sigma))
          .as("run %d: %d readings, sigma %f", run, count, sigma)
          .isLessThanOrEqualTo(10_000_000);
    }
  }

  /** As its client sends it, padded with zeros to milligrams, and with a fine reading among it. */
  @Test
  void aCoarseSeriesHasItsStepOrIsTooCoarse() {
    Random random = new Random(37);
    for (double step : new double[] {0.1, 0.05, 0.02, 0.2, 0.5}) {
      for (int run = 0; run < 200; run++) {
        double sigma = step * (0.3 + 3 * random.nextDouble());
        CountedNanos sent = normal(random, 8.4 + random.nextDouble(), sigma, 200, step);
        CountedNanos among = sent.plus(CountedNanos.of(8_437_512_345L));
        for (long found :
            new long[] {
              Resolution.recordedStep(sent, finest(sent), 1e9 * sigma),
              Resolution.recordedStep(sent, 1_000_000, 1e9 * sigma),
              Resolution.recordedStep(among, 1, 1e9 * sigma)
            }) {
          assertThat(found == nanos(step) || (step > sigma && found > 1e9 * sigma))
              .as("step %f, sigma %f, found %d", step, sigma, found)
              .isTrue();
        }
      }
    }
  }

  /** By one scale or two, and in whichever order the parts of the window are put together. */
  @Test
  void halfOfTheReadingsRecordedCoarselyAreNoticed() {
    Random random = new Random(38);
    for (int run = 0; run < 2_000; run++) {
      double sigma = 0.015 * Math.pow(6, random.nextDouble());
      double mean = 8.4 + random.nextDouble();
      CountedNanos fine = normal(random, mean, sigma, 75, 0.01);
      CountedNanos coarse = normal(random, mean, sigma, 75, 0.1);
      assertThat(Resolution.recordedStep(fine.plus(coarse), 10_000_000, 1e9 * sigma))
          .as("run %d: sigma %f, mean %f", run, sigma, mean)
          .isGreaterThan(Math.round(1e9 * sigma))
          .isEqualTo(Resolution.recordedStep(coarse.plus(fine), 10_000_000, 1e9 * sigma));
    }
  }

  @Test
  void fewReadingsAndReadingsOfZeroShowNoCoarserStep() {
    assertThat(Resolution.recordedStep(CountedNanos.EMPTY, 10, 20)).isEqualTo(10);
    long[] readings = new long[13];
    Arrays.fill(readings, 100);
    assertThat(Resolution.recordedStep(CountedNanos.of(readings), 10, 20)).isEqualTo(10);
    readings = new long[14];
    Arrays.fill(readings, 100);
    assertThat(Resolution.recordedStep(CountedNanos.of(readings), 10, 20)).isEqualTo(100);
    assertThat(Resolution.recordedStep(CountedNanos.of(readings), 10, 9)).isEqualTo(10);
    assertThat(Resolution.recordedStep(CountedNanos.of(new long[50]), 10, 20)).isEqualTo(10);
    assertThatThrownBy(() -> Resolution.recordedStep(CountedNanos.EMPTY, 0, 1))
        .isInstanceOf(IllegalArgumentException.class);
  }

  private static CountedNanos normal(
      Random random, double mean, double sigma, int count, double step) {
    long nanos = nanos(step);
    return CountedNanos.of(
        random
            .doubles(count)
            .map(same -> mean + sigma * random.nextGaussian())
            .mapToLong(value -> Math.round(value * 1e9 / nanos) * nanos)
            .toArray());
  }

  private static long nanos(double step) {
    return Math.round(step * 1e9);
  }

  /** The last decimal of any, without zeros at the end. */
  private static long finest(CountedNanos readings) {
    long[] finest = {1_000_000_000};
    readings.forEach(
        (nanos, count) -> {
          while (nanos % finest[0] != 0) {
            finest[0] /= 10;
          }
        });
    return finest[0];
  }

  @Test
  void countsDifferentRangesExactly() {
    List<Subgroup> subgroups =
        List.of(
            Subgroup.of(100_000_000, 300_000_000), // 0.1 to 0.3, unequal to 0.2 in binary
            Subgroup.of(200_000_000, 400_000_000),
            Subgroup.of(5, 5));
    assertThat(Resolution.distinctRanges(subgroups)).isEqualTo(2);
    assertThat(Resolution.distinctRanges(List.of())).isZero();
  }

  @Test
  void refusesAnIntervalThatIsNone() {
    assertThatThrownBy(() -> Resolution.tooCoarse(0, 1))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessage("interval is 0.0, must be positive and finite");
    assertThatThrownBy(() -> Resolution.tooCoarse(1, Double.NaN)).hasMessageContaining("NaN");
  }
}
