package org.tarebook.stats.fit;

import java.util.Optional;
import java.util.function.ToDoubleFunction;
import org.apache.commons.statistics.distribution.NormalDistribution;
import org.tarebook.stats.Arguments;
import org.tarebook.stats.CountedValues;
import org.tarebook.stats.Interval;

/**
 * Intervals of figures of a fitted distribution, such as its percentiles or indices from them.
 *
 * <p>With \( J \) the observed information, minus the second derivatives of the log-likelihood at
 * the fit, and \( g \) the derivatives of the figure by the parameters:
 *
 * <p>\[ \hat c \pm z_{1-\alpha/2} \sqrt{g^T J^{-1} g} \]
 *
 * <p>An approximation for large samples; with fewer than some 50 readings it is too narrow. It does
 * not know whether the family is the right one.
 *
 * <p><b>Source:</b> A. W. van der Vaart, Asymptotic Statistics, sections 3.1 and 5.5.
 */
public final class FitInterval {

  /** Step of derivatives, in the natural scale of a parameter. */
  private static final double STEP = 1e-3;

  /** Below this the parameters cannot be told apart by their derivatives. */
  private static final double LEAST_APART = 1e-4;

  private final FittedDistribution fit;
  private final CountedValues x;

  private FitInterval(FittedDistribution fit, CountedValues x) {
    this.fit = fit;
    this.x = x;
  }

  /**
   * Returns the interval of a figure.
   *
   * @param fit by maximum likelihood
   * @param x the readings it was fitted to; not kept
   * @param figure a smooth function of the parameters
   * @param confidence between 0 and 1, such as 0.95
   * @return two-sided; empty when the readings do not tell the parameters apart: for {@link
   *     Family#RICE} with an offset below sigma, and where a reading is impossible by the fit
   * @throws IllegalArgumentException if the confidence lies outside
   */
  public static Optional<Interval> of(
      FittedDistribution fit,
      double[] x,
      ToDoubleFunction<FittedDistribution> figure,
      double confidence) {
    return of(fit, CountedValues.of(x), figure, confidence);
  }

  /** The same of counted readings; costs as much as the values that differ. */
  public static Optional<Interval> of(
      FittedDistribution fit,
      CountedValues x,
      ToDoubleFunction<FittedDistribution> figure,
      double confidence) {
    double tail = (1 - Arguments.requireConfidence(confidence)) / 2;
    double z = NormalDistribution.of(0, 1).inverseSurvivalProbability(tail);
    if (fit.family() == Family.RICE && fit.first() < fit.second()) {
      return Optional.empty();
    }
    double variance = new FitInterval(fit, x).variance(figure);
    if (!(variance >= 0) || Double.isInfinite(variance)) {
      return Optional.empty();
    }
    double value = figure.applyAsDouble(fit);
    double reach = z * Math.sqrt(variance);
    return Optional.of(new Interval(value - reach, value + reach));
  }

  /** Variance of the figure by the information; NaN where there is none. */
  private double variance(ToDoubleFunction<FittedDistribution> figure) {
    double middle = 2 * logLikelihood(0, 0);
    double a = middle - logLikelihood(1, 0) - logLikelihood(-1, 0);
    double g = (figure.applyAsDouble(at(1, 0)) - figure.applyAsDouble(at(-1, 0))) / 2;
    if (fit.family() == Family.RAYLEIGH) {
      return g * g / a;
    }
    double b = middle - logLikelihood(0, 1) - logLikelihood(0, -1);
    double ab =
        (logLikelihood(1, -1) + logLikelihood(-1, 1) - logLikelihood(1, 1) - logLikelihood(-1, -1))
            / 4;
    double h = (figure.applyAsDouble(at(0, 1)) - figure.applyAsDouble(at(0, -1))) / 2;
    double determinant = a * b - ab * ab;
    return a > 0 && b > 0 && determinant > LEAST_APART * a * b
        ? (b * g * g - 2 * ab * g * h + a * h * h) / determinant
        : Double.NaN;
  }

  /** The fit moved by steps in level and spread, which tell apart however far from 0 it lies. */
  private FittedDistribution at(int level, int spread) {
    double first = fit.first();
    double second = fit.second();
    double up = 1 + spread * STEP;
    return switch (fit.family()) {
      case NORMAL, LOGNORMAL, RICE -> moved(first + level * STEP * second, second * up);
      case WEIBULL -> moved(first * up, second * (1 + level * STEP / first));
      case GAMMA -> moved(first * up, second / up * (1 + level * STEP / Math.sqrt(first)));
      case RAYLEIGH -> moved(first * (1 + level * STEP), 0);
    };
  }

  private FittedDistribution moved(double first, double second) {
    return new FittedDistribution(fit.family(), first, second, 0, fit.readings());
  }

  private double logLikelihood(int first, int second) {
    FittedDistribution moved = at(first, second);
    // Against the fit, so that the sums stay small and keep their digits.
    return x.sum(reading -> Math.log(moved.density(reading) / fit.density(reading)));
  }
}
