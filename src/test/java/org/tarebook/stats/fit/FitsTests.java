package org.tarebook.stats.fit;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.stream.IntStream;
import org.apache.commons.statistics.distribution.NormalDistribution;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;
import org.tarebook.stats.Accuracy;
import org.tarebook.stats.Interval;
import org.tarebook.stats.ReferenceTable;
import org.tarebook.stats.Tolerance;

class FitsTests {

  // scipy 1.17.1 and numpy: roots of the likelihood equations, Rice by the simplex method.
  @ParameterizedTest
  @CsvSource({
    "d17_weibull_n22, WEIBULL, 2.51041867032, 11.2231396848, -62.957283604",
    "d17_weibull_n22, GAMMA, 4.19570852786, 2.37902174374, -64.2038808889",
    "d17_weibull_n22, LOGNORMAL, 2.17687463298, 0.558796586588, -66.3045549343",
    "d17_weibull_n22, RICE, 8.55508604051, 4.71618773834, -62.7804861123",
    "d17_weibull_n22, RAYLEIGH, 7.67053948411, 0, -63.7537838663",
    "d17_weibull_n22, NORMAL, 9.98168181818, 4.24739685397, -63.0353861178",
    "d15_gamma_n35, WEIBULL, 2.38925560872, 15.3230189902, -111.829631018",
    "d15_gamma_n35, GAMMA, 4.27672402452, 3.17469297445, -112.634589",
    "d15_gamma_n35, LOGNORMAL, 2.4869544758, 0.537376809397, -114.969304518",
    "d15_gamma_n35, RICE, 11.0769856177, 7.0152858199, -111.925496819",
    "d15_gamma_n35, RAYLEIGH, 10.514943753, 0, -112.652415542",
    "d08_lognormal_n25, WEIBULL, 2.07700280609, 4.22858019614, -48.994914227",
    "d08_lognormal_n25, GAMMA, 4.92503983734, 0.756853167306, -46.6581062512",
    "d08_lognormal_n25, LOGNORMAL, 1.21080265436, 0.441576451361, -45.3084269101",
    "d08_lognormal_n25, RICE, 0, 2.96245405794, -49.0308335645"
  })
  void findsTheLikeliestParameters(
      String data, Family family, double first, double second, double logLikelihood) {
    FittedDistribution fit = Fits.of(family, data(data)).orElseThrow();
    double tolerance = family == Family.RICE ? 1e-7 : 1e-10;
    assertThat(fit.first()).isCloseTo(first, within(tolerance * (1 + first)));
    assertThat(fit.second()).isCloseTo(second, within(tolerance * (1 + second)));
    assertThat(fit.logLikelihood()).isCloseTo(logLikelihood, within(1e-9 * -logLikelihood));
  }

  static double[] data(String name) {
    return ReferenceTable.rows("normality/" + name + ".csv").stream()
        .mapToDouble(row -> ReferenceTable.number(row, row.keySet().iterator().next()))
        .toArray();
  }

  static List<Map<String, String>> farFromZero() {
    return ReferenceTable.rows("fits_far_from_zero.csv");
  }

  /**
   * Readings whose mean is some thousand to a hundred million standard deviations from 0: the same
   * noise gives the same fit as near 0, as far as doubles hold it.
   */
  @ParameterizedTest
  @MethodSource("farFromZero")
  void keepsItsDigitsFarFromZero(Map<String, String> row) {
    BigDecimal offset = new BigDecimal(row.get("offset"));
    BigDecimal spread = new BigDecimal(row.get("spread"));
    double unit = spread.doubleValue();
    double[] x =
        ReferenceTable.rows("normality/d05_normal_n50.csv").stream()
            .map(each -> offset.add(spread.multiply(new BigDecimal(each.get("x")))))
            .mapToDouble(each -> each.setScale(9, RoundingMode.HALF_EVEN).doubleValue())
            .toArray();
    FittedDistribution fit = Fits.of(Family.valueOf(row.get("family")), x).orElseThrow();
    double held = 1e-9 + 3e-15 * offset.doubleValue() / unit;
    for (double share : new double[] {0.00135, 0.5, 0.99865}) {
      String column = share < 0.1 ? "q00135" : share < 0.9 ? "q50" : "q99865";
      double wanted = ReferenceTable.number(row, column);
      Accuracy.absolute(
          "FittedDistribution.quantile far from 0, in spreads",
          "fits_far_from_zero.csv",
          (fit.quantile(share) - wanted) / unit,
          0,
          held);
      assertThat(fit.cumulative(wanted)).isCloseTo(share, within(held));
      assertThat(fit.survival(wanted)).isCloseTo(1 - share, within(held));
    }
    Accuracy.absolute(
        "FittedDistribution.logLikelihood far from 0",
        "fits_far_from_zero.csv",
        fit.logLikelihood(),
        ReferenceTable.number(row, "log_likelihood"),
        50 * held);
    double first = ReferenceTable.number(row, "first");
    double second = ReferenceTable.number(row, "second");
    assertThat(fit.first()).isCloseTo(first, within(held * first));
    assertThat(fit.second()).isCloseTo(second, within(held * second));
  }

