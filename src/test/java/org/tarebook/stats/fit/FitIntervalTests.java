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

  @Test
  void resampledPercentilesScatterAsThoseOfWholeResamples() {
    Random random = new Random(5);
    double[] x = random.doubles(800).map(u -> random.nextGaussian()).toArray();
    EmpiricalPercentiles of = EmpiricalPercentiles.of(x);
    double[] shares = {0.00135, 0.5, 0.9};
    List<double[]> drawn = of.resampled(shares, 20_000, 6);
    for (int i = 0; i < shares.length; i++) {
      int place = i;
      double[] own = drawn.stream().mapToDouble(each -> each[place]).sorted().toArray();
      Interval whole = of.interval(shares[i], 0.8, 4000, 7);
      assertThat(EmpiricalPercentiles.of(own).quantile(0.1)).isCloseTo(whole.lower(), within(0.02));
      assertThat(EmpiricalPercentiles.of(own).quantile(0.9)).isCloseTo(whole.upper(), within(0.02));
    }
    // low and high percentiles of one resample hang together hardly, those side by side closely
    assertThat(drawn).allSatisfy(each -> assertThat(each).isSorted());
  }

  @Test
  void resamplesAreRepeatableAndKnowTheirEnds() {
    EmpiricalPercentiles of = EmpiricalPercentiles.of(new double[] {3, 1, 2});
    double[] shares = {0.01, 0.5, 0.99};
    double[] first = of.resampled(shares, 100, 1).get(17);
    assertThat(of.resampled(shares, 100, 1).get(17)).isEqualTo(first);
    assertThat(of.resampled(shares, 100, 2).stream().map(Arrays::toString).toList())
        .isNotEqualTo(of.resampled(shares, 100, 1).stream().map(Arrays::toString).toList());
    assertThat(EmpiricalPercentiles.of(new double[] {4}).resampled(shares, 100, 1).get(0))
        .containsExactly(4, 4, 4);
    assertThatThrownBy(() -> of.resampled(shares, 99, 1)).hasMessageContaining("rounds");
    assertThatThrownBy(() -> of.resampled(new double[] {1}, 100, 1)).hasMessageContaining("share");
  }
}
