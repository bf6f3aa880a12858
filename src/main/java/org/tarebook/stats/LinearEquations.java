package org.tarebook.stats;

/** Solves a square system of linear equations by elimination with row exchange. */
public final class LinearEquations {

  private LinearEquations() {}

  /**
   * Solves \( A x = b \). Both arguments are overwritten.
   *
   * @param a square, row by row
   * @param b as long as {@code a}
   * @return \( x \), the array {@code b}
   * @throws IllegalArgumentException if the system has no single solution
   */
  public static double[] solve(double[][] a, double[] b) {
    int n = b.length;
    for (int column = 0; column < n; column++) {
      int best = column;
      for (int row = column + 1; row < n; row++) {
        best = Math.abs(a[row][column]) > Math.abs(a[best][column]) ? row : best;
      }
      if (!(Math.abs(a[best][column]) > 0)) {
        throw new IllegalArgumentException("equation %d has no single solution".formatted(column));
      }
      double[] swapped = a[column];
      a[column] = a[best];
      a[best] = swapped;
      double right = b[column];
      b[column] = b[best];
      b[best] = right;
      for (int row = column + 1; row < n; row++) {
        double factor = a[row][column] / a[column][column];
        for (int k = column + 1; factor != 0 && k < n; k++) {
          a[row][k] -= factor * a[column][k];
        }
        b[row] -= factor * b[column];
      }
    }
    for (int row = n - 1; row >= 0; row--) {
      for (int k = row + 1; k < n; k++) {
        b[row] -= a[row][k] * b[k];
      }
      b[row] /= a[row][row];
    }
    return b;
  }
}