  /** No shape is cut off, however far from 0; the gamma one was, at a billion. */
  @Test
  void shapesGoOnWithTheDistance() {
    for (double off : new double[] {1e3, 1e5, 1e7}) {
      double[] x = {off, off + 0.5, off + 1, off + 1.25, off + 2};
      double variance = Arrays.stream(x).map(v -> (v - off - 0.95) * (v - off - 0.95)).sum() / 5;
      double gamma = Fits.of(Family.GAMMA, x).orElseThrow().first();
      double about = (off + 0.95) * (off + 0.95) / variance;
      assertThat(gamma).isCloseTo(about, within(2e-3 * about));
      double weibull = Fits.of(Family.WEIBULL, x).orElseThrow().first();
      assertThat(weibull / off).isCloseTo(1.558, within(5e-3));
    }
  }

  // scipy 1.17.1: rice.ppf; the far tail by mpmath 1.3.0, 30 digits (scipy keeps only 7 there).
  @Test
  void riceHasItsPercentiles() {
    Rice far = new Rice(2, 0.7);
    assertThat(far.quantile(0.00135)).isCloseTo(0.265509851261, within(1e-11));
    assertThat(far.quantile(0.5)).isCloseTo(2.12135917466, within(1e-11));
    assertThat(far.quantile(0.99865)).isCloseTo(4.18353552852, within(1e-11));
    Rice near = new Rice(0.1, 0.7);
    assertThat(near.quantile(0.00135)).isCloseTo(0.0365714651335, within(1e-12));
    assertThat(near.quantile(0.5)).isCloseTo(0.828395296274, within(1e-11));
    assertThat(near.quantile(0.99865)).isCloseTo(2.55750128211, within(1e-11));
    assertThat(far.survival(6)).isCloseTo(9.6813450736186e-9, within(1e-20));
    assertThat(far.cumulative(0.3)).isCloseTo(0.0017719735575, within(1e-13));
    // Without an offset it is Rayleigh: 1 - exp(-x^2 / 2).
    assertThat(new Rice(0, 1).cumulative(1.3))
        .isCloseTo(-Math.expm1(-1.3 * 1.3 / 2), within(1e-14));
    // Far from 0 it is nearly normal.
    assertThat(new Rice(1000, 1).cumulative(1001.5))
        .isCloseTo(NormalDistribution.of(1000.0005, 1).cumulativeProbability(1001.5), within(1e-6));
  }

  @Test
  void riceKeepsItsDigitsOnBothSidesAndInEveryUnit() {
    // Without an offset and with sigma 2 the share above is exp(-x^2 / 8).
    Rice rayleigh = new Rice(0, 2);
    for (double x : new double[] {0.5, 2, 6, 12, 27, 29, 60}) {
      double above = Math.exp(-x * x / 8);
      assertThat(rayleigh.survival(x)).isCloseTo(above, within(1e-12 * above));
    }
    assertThat(rayleigh.density(0)).isZero();
    assertThat(rayleigh.density(-1)).isZero();
    assertThat(rayleigh.cumulative(0)).isZero();
    // mpmath 1.3.0, 30 digits, quadrature.
    assertThat(new Rice(100, 5).cumulative(95)).isCloseTo(0.152526413062571125, within(1e-14));
    // A rare low share is found to as many digits as it has.
    Rice far = new Rice(2, 0.7);
    for (double share : new double[] {1e-12, 1e-6, 0.3}) {
      assertThat(far.cumulative(far.quantile(share))).isCloseTo(share, within(1e-9 * share));
    }
  }

  // mpmath 1.3.0, 30 digits: log(besseli(0,z)) - z and besseli(1,z) / besseli(0,z).
  @ParameterizedTest
  @CsvSource({
    "1, -0.76408564149282135, 0.44638996589653451",
    "5, -1.6953182241774666, 0.89338313704408522",
    "29, -2.5981989628497698, 0.9826045649212051",
    "31, -2.6318325376335865, 0.98373647201299787",
    "200, -3.5674706457765303, 0.99749685925164353"
  })
  void besselFunctionsAreExact(double z, double log, double ratio) {
    assertThat(Bessel.logScaledI0(z)).isCloseTo(log, within(1e-14 * -log));
    assertThat(Bessel.ratio(z)).isCloseTo(ratio, within(1e-14));
  }

