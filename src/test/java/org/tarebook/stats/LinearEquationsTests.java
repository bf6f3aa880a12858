package org.tarebook.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.Random;
import org.junit.jupiter.api.Test;

class LinearEquationsTests {

  // By hand: 2 y = 4, x + y + z = 6, x - z = -2, where nothing stands in the first corner.
  @Test
  void changesRowsWhereAPivotIsMissing() {
    double[][] a = {{0, 2, 0}, {1, 1, 1}, {1, 0, -1}};
    assertThat(LinearEquations.solve(a, new double[] {4, 6, -2})).containsExactly(1, 2, 3);
  }

  // A tiny pivot would cost every digit: 1e-20 x + y = 1, x + y = 2.
  @Test
  void takesTheLargestPivot() {
    double[] found =
        LinearEquations.solve(new double[][] {{1e-20, 1}, {1, 1}}, new double[] {1, 2});
    assertThat(found[0]).isCloseTo(1, within(1e-15));
    assertThat(found[1]).isCloseTo(1, within(1e-15));
    found = LinearEquations.solve(new double[][] {{1e-20, 1}, {-1, 1}}, new double[] {1, 0});
    assertThat(found[0]).isCloseTo(1, within(1e-15));
  }

  @Test
  void solutionsSatisfyTheirEquations() {
    Random random = new Random(171);
    for (int n : new int[] {1, 2, 5, 20, 60}) {
      double[][] a = new double[n][n];
      double[] x = random.doubles(n, -1, 1).toArray();
      double[] b = new double[n];
      for (int i = 0; i < n; i++) {
        for (int j = 0; j < n; j++) {
          // Strong beside the diagonal, so that rows have to change.
          a[i][j] = random.nextDouble() - 0.5 + (j == (i + 1) % n ? n : 0);
          b[i] += a[i][j] * x[j];
        }
      }
      double[] found = LinearEquations.solve(a, b);
      for (int i = 0; i < n; i++) {
        assertThat(found[i]).isCloseTo(x[i], within(1e-12));
      }
    }
  }

  @Test
  void refusesEquationsWithoutASingleSolution() {
    assertThatThrownBy(
            () -> LinearEquations.solve(new double[][] {{1, 2}, {2, 4}}, new double[] {1, 2}))
        .hasMessage("equation 1 has no single solution");
    assertThatThrownBy(() -> LinearEquations.solve(new double[1][1], new double[1]))
        .hasMessage("equation 0 has no single solution");
    assertThatThrownBy(() -> LinearEquations.solve(new double[][] {{Double.NaN}}, new double[] {1}))
        .hasMessage("equation 0 has no single solution");
  }
}
