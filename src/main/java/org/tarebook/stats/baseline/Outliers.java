package org.tarebook.stats.baseline;

import java.util.ArrayList;
import java.util.List;
import java.util.function.DoubleUnaryOperator;
import org.apache.commons.statistics.distribution.TDistribution;
import org.tarebook.stats.Arguments;
import org.tarebook.stats.CountedValues;

/**
 * Readings so far from the others that a normal process hardly gives them, by the generalised test
 * of extreme studentised deviates, which others of their kind do not hide.
 *
 * <p>The reading farthest from the mean is taken away, one after the other, and each is compared
 * with what is left with it; the last that lies too far is an outlier, with all before it:
 *
 * <p>\[ R_i = \frac{\max |x - \bar x|}{s}, \qquad \lambda_i = \frac{(n - i) t}{\sqrt{(n - i - 1 +
 * t^2)(n - i + 1)}} \]
 *
 * <p>with \( t \) the point of Student's distribution of \( n - i - 1 \) degrees of freedom that
 * has \( \alpha / (2 (n - i + 1)) \) above it. Of fewer than {@value #FEWEST_FOR_SEVERAL} readings
 * one is looked for, which is the test of F. E. Grubbs; else {@value #MOST}.
 *
 * <p>It takes readings as normal: of a skewed characteristic the long tail lies too far.
 *
 * <p><b>Accuracy:</b> the level is kept to a hundredth of itself for one outlier; for several, as
 * the source says, from 25 readings on.
 *
 * <p><b>Source:</b> B. Rosner, Technometrics 25 (1983) 165-172; NIST/SEMATECH e-Handbook, section
 * 1.3.5.17.3, whose example is met.
 *
 * @param values of the outliers, the farthest first, each as often as it occurs among them
 * @param level \( \alpha \), the chance of any outlier among normal readings
 */
public record Outliers(List<Double> values, double level) {

  /** The usual level: one window of normal readings in a thousand has an outlier. */
  public static final double LEVEL = 0.001;

  /** The most that are looked for. */
  public static final int MOST = 10;

  /** Readings from which more than one is looked for. */
  public static final int FEWEST_FOR_SEVERAL = 25;

  /** Copies the values. */
  public Outliers {
    values = List.copyOf(values);
  }

  /**
   * Looks for outliers.
   *
   * @param readings in one unit
   * @param level \( \alpha \), between 0 and 1, such as 0.001
   * @return none of fewer than three readings, and where nothing varies
   * @throws IllegalArgumentException if the level lies outside
   */
  public static Outliers of(CountedValues readings, double level) {
    Arguments.requireShare("level", level);
    long n = readings.count();
    int most = n < FEWEST_FOR_SEVERAL ? 1 : MOST;
    Rest rest = new Rest(readings);
    List<Double> farthest = new ArrayList<>();
    int outliers = 0;
    for (int i = 1; i <= most && n - i >= 2; i++) {
      double ratio = rest.takeFarthest();
      if (ratio == 0) {
        break;
      }
      farthest.add(rest.taken);
      outliers = ratio > critical(n, i, level) ? i : outliers;
    }
    return new Outliers(farthest.subList(0, outliers), level);
  }

  static double critical(long n, int i, double level) {
    double left = n - i;
    double t = TDistribution.of(left - 1).inverseSurvivalProbability(level / (2 * (left + 1)));
    return left * t / Math.sqrt((left - 1 + t * t) * (left + 1));
  }

  /** Readings of which some were taken away at either end. */
  private static final class Rest {

    private final CountedValues readings;
    private long below;
    private long above;
    private double taken;

    Rest(CountedValues readings) {
      this.readings = readings;
    }

    /** Takes the farthest one away; its distance from the mean in standard deviations. */
    double takeFarthest() {
      double least = readings.ranked(below);
      double greatest = readings.ranked(readings.count() - 1 - above);
      double n = readings.count() - below - above;
      double centre = readings.ranked(below + (long) (n / 2));
      double mean = sum(value -> value - centre) / n;
      double squares = sum(value -> (value - centre - mean) * (value - centre - mean));
      double sd = Math.sqrt(squares / (n - 1));
      double down = mean - (least - centre);
      double up = greatest - centre - mean;
      if (!(sd > 0)) {
        return 0;
      }
      taken = up >= down ? greatest : least;
      above += up >= down ? 1 : 0;
      below += up >= down ? 0 : 1;
      return Math.max(up, down) / sd;
    }

    /** The sum over what is left; ends that were taken are left out, not taken off. */
    private double sum(DoubleUnaryOperator function) {
      double sum = 0;
      long before = 0;
      for (int i = 0; i < readings.distinct(); i++) {
        long from = Math.max(before, below);
        before += readings.count(i);
        long to = Math.min(before, readings.count() - above);
        sum += Math.max(0, to - from) * function.applyAsDouble(readings.value(i));
      }
      return sum;
    }
  }
}