  @Test
  void besselFunctionsMeetWhereTheirSeriesChange() {
    assertThat(Bessel.logScaledI0(0)).isZero();
    double step = 1e-9;
    assertThat(Bessel.logScaledI0(30 + step))
        .isCloseTo(Bessel.logScaledI0(30 - step), within(1e-10));
    assertThat(Bessel.ratio(30 + step)).isCloseTo(Bessel.ratio(30 - step), within(1e-11));
  }

  @ParameterizedTest
  @CsvSource({"NORMAL", "LOGNORMAL", "WEIBULL", "GAMMA", "RAYLEIGH", "RICE"})
  void recoversWhatWasDrawnAndKeepsItsUnit(Family family) {
    FittedDistribution truth =
        new FittedDistribution(family, family == Family.LOGNORMAL ? 0.3 : 2, 0.7, 0, 1);
    double[] x = draw(truth, 4000, 91);
    FittedDistribution fit = Fits.of(family, x).orElseThrow();
    for (double p : new double[] {0.01, 0.5, 0.99}) {
      double unit = truth.quantile(0.8) - truth.quantile(0.2);
      assertThat(fit.quantile(p)).isCloseTo(truth.quantile(p), within(0.15 * unit));
      assertThat(fit.cumulative(fit.quantile(p))).isCloseTo(p, within(1e-10));
      assertThat(fit.survival(fit.quantile(p))).isCloseTo(1 - p, within(1e-10));
    }
    // In grams instead of kilograms every percentile is a thousand times as large.
    double[] grams = Arrays.stream(x).map(v -> 1000 * v).toArray();
    FittedDistribution inGrams = Fits.of(family, grams).orElseThrow();
    assertThat(inGrams.quantile(0.99865))
        .isCloseTo(1000 * fit.quantile(0.99865), within(1e-4 * 1000 * fit.quantile(0.99865)));
    assertThat(fit.outside(Tolerance.atMost(fit.quantile(0.999))).above())
        .isCloseTo(0.001, within(1e-10));
  }

  private static double[] draw(FittedDistribution from, int n, long seed) {
    Random random = new Random(seed);
    if (from.family() == Family.RICE) {
      return random
          .doubles(n)
          .map(
              u ->
                  Math.hypot(
                      from.first() + from.second() * random.nextGaussian(),
                      from.second() * random.nextGaussian()))
          .toArray();
    }
    return random
        .doubles(n)
        .map(u -> from.quantile(Math.min(Math.max(u, 1e-12), 1 - 1e-12)))
        .toArray();
  }

  @Test
  void theFamilyThatWasDrawnFitsBest() {
    double[] x = draw(new FittedDistribution(Family.GAMMA, 2, 0.7, 0, 1), 3000, 92);
    double gamma = Fits.of(Family.GAMMA, x).orElseThrow().akaike();
    for (Family other : Family.values()) {
      assertThat(Fits.of(other, x).orElseThrow().akaike()).isGreaterThanOrEqualTo(gamma);
    }
  }

  @Test
  void akaikeCountsTheParametersThatWereFitted() {
    double[] x = {1, 2, 4};
    FittedDistribution normal = Fits.of(Family.NORMAL, x).orElseThrow();
    assertThat(normal.akaike()).isEqualTo(4 - 2 * normal.logLikelihood());
    FittedDistribution rayleigh = Fits.of(Family.RAYLEIGH, x).orElseThrow();
    assertThat(rayleigh.akaike()).isEqualTo(2 - 2 * rayleigh.logLikelihood());
  }

  // By hand: 1 to 100 against a normal curve of mean 52 and sigma 20, at 5 % and 95 %, where the
  // readings have 5.05 and 95.95.
  @Test
  void differencesInTheTailsByHand() {
    double[] x = IntStream.rangeClosed(1, 100).asDoubleStream().toArray();
    TailAgreement own = TailAgreement.of(new FittedDistribution(Family.NORMAL, 52, 20, 0, 100), x);
    NormalDistribution normal = NormalDistribution.of(52, 20);
    double unit = 20 * 2.9999769927034015 / 3;
    double low = 52 - 20 * 1.6448536269514722;
    double high = 52 + 20 * 1.6448536269514722;
    assertThat(own.lower()).isCloseTo((low - 5.05) / unit, within(1e-12));
    assertThat(own.upper()).isCloseTo((high - 95.95) / unit, within(1e-12));
    double scatter = Math.sqrt(0.05 * 0.95 / 100) / unit;
    assertThat(own.lowerError()).isCloseTo(scatter / normal.density(low), within(1e-12));
    assertThat(own.upperError()).isCloseTo(scatter / normal.density(high), within(1e-12));
    // Within is within one of the two, harmless or by chance, on both sides; the bound counts.
    TailAgreement even = new TailAgreement(0.05, -0.25, 0, 0.25, 0);
    assertThat(even.within(0.25, 3)).isTrue();
    assertThat(even.within(0.24, 3)).isFalse();
    assertThat(new TailAgreement(0.05, 0.5, 0.2, 0, 0).within(0.25, 3)).isTrue();
    assertThat(new TailAgreement(0.05, 0.7, 0.2, 0, 0).within(0.25, 3)).isFalse();
    assertThat(new TailAgreement(0.05, 0, 0, -0.5, 0.2).within(0.25, 3)).isTrue();
    assertThat(new TailAgreement(0.05, 0, 0, -0.7, 0.2).within(0.25, 3)).isFalse();
  }

