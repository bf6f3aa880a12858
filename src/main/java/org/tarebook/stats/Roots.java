package org.tarebook.stats;

import java.util.function.DoubleUnaryOperator;

/** Finds where a steadily rising or falling function crosses zero. */
public final class Roots {

  private static final int MOST_STEPS = 200;

  private Roots() {}

  /**
   * Returns where a rising function crosses zero, by bisection to the last place.
   *
   * @param function never falls from {@code low} to {@code high}
   * @param low start of the search
   * @param high end of the search, above {@code low}
   * @return between {@code low} and {@code high}; the nearer end if the crossing lies outside
   */
  public static double increasing(DoubleUnaryOperator function, double low, double high) {
    double a = low;
    double b = high;
    for (int i = 0; i < MOST_STEPS; i++) {
      double middle = a + (b - a) / 2;
      if (middle <= a || middle >= b) {
        break;
      }
      if (function.applyAsDouble(middle) < 0) {
        a = middle;
      } else {
        b = middle;
      }
    }
    return a + (b - a) / 2;
  }
}
