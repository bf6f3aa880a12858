package org.tarebook.thermal;

/**
 * Integrates a rate of cure over a temperature trace.
 *
 * <p><b>Source:</b> \( \int e^{-a/T} dT = T E_2(a/T) \) with \( E_2(x) = e^{-x} - x E_1(x) \), NIST
 * Digital Library of Mathematical Functions, section 8.19.
 */
public final class EquivalentCure {

  private static final double SECONDS_PER_MINUTE = 60;

  /** Largest difference of log rates integrated by one Gauss formula. */
  private static final double GAUSS_REACH = 1;

  private static final double[] GAUSS_NODES = {
    0.1834346424956498, 0.5255324099163290, 0.7966664774136267, 0.9602898564975363
  };
  private static final double[] GAUSS_WEIGHTS = {
    0.3626837833783620, 0.3137066458778873, 0.2223810344533745, 0.1012285362903763
  };

  private EquivalentCure() {}

  /**
   * Returns the equivalent minutes from one time to another, \( \frac 1 {60} \int k(T(t)) dt \).
   *
   * <p>The trace holds its end values outside its readings; gaps are integrated over. Whether a
   * trace reaches far enough and has no gap is for the caller to check: {@link
   * Equivalents#largestShare()} helps. A held trace is always integrated by its previous value,
   * whatever the rule.
   *
   * <p><b>Accuracy:</b> relative 1e-12 to the rule chosen, for steps of any height, however small.
   *
   * @param celsius temperature, degrees Celsius
   * @param law rate of cure
   * @param from seconds
   * @param to seconds, after {@code from}
   * @param rule for the piece between two readings; {@link Rule#EXACT} with a {@link
   *     TemperatureCoefficient} is the logarithmic mean, which is exact there
   * @throws IllegalArgumentException if {@code from} is not before {@code to} or a temperature not
   *     above absolute zero
   */
  public static Equivalents of(Trace celsius, CureLaw law, double from, double to, Rule rule) {
    Trace stretch = celsius.between(from, to);
    Rule used = celsius.between() == Between.HOLD ? Rule.HOLD : rule;
    double sum = 0;
    double largest = -1;
    int largestAt = 1;
    double rate = law.rate(stretch.value(0));
    for (int i = 1; i < stretch.size(); i++) {
      double next = law.rate(stretch.value(i));
      double width = (stretch.second(i) - stretch.second(i - 1)) / SECONDS_PER_MINUTE;
      double before = stretch.value(i - 1);
      double part = width * mean(law, before, rate, stretch.value(i), next, used);
      sum += part;
      if (part > largest) {
        largest = part;
        largestAt = i;
      }
      rate = next;
    }
    double share = sum > 0 ? largest / sum : 1;
    return new Equivalents(
        sum, used, share, stretch.second(largestAt - 1), stretch.second(largestAt));
  }

  private static double mean(
      CureLaw law, double t1, double rate1, double t2, double rate2, Rule rule) {
    return switch (rule) {
      case HOLD -> rate1;
      case TRAPEZOID -> (rate1 + rate2) / 2;
      case LOG_MEAN -> logMean(rate1, law.logRate(t2) - law.logRate(t1));
      case EXACT ->
          law instanceof Arrhenius arrhenius
              ? exactMean(arrhenius, t1, t2)
              : logMean(rate1, law.logRate(t2) - law.logRate(t1));
    };
  }

  /** The logarithmic mean of a rate and the one whose logarithm is larger by {@code rise}. */
  static double logMean(double rate, double rise) {
    if (Math.abs(rise) < 0.02) {
      return rate
          * (1 + rise / 2 * (1 + rise / 3 * (1 + rise / 4 * (1 + rise / 5 * (1 + rise / 6)))));
    }
    return rate * Math.expm1(rise) / rise;
  }

  /** Mean rate while the temperature runs straight from one value to another. */
  private static double exactMean(Arrhenius law, double t1, double t2) {
    double low = Math.min(t1, t2);
    double high = Math.max(t1, t2);
    if (law.logRate(high) - law.logRate(low) <= GAUSS_REACH) {
      double middle = (low + high) / 2;
      double half = (high - low) / 2;
      double sum = 0;
      for (int i = 0; i < GAUSS_NODES.length; i++) {
        double offset = half * GAUSS_NODES[i];
        sum += GAUSS_WEIGHTS[i] * (law.rate(middle - offset) + law.rate(middle + offset));
      }
      return sum / 2;
    }
    double upper = integralTo(law, high);
    return (upper - integralTo(law, low)) / (high - low);
  }

  /** \( \int_0^T k \), as \( k(T) T \cdot e^x E_2(x) \) with \( x = a/T \). */
  private static double integralTo(Arrhenius law, double celsius) {
    double kelvin = celsius + Arrhenius.KELVIN_AT_ZERO_CELSIUS;
    double x = law.joulesPerMole() / Arrhenius.GAS_CONSTANT / kelvin;
    return law.rate(celsius) * kelvin * scaledE2(x);
  }

  /** \( e^x E_2(x) \) by its continued fraction (DLMF 8.19.17 in contracted form). */
  private static double scaledE2(double x) {
    double b = x + 2;
    double c = 1 / Double.MIN_NORMAL;
    double d = 1 / b;
    double value = d;
    for (int i = 1; i < 10_000; i++) {
      double a = -i * (i + 1.0);
      b += 2;
      d = 1 / (a * d + b);
      c = b + a / c;
      double change = c * d;
      value *= change;
      if (Math.abs(change - 1) < 1e-16) {
        break;
      }
    }
    return value;
  }
}