  @Test
  void tailsTellARightFitFromAWrongOne() {
    double[] x = draw(new FittedDistribution(Family.WEIBULL, 1.5, 1, 0, 1), 20_000, 93);
    TailAgreement right = TailAgreement.of(Fits.of(Family.WEIBULL, x).orElseThrow(), x);
    assertThat(right.tail()).isEqualTo(0.00135);
    assertThat(right.within(0.1, 3)).isTrue();
    TailAgreement wrong = TailAgreement.of(Fits.of(Family.NORMAL, x).orElseThrow(), x);
    // The normal curve goes below 0, where no reading is, and ends too early above.
    assertThat(wrong.lower()).isLessThan(-0.5);
    assertThat(wrong.upper()).isLessThan(-0.5);
    assertThat(wrong.within(0.25, 3)).isFalse();
    assertThat(
            TailAgreement.of(Fits.of(Family.WEIBULL, x).orElseThrow(), Arrays.copyOf(x, 100))
                .tail())
        .isEqualTo(0.05);
    assertThatThrownBy(
            () -> TailAgreement.of(Fits.of(Family.NORMAL, x).orElseThrow(), new double[3]))
        .hasMessage("reading has 3 values, it takes at least 20");
  }

  @Test
  void isAbsentWhereAFamilyCannotBe() {
    for (Family family : Family.values()) {
      assertThat(Fits.of(family, new double[] {1})).isEmpty();
      assertThat(Fits.of(family, new double[] {1, 1})).isEmpty();
      assertThat(Fits.of(family, new double[] {0, 1, 2}).isEmpty())
          .isEqualTo(family != Family.NORMAL);
    }
    assertThatThrownBy(() -> Fits.of(Family.NORMAL, new double[] {1, Double.NaN}))
        .hasMessage("reading 1 is NaN, must be finite");
    FittedDistribution fit = Fits.of(Family.NORMAL, new double[] {1, 2}).orElseThrow();
    assertThatThrownBy(() -> fit.quantile(1)).hasMessageContaining("share is 1.0");
  }

  // By hand, definition 6 of Hyndman and Fan: places 0.6, 1.5, 3, 5.4.
  @Test
  void empiricalPercentilesInterpolateBetweenReadings() {
    EmpiricalPercentiles own = EmpiricalPercentiles.of(new double[] {16, 2, 1, 8, 4});
    assertThat(own.quantile(0.1)).isEqualTo(1);
    assertThat(own.quantile(0.25)).isEqualTo(1.5);
    assertThat(own.quantile(0.5)).isEqualTo(4);
    assertThat(own.quantile(0.9)).isEqualTo(16);
    assertThat(own.count()).isEqualTo(5);
    assertThatThrownBy(() -> EmpiricalPercentiles.of(new double[0]))
        .hasMessage("reading has 0 values, it takes at least 1");
  }

  // By hand: of 10 readings at most one lies below the median with 11 / 1024, at most two with
  // 56 / 1024; of 5 readings none does with 1 / 32, of 6 with 1 / 64.
  @Test
  void intervalsOfPercentilesLieBetweenReadings() {
    double[] ten = {10, 1, 9, 2, 8, 3, 7, 4, 6, 5};
    assertThat(EmpiricalPercentiles.of(ten).interval(0.5, 0.95)).contains(new Interval(2, 9));
    assertThat(EmpiricalPercentiles.of(ten).interval(0.5, 1 - 2 * 57.0 / 1024))
        .contains(new Interval(3, 8));
    assertThat(EmpiricalPercentiles.of(new double[] {1, 2, 3, 4, 5}).interval(0.5, 0.95)).isEmpty();
    assertThat(EmpiricalPercentiles.of(new double[] {6, 5, 4, 3, 2, 1}).interval(0.5, 0.95))
        .contains(new Interval(1, 6));
    // (1 - 0.00135)^n falls to 0.025 at 2731 readings
    double[] few = new Random(1).doubles(2730).toArray();
    double[] enough = new Random(1).doubles(2731).toArray();
    assertThat(EmpiricalPercentiles.of(few).interval(0.00135, 0.95)).isEmpty();
    assertThat(EmpiricalPercentiles.of(enough).interval(0.00135, 0.95)).isPresent();
    assertThat(EmpiricalPercentiles.of(enough).interval(0.99865, 0.95)).isPresent();
  }
}
