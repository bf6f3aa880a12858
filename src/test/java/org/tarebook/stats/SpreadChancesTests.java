package org.tarebook.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import java.util.Random;
import org.apache.commons.statistics.distribution.NormalDistribution;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class SpreadChancesTests {

  @Test
  void theRangeOfTwoIsTheDifferenceOfTwoNormals() {
    double upper = Factors.rangeUpper(2) * Factors.d2(2);
    double closed = 2 * NormalDistribution.of(0, 1).survivalProbability(upper / Math.sqrt(2));
    assertThat(SpreadChances.ofRange(2)).isCloseTo(closed, within(1e-13));
  }

  @Test
  void theDeviationOfTwoIsItsRangeOverTheRootOfTwo() {
    assertThat(SpreadChances.ofSd(2)).isCloseTo(SpreadChances.ofRange(2), within(1e-12));
  }

  // mpmath 1.3.0, 30 digits: quadrature of the range, incomplete gamma functions of the deviation.
  @ParameterizedTest
  @CsvSource({
    "5, 0.0046030484324759265, 0.0038991144783974493",
    "10, 0.0043674411943931483, 0.0029993566720093753",
    "25, 0.0047212461037635127, 0.002767062912077826"
  })
  void chancesMeetComputedOnes(int n, double range, double sd) {
    assertThat(SpreadChances.ofRange(n)).isCloseTo(range, within(1e-12));
    assertThat(SpreadChances.ofSd(n)).isCloseTo(sd, within(1e-14));
  }

  @ParameterizedTest
  @ValueSource(ints = {3, 5, 10})
  void chancesAreThoseOfSimulatedSubgroups(int n) {
    Random random = new Random(n);
    ControlLimits range = ControlLimits.ofRange(1, n);
    ControlLimits sd = ControlLimits.ofSd(1, n);
    int rounds = 400_000;
    int wide = 0;
    int spread = 0;
    for (int i = 0; i < rounds; i++) {
      double least = Double.MAX_VALUE;
      double greatest = -Double.MAX_VALUE;
      double sum = 0;
      double squares = 0;
      for (int j = 0; j < n; j++) {
        double x = random.nextGaussian();
        least = Math.min(least, x);
        greatest = Math.max(greatest, x);
        sum += x;
        squares += x * x;
      }
      double w = greatest - least;
      double s = Math.sqrt((squares - sum * sum / n) / (n - 1));
      wide += w > range.upper() || w < range.lower() ? 1 : 0;
      spread += s > sd.upper() || s < sd.lower() ? 1 : 0;
    }
    // five standard errors of a share near 0.005
    assertThat(SpreadChances.ofRange(n)).isCloseTo((double) wide / rounds, within(5.6e-4));
    assertThat(SpreadChances.ofSd(n)).isCloseTo((double) spread / rounds, within(5.6e-4));
  }

  @Test
  void onePointHasNoSpread() {
    assertThatIllegalArgumentException().isThrownBy(() -> SpreadChances.ofRange(1));
    assertThatIllegalArgumentException().isThrownBy(() -> SpreadChances.ofSd(1));
  }
}
