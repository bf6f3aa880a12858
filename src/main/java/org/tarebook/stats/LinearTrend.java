package org.tarebook.stats;

import java.util.Optional;
import org.apache.commons.statistics.distribution.TDistribution;

/**
 * A straight line through points by least squares, \( y = a + b (x - \bar x) \), with its errors.
 *
 * @param meanX \( \bar x \)
 * @param level \( a \), the mean of \( y \)
 * @param slope \( b \), in units of y per unit of x
 * @param residualSd root of the squared residuals over {@code points - 2}
 * @param squaresX \( \sum (x - \bar x)^2 \), positive
 * @param points how many
 */
public record LinearTrend(
    double meanX, double level, double slope, double residualSd, double squaresX, int points) {

  /**
   * Fits a line.
   *
   * @param x such as hours, or known masses; not kept
   * @param y as many figures, taken as independent and equally spread about the line; not kept
   * @return empty for fewer than three points and when all {@code x} are equal
   * @throws IllegalArgumentException if lengths differ or a figure is not finite
   */
  public static Optional<LinearTrend> of(double[] x, double[] y) {
    Arguments.requireSeries("x", x, 0);
    Arguments.requireSeries("y", y, 0);
    if (x.length != y.length) {
      throw new IllegalArgumentException("%d x for %d y".formatted(x.length, y.length));
    }
    int n = x.length;
    if (n < 3) {
      return Optional.empty();
    }
    double meanX = mean(x);
    double meanY = mean(y);
    double squaresX = 0;
    double products = 0;
    for (int i = 0; i < n; i++) {
      double off = x[i] - meanX;
      squaresX += off * off;
      products += off * (y[i] - meanY);
    }
    if (squaresX == 0) {
      return Optional.empty();
    }
    double slope = products / squaresX;
    double residuals = 0;
    for (int i = 0; i < n; i++) {
      double residual = y[i] - meanY - slope * (x[i] - meanX);
      residuals += residual * residual;
    }
    double sd = Math.sqrt(residuals / (n - 2));
    return Optional.of(new LinearTrend(meanX, meanY, slope, sd, squaresX, n));
  }

  private static double mean(double[] values) {
    double sum = 0;
    for (double value : values) {
      sum += value - values[0];
    }
    return values[0] + sum / values.length;
  }

  /**
   * Returns the line at a place.
   *
   * @param x any
   * @return \( y \)
   */
  public double at(double x) {
    return level + slope * (x - meanX);
  }

  /**
   * Returns the interval of the slope, \( b \pm t \, s / \sqrt{S_{xx}} \).
   *
   * @param confidence between 0 and 1, such as 0.95
   * @return two-sided
   * @throws IllegalArgumentException if the confidence lies outside
   */
  public Interval slopeInterval(double confidence) {
    double reach = t(confidence) * residualSd / Math.sqrt(squaresX);
    return new Interval(slope - reach, slope + reach);
  }

  /**
   * Returns the interval of the line itself at a place.
   *
   * @param x any
   * @param confidence between 0 and 1, such as 0.95
   * @return two-sided
   * @throws IllegalArgumentException if the confidence lies outside
   */
  public Interval intervalAt(double x, double confidence) {
    double apart = x - meanX;
    double reach = t(confidence) * residualSd * Math.sqrt(1.0 / points + apart * apart / squaresX);
    return new Interval(at(x) - reach, at(x) + reach);
  }

  /**
   * Returns the chance of a slope at least this far from 0 if there were none.
   *
   * @return between 0 and 1; 1 when {@code y} does not vary
   */
  public double slopeChance() {
    if (slope == 0) {
      return 1;
    }
    double t = Math.abs(slope) * Math.sqrt(squaresX) / residualSd;
    return 2 * TDistribution.of(points - 2.0).survivalProbability(t);
  }

  private double t(double confidence) {
    double tail = (1 - Arguments.requireConfidence(confidence)) / 2;
    return TDistribution.of(points - 2.0).inverseSurvivalProbability(tail);
  }
}
