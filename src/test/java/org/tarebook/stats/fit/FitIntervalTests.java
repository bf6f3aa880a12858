package org.tarebook.stats.fit;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.tarebook.stats.Interval;

class FitIntervalTests {

  private static double[] weibull(Random random, int n, double shape, double scale) {
    double[] x = new double[n];
    for (int i = 0; i < n; i++) {
      x[i] = scale * Math.pow(-Math.log(1 - random.nextDouble()), 1 / shape);
    }
    return x;
  }

  /** For a normal fit the information is known: the index has variance 1 / 9n + C² / 2n. */
  @Test
  void anIndexOfANormalFitHasTheVarianceThatIsKnown() {
    Random random = new Random(1);
    double[] x = random.doubles(200).map(u -> 10 + random.nextGaussian()).toArray();
    FittedDistribution fit = Fits.of(Family.NORMAL, x).orElseThrow();
    double index = (14 - fit.first()) / (3 * fit.second());
    Interval interval =
        FitInterval.of(fit, x, moved -> (14 - moved.first()) / (3 * moved.second()), 0.95)
            .orElseThrow();
    double reach =
        1.959963984540054 * Math.sqrt(1 / (9.0 * x.length) + index * index / (2.0 * x.length));
    assertThat(interval.lower()).isCloseTo(index - reach, within(2e-6));
    assertThat(interval.upper()).isCloseTo(index + reach, within(2e-6));
  }

  @Test
  void aRayleighScaleHasTheVarianceThatIsKnown() {
    double[] x = weibull(new Random(2), 100, 2, 3);
    FittedDistribution fit = Fits.of(Family.RAYLEIGH, x).orElseThrow();
    Interval interval = FitInterval.of(fit, x, FittedDistribution::first, 0.95).orElseThrow();
    // the information is 4 n / scale²
    double reach = 1.959963984540054 * fit.first() / Math.sqrt(4.0 * x.length);
    assertThat(interval.upper() - fit.first()).isCloseTo(reach, within(1e-5 * reach));
  }

  @Test
  void intervalsOfAHighPercentileHoldWhatTheyPromise() {
    Random random = new Random(3);
    double truth = 5 * Math.pow(-Math.log(0.00135), 1 / 1.5);
    int held = 0;
    for (int round = 0; round < 400; round++) {
      double[] x = weibull(random, 200, 1.5, 5);
      FittedDistribution fit = Fits.of(Family.WEIBULL, x).orElseThrow();
      Interval interval =
          FitInterval.of(fit, x, moved -> moved.quantile(0.99865), 0.95).orElseThrow();
      held += interval.lower() <= truth && truth <= interval.upper() ? 1 : 0;
    }
    // 400 rounds at 95 %: three standard deviations are 13
    assertThat(held).isBetween(367, 396);
  }

  @Test
  void aRiceOffsetThatCannotBeToldHasNoInterval() {
    double[] x = weibull(new Random(4), 100, 2, 3);
    FittedDistribution fit = new FittedDistribution(Family.RICE, 0.9, 2, 0, x.length);
    assertThat(FitInterval.of(fit, x, moved -> moved.quantile(0.9), 0.95)).isEmpty();
  }

  @Test
  void aReadingImpossibleByTheFitLeavesNoInterval() {
    FittedDistribution fit = new FittedDistribution(Family.NORMAL, 0, 1, 0, 2);
    assertThat(FitInterval.of(fit, new double[] {0, 1000}, FittedDistribution::first, 0.95))
        .isEmpty();
    assertThatThrownBy(() -> FitInterval.of(fit, new double[] {0, 1}, FittedDistribution::first, 1))
        .isInstanceOf(IllegalArgumentException.class);
  }

  /**
   * Far from 0 level and spread are told apart, where shape and scale are not: the mean of a gamma
   * fit has variance \( m^2 / (n k) \), and the interval of a percentile moves with the readings.
   */
  @Test
  void intervalsStandFarFromZero() {
    Random random = new Random(5);
    double[] noise = random.doubles(200).map(u -> 0.001 * random.nextGaussian()).toArray();
    double[] x = Arrays.stream(noise).map(v -> 100 + v).toArray();
    FittedDistribution gamma = Fits.of(Family.GAMMA, x).orElseThrow();
    double reach =
        1.959963984540054 * gamma.first() * gamma.second() / Math.sqrt(x.length * gamma.first());
    Interval mean =
        FitInterval.of(gamma, x, moved -> moved.first() * moved.second(), 0.95).orElseThrow();
    assertThat((mean.upper() - mean.lower()) / 2).isCloseTo(reach, within(1e-4 * reach));
    FittedDistribution normal = Fits.of(Family.NORMAL, x).orElseThrow();
    Interval byNormal = FitInterval.of(normal, x, f -> f.quantile(0.00135), 0.95).orElseThrow();
    for (Family family : List.of(Family.GAMMA, Family.LOGNORMAL, Family.RICE)) {
      FittedDistribution fit = Fits.of(family, x).orElseThrow();
      Interval low = FitInterval.of(fit, x, f -> f.quantile(0.00135), 0.95).orElseThrow();
      assertThat(low.lower()).as("%s", family).isCloseTo(byNormal.lower(), within(1e-6));
      assertThat(low.upper()).as("%s", family).isCloseTo(byNormal.upper(), within(1e-6));
    }
    Interval near = weibullLow(1000, noise);
    Interval far = weibullLow(100_000, noise);
    assertThat(far.lower() - 100_000).isCloseTo(near.lower() - 1000, within(1e-6));
    assertThat(far.upper() - 100_000).isCloseTo(near.upper() - 1000, within(1e-6));
  }

  private static Interval weibullLow(double offset, double[] noise) {
    double[] x = Arrays.stream(noise).map(v -> offset + v).toArray();
    FittedDistribution fit = Fits.of(Family.WEIBULL, x).orElseThrow();
    return FitInterval.of(fit, x, moved -> moved.quantile(0.00135), 0.95).orElseThrow();
  }
}
