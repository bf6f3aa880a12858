package org.tarebook.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class NoncentralTTests {

  // mpmath 1.3.0 at 30 digits: quadrature of Phi(t s - delta) over the chi distribution of s.
  @ParameterizedTest
  @CsvSource({
    "100, 5, 90, 0.54224343965756981",
    "400, 99, 400, 0.481114403968067413",
    "1050, 299, 1000, 0.874148564402502205",
    "3000, 29, 2500, 0.888556432632809019",
    "5000, 999, 5100, 0.182502650565709324",
    "40, 1.5, 38, 0.380419429936247845",
    "-20, 12, -30, 0.990996169469157506",
    "10000, 9999, 10000, 0.498119553946810512",
    "250, 19, 300, 0.0966050690736014021"
  })
  void keepsItsDigitsAtLargeNoncentralities(double t, double nu, double delta, double expected) {
    assertThat(NoncentralT.cumulative(t, nu, delta)).isCloseTo(expected, within(1e-11));
    assertThat(NoncentralT.noncentralityFor(t, nu, expected))
        .isCloseTo(delta, within(1e-8 * Math.abs(delta)));
  }
}
