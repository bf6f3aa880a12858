package org.tarebook.stats.fit;

import java.util.Optional;
import java.util.function.DoubleUnaryOperator;
import org.apache.commons.numbers.gamma.Digamma;
import org.apache.commons.numbers.gamma.LogGamma;
import org.tarebook.stats.CountedValues;
import org.tarebook.stats.Roots;

/** Fits distributions to readings by maximum likelihood. */
public final class Fits {

  private static final double LEAST_SHAPE = 1e-3;
  private static final double GREATEST_SHAPE = 1e9;

  private Fits() {}

  /**
   * Fits one family.
   *
   * <p>No location is fitted: readings of the positive families are measured from 0. Maximum
   * likelihood estimates of a spread are a little small: the normal one divides by \( n \).
   *
   * <p><b>Accuracy:</b> parameters to 1e-9 of their size, those of {@link Family#RICE} to 1e-7.
   *
   * <p><b>Source:</b> N. L. Johnson, S. Kotz and N. Balakrishnan, Continuous Univariate
   * Distributions, for the likelihood equations.
   *
   * @param family which
   * @param x readings in any order, in one unit; not kept
   * @return the fit; empty for fewer than two readings, when nothing varied, and when a reading is
   *     not positive but the family asks for it
   * @throws IllegalArgumentException if a reading is not finite; the message names its index
   */
  public static Optional<FittedDistribution> of(Family family, double[] x) {
    return of(family, CountedValues.of(x));
  }

  /** The same of counted readings; costs as much as the values that differ. */
  public static Optional<FittedDistribution> of(Family family, CountedValues x) {
    if (x.distinct() < 2 || (family != Family.NORMAL && !(x.least() > 0))) {
      return Optional.empty();
    }
    return Optional.of(
        switch (family) {
          case NORMAL -> normal(x);
          case LOGNORMAL -> lognormal(x);
          case WEIBULL -> weibull(x);
          case GAMMA -> gamma(x);
          case RAYLEIGH -> rayleigh(x);
          case RICE -> rice(x);
        });
  }

  static double square(double value) {
    return value * value;
  }

  private static FittedDistribution normal(CountedValues x) {
    double mean = x.mean(v -> v);
    double variance = x.mean(v -> square(v - mean));
    return fitted(Family.NORMAL, x, mean, Math.sqrt(variance), normalLog(variance));
  }

  /** Mean log-likelihood of a normal fit with divisor n. */
  private static double normalLog(double variance) {
    return -(Math.log(2 * Math.PI * variance) + 1) / 2;
  }

  private static FittedDistribution lognormal(CountedValues x) {
    double mean = x.mean(Math::log);
    double variance = x.mean(v -> square(Math.log(v) - mean));
    return fitted(Family.LOGNORMAL, x, mean, Math.sqrt(variance), normalLog(variance) - mean);
  }

  /** The shape solves \( \sum x^k \ln x / \sum x^k - 1/k = \overline{\ln x} \). */
  private static FittedDistribution weibull(CountedValues x) {
    double greatest = x.greatest();
    double meanLog = x.mean(v -> Math.log(v / greatest));
    DoubleUnaryOperator equation =
        logShape -> {
          double k = Math.exp(logShape);
          double powers = x.sum(v -> Math.exp(k * Math.log(v / greatest)));
          double weighted =
              x.sum(v -> Math.exp(k * Math.log(v / greatest)) * Math.log(v / greatest));
          return weighted / powers - 1 / k - meanLog;
        };
    double k =
        Math.exp(Roots.increasing(equation, Math.log(LEAST_SHAPE), Math.log(GREATEST_SHAPE)));
    double scale = greatest * Math.pow(x.mean(v -> Math.pow(v / greatest, k)), 1 / k);
    double log = Math.log(k / scale) + (k - 1) * (meanLog + Math.log(greatest / scale)) - 1;
    return fitted(Family.WEIBULL, x, k, scale, log);
  }

  /** The shape solves \( \ln k - \psi(k) = \ln \bar x - \overline{\ln x} \). */
  private static FittedDistribution gamma(CountedValues x) {
    double mean = x.mean(v -> v);
    double gap = -x.mean(v -> Math.log(v / mean));
    DoubleUnaryOperator equation =
        logShape -> {
          double k = Math.exp(logShape);
          return gap - (logShape - Digamma.value(k));
        };
    double k =
        Math.exp(Roots.increasing(equation, Math.log(LEAST_SHAPE), Math.log(GREATEST_SHAPE)));
    double scale = mean / k;
    double log = (k - 1) * (Math.log(mean) - gap) - k - k * Math.log(scale) - LogGamma.value(k);
    return fitted(Family.GAMMA, x, k, scale, log);
  }

  private static FittedDistribution rayleigh(CountedValues x) {
    double scale = Math.sqrt(x.mean(v -> v * v) / 2);
    double log = x.mean(v -> Math.log(v / scale / scale)) - 1;
    return fitted(Family.RAYLEIGH, x, scale, 0, log);
  }

  /**
   * With \( 2 \sigma^2 = \overline{x^2} - \nu^2 \) one equation is left, \( \nu = \overline{x\,
   * I_1(x \nu / \sigma^2) / I_0(x \nu / \sigma^2)} \). Its largest root is the fit; without one
   * above 0 the fit is Rayleigh's.
   */
  private static FittedDistribution rice(CountedValues x) {
    double square = x.mean(v -> v * v);
    double most = Math.sqrt(square);
    DoubleUnaryOperator excess =
        offset -> {
          double variance = (square - offset * offset) / 2;
          return offset - x.mean(v -> v * Bessel.ratio(v * offset / variance));
        };
    double offset = 0;
    // Near the largest possible offset the excess is positive; the root lies below.
    double high = most * (1 - 1e-12);
    for (double low = high;
        low > most * 1e-4;
        low = low > 0.9 * most ? most - 2 * (most - low) : 0.97 * low) {
      if (excess.applyAsDouble(low) < 0) {
        offset = Roots.increasing(excess, low, high);
        break;
      }
      high = low;
    }
    double sigma = Math.sqrt((square - offset * offset) / 2);
    Rice rice = new Rice(offset, sigma);
    return fitted(Family.RICE, x, offset, sigma, x.mean(rice::logDensity));
  }

  private static FittedDistribution fitted(
      Family family, CountedValues x, double first, double second, double meanLog) {
    return new FittedDistribution(family, first, second, meanLog * x.count(), x.count());
  }
}
