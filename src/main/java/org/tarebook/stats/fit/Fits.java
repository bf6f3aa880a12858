package org.tarebook.stats.fit;

import java.util.Optional;
import java.util.function.DoubleUnaryOperator;
import org.tarebook.stats.CountedValues;
import org.tarebook.stats.Roots;

/** Fits distributions to readings by maximum likelihood. */
public final class Fits {

  /**
   * Logarithms of shapes are searched so far; readings that vary have one within, as they are
   * doubles.
   */
  private static final double WIDEST = 50;

  /** From here on, in standard deviations from 0, the equation of Rice is solved about the mean. */
  private static final double FAR = 30;

  private Fits() {}

  /**
   * Fits one family.
   *
   * <p>No location is fitted: readings of the positive families are measured from 0. Maximum
   * likelihood estimates of a spread are a little small: the normal one divides by \( n \).
   *
   * <p>Parameters are found from differences of readings, so readings far from 0 lose no digits but
   * those that a double has not: shapes and percentiles of readings near a million with a spread of
   * 0.01 are as good as those of readings near 100.
   *
   * <p><b>Accuracy:</b> parameters to 1e-9 of their size, those of {@link Family#RICE} to 1e-7;
   * where the mean is \( m \) standard deviations from 0 by more than a million, to some 1e-15 \( m
   * \).
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
    double centre = x.mean(v -> v);
    double mean = x.mean(v -> Gamma.logRatio(v, centre));
    double variance = x.mean(v -> square(Gamma.logRatio(v, centre) - mean));
    double log = Math.log(centre) + mean;
    return fitted(Family.LOGNORMAL, x, log, Math.sqrt(variance), normalLog(variance) - log);
  }

  /**
   * Logarithms have a distribution of least values, of a level and a spread that are found on the
   * scale of their own standard deviation: \( \kappa \), the shape times it, solves \( \sum t
   * e^{\kappa t} / \sum e^{\kappa t} - 1 / \kappa = 0 \) for standardised logarithms \( t \).
   */
  private static FittedDistribution weibull(CountedValues x) {
    double centre = x.mean(v -> v);
    double mean = x.mean(v -> Gamma.logRatio(v, centre));
    double sd = Math.sqrt(x.mean(v -> square(Gamma.logRatio(v, centre) - mean)));
    double greatest = (Gamma.logRatio(x.greatest(), centre) - mean) / sd;
    DoubleUnaryOperator standard = v -> (Gamma.logRatio(v, centre) - mean) / sd;
    DoubleUnaryOperator equation =
        log -> {
          double kappa = Math.exp(log);
          DoubleUnaryOperator power = t -> Math.exp(kappa * (t - greatest));
          double powers = x.sum(v -> power.applyAsDouble(standard.applyAsDouble(v)));
          double weighted =
              x.sum(
                  v -> {
                    double t = standard.applyAsDouble(v);
                    return power.applyAsDouble(t) * t;
                  });
          return weighted / powers - 1 / kappa;
        };
    double kappa = Math.exp(Roots.increasing(equation, -WIDEST, WIDEST));
    double shape = kappa / sd;
    double level =
        greatest
            + Math.log(x.mean(v -> Math.exp(kappa * (standard.applyAsDouble(v) - greatest))))
                / kappa;
    double scale = centre + centre * Math.expm1(mean + sd * level);
    double log = Math.log(shape) - kappa * level - 1 - Math.log(centre) - mean;
    return fitted(Family.WEIBULL, x, shape, scale, log);
  }

  /** The shape solves \( \ln k - \psi(k) = \ln \bar x - \overline{\ln x} \). */
  private static FittedDistribution gamma(CountedValues x) {
    double mean = x.mean(v -> v);
    double gap = x.mean(v -> excessOf(v, mean));
    double k =
        Math.exp(
            Roots.increasing(
                logShape -> gap - Gamma.logLessDigamma(Math.exp(logShape)), -WIDEST, 2 * WIDEST));
    double log =
        -(k - 1) * gap - Math.log(mean) + Math.log(k / (2 * Math.PI)) / 2 - Gamma.stirlingRest(k);
    return fitted(Family.GAMMA, x, k, mean / k, log);
  }

  private static double excessOf(double v, double mean) {
    double u = (v - mean) / mean;
    return Math.abs(u) < 0.5 ? Gamma.excess(u) : u - Math.log(v / mean);
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
    double mean = x.mean(v -> v);
    double variance = x.mean(v -> square(v - mean));
    if (mean > FAR * Math.sqrt(variance)) {
      return farRice(x, mean, variance);
    }
    double square = x.mean(v -> v * v);
    double most = Math.sqrt(square);
    DoubleUnaryOperator excess =
        offset -> {
          double own = (square - offset * offset) / 2;
          return offset - x.mean(v -> v * Bessel.ratio(v * offset / own));
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

  /**
   * Far from 0 the offset lies a little below the mean, by \( \delta s^2 / \bar x \), with \( 2
   * \sigma^2 = s^2 (1 + 2 \delta) - (\delta s^2 / \bar x)^2 \); \( \delta \) is about a half.
   */
  private static FittedDistribution farRice(CountedValues x, double mean, double variance) {
    double unit = variance / mean;
    DoubleUnaryOperator sigma2 = delta -> (variance * (1 + 2 * delta) - square(delta * unit)) / 2;
    DoubleUnaryOperator excess =
        delta -> {
          double by = (mean - delta * unit) / sigma2.applyAsDouble(delta);
          return delta - x.mean(v -> v * Bessel.deficit(v * by)) / unit;
        };
    double delta = Roots.increasing(excess, 0, 10);
    Rice rice = new Rice(mean - delta * unit, Math.sqrt(sigma2.applyAsDouble(delta)));
    return fitted(Family.RICE, x, rice.offset(), rice.sigma(), x.mean(rice::logDensity));
  }

  private static FittedDistribution fitted(
      Family family, CountedValues x, double first, double second, double meanLog) {
    return new FittedDistribution(family, first, second, meanLog * x.count(), x.count());
  }
}
