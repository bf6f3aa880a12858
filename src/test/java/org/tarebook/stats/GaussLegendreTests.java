package org.tarebook.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;

class GaussLegendreTests {

  // A rule of n places is exact for polynomials up to degree 2 n - 1, and not beyond.
  @Test
  void integratesPolynomialsExactly() {
    for (int n : new int[] {1, 2, 3, 5, 8, 13, 24, 60, 150, 400}) {
      GaussLegendre rule = GaussLegendre.of(n);
      for (int degree : new int[] {0, 1, n, 2 * n - 2, 2 * n - 1}) {
        double exact = 1.0 / (degree + 1);
        assertThat(rule.integrate(x -> Math.pow(x, degree), 0, 1))
            .as("%d places, degree %d", n, degree)
            .isCloseTo(exact, within(2e-13 * exact));
      }
    }
    double beyond = GaussLegendre.of(2).integrate(x -> Math.pow(x, 4), 0, 1);
    assertThat(beyond).isNotCloseTo(0.2, within(1e-3));
  }

  // Legendre's polynomial of degree 3: 0 and the root of 3/5, weights 8/9 and 5/9.
  @Test
  void hasThePlacesAndWeightsOfThree() {
    GaussLegendre three = GaussLegendre.of(3);
    assertThat(three.size()).isEqualTo(3);
    assertThat(three.place(0, 10, 12)).isCloseTo(11 - Math.sqrt(0.6), within(1e-14));
    assertThat(three.place(1, 10, 12)).isCloseTo(11, within(1e-15));
    assertThat(three.place(2, 10, 12)).isCloseTo(11 + Math.sqrt(0.6), within(1e-14));
    assertThat(three.weight(0, 10, 12)).isCloseTo(5.0 / 9, within(1e-15));
    assertThat(three.weight(1, 10, 14)).isCloseTo(16.0 / 9, within(1e-14));
  }

  @Test
  void placesRiseAndWeightsAddUpToTheLength() {
    for (int n : new int[] {1, 2, 7, 48, 400}) {
      GaussLegendre rule = GaussLegendre.of(n);
      double before = -2;
      double sum = 0;
      for (int i = 0; i < n; i++) {
        assertThat(rule.place(i, -2, 5)).isGreaterThan(before).isLessThan(5);
        before = rule.place(i, -2, 5);
        sum += rule.weight(i, -2, 5);
      }
      assertThat(sum).isCloseTo(7, within(1e-12));
    }
  }
}
