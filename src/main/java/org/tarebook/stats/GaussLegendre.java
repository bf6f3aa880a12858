package org.tarebook.stats;

import java.util.function.DoubleUnaryOperator;

/**
 * Gauss-Legendre quadrature: places and weights for an integral over an interval, exact for
 * polynomials of degree {@code 2 n - 1}.
 */
public final class GaussLegendre {

  private final double[] places;
  private final double[] weights;

  private GaussLegendre(double[] places, double[] weights) {
    this.places = places;
    this.weights = weights;
  }

  /**
   * Computes the rule of {@code n} places between -1 and 1, the roots of the Legendre polynomial by
   * Newton's method.
   *
   * @param n number of places, at least 1
   * @return the rule
   */
  public static GaussLegendre of(int n) {
    double[] places = new double[n];
    double[] weights = new double[n];
    for (int i = 0; i < n; i++) {
      double x = Math.cos(Math.PI * (i + 0.75) / (n + 0.5));
      double slope = 1;
      for (int step = 0; step < 10; step++) {
        double before = 1;
        double value = x;
        for (int k = 2; k <= n; k++) {
          double next = ((2 * k - 1) * x * value - (k - 1) * before) / k;
          before = value;
          value = next;
        }
        slope = n * (before - x * value) / (1 - x * x);
        double move = value / slope;
        x -= move;
        if (Math.abs(move) < 1e-16) {
          break;
        }
      }
      places[n - 1 - i] = x;
      weights[n - 1 - i] = 2 / ((1 - x * x) * slope * slope);
    }
    return new GaussLegendre(places, weights);
  }

  /**
   * Returns the number of places.
   *
   * @return at least 1
   */
  public int size() {
    return places.length;
  }

  /**
   * Returns a place of the rule on an interval.
   *
   * @param i 0 to {@code size() - 1}
   * @param low start of the interval
   * @param high its end
   * @return between them, rising with {@code i}
   */
  public double place(int i, double low, double high) {
    return (low + high) / 2 + (high - low) / 2 * places[i];
  }

  /**
   * Returns the weight of a place on an interval.
   *
   * @param i 0 to {@code size() - 1}
   * @param low start of the interval
   * @param high its end
   * @return the weights add up to {@code high - low}
   */
  public double weight(int i, double low, double high) {
    return (high - low) / 2 * weights[i];
  }

  /**
   * Integrates a function.
   *
   * @param function smooth between the ends
   * @param low start of the interval
   * @param high its end
   * @return the integral
   */
  public double integrate(DoubleUnaryOperator function, double low, double high) {
    double sum = 0;
    for (int i = 0; i < places.length; i++) {
      sum += weight(i, low, high) * function.applyAsDouble(place(i, low, high));
    }
    return sum;
  }
}
