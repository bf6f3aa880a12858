package org.tarebook.stats;

import java.util.Optional;
import java.util.function.DoubleUnaryOperator;
import org.apache.commons.statistics.distribution.FDistribution;
import org.apache.commons.statistics.distribution.NormalDistribution;
import org.jspecify.annotations.Nullable;

/**
 * The spread of single readings where the means of subgroups move by themselves, in two independent
 * parts, and confidence intervals of the indices made of it. Readings of one subgroup then repeat
 * each other, so that neither sigma nor the mean is known as well as the number of readings would
 * make it.
 *
 * <p>With \( m \) the variance of a subgroup's mean and \( w \) the rest, \( \sigma^2 = m + w \).
 * Both estimates are taken as chi-squares: \( \nu_m \hat m / m \) and \( \nu_w \hat w / w \). The
 * mean of all readings has variance \( m / k \).
 *
 * <p><b>Accuracy:</b> limits to 1e-6 of themselves as solutions of what is stated, those about a
 * target to 5e-4; where the mean is known far better than sigma, to 5e-4 of one part and 1e-2 of
 * two. Coverage of 95 % intervals by simulation is in {@code simulated/interval_coverage.csv} of
 * the test resources.
 *
 * <p><b>Source:</b> F. A. Graybill and C. M. Wang, Journal of the American Statistical Association
 * 75 (1980) 869-873, for the sum of both parts; S. Weerahandi, Journal of the American Statistical
 * Association 88 (1993) 899-905, for what needs the mean too. Both from memory.
 *
 * @param ofMeans \( \hat m \), zero or positive, in the unit squared
 * @param degreesOfMeans \( \nu_m \), positive
 * @param inside \( \hat w \), zero or positive; 0 for single readings
 * @param degreesInside \( \nu_w \), positive; not looked at where {@code inside} is 0
 * @param means \( k \), how many means the mean of all readings comes from
 */
public record TwoPartSpread(
    double ofMeans, double degreesOfMeans, double inside, double degreesInside, long means) {

  private static final NormalDistribution NORMAL = NormalDistribution.of(0, 1);

  /** Weights below e to this power are left out. */
  private static final double NEGLIGIBLE = -18;

  /** Steps of the trapezoidal rule in widths of the density, and the longest step. */
  private static final double STEP = 0.5;

  private static final double LONGEST_STEP = 0.2;

  /** The chance of a distance from the target has a root at an edge, which takes finer steps. */
  private static final int FINER = 24;

  private static final int FINER_OF_TWO = 8;

  /**
   * Nodes to either side of the peak, of one part and of each of two. They are too few only for a
   * mean that is known much better than sigma; what is summed is then close to a step.
   */
  private static final double MOST_NODES = 20_000;

  private static final double MOST_NODES_OF_TWO = 400;

  private static final double AGREEMENT = 1e-8;

  private static final int MOST_STEPS = 60;

  /**
   * Checks the figures.
   *
   * @throws IllegalArgumentException if one lies outside
   */
  public TwoPartSpread {
    Arguments.requireNotNegative("variance of means", ofMeans);
    Arguments.requirePositive("degrees of freedom of means", degreesOfMeans);
    Arguments.requireNotNegative("variance inside", inside);
    Arguments.requirePositive("degrees of freedom inside", degreesInside);
    Arguments.requireAtLeast("means", means, 2);
  }

  /**
   * Takes single readings that are independent of each other.
   *
   * @return empty for fewer than two
   */
  public static Optional<TwoPartSpread> of(Moments readings) {
    long n = readings.count();
    return n < 2
        ? Optional.empty()
        : Optional.of(new TwoPartSpread(readings.sd() * readings.sd(), n - 1.0, 0, 1, n));
  }

  /**
   * Takes subgroups, by the mean squares between and inside them. Of several sizes it takes them as
   * if all had {@link SubgroupSums#typicalSize}, which is exact for one size.
   *
   * @return empty for fewer than two subgroups, and where none holds two readings
   */
  public static Optional<TwoPartSpread> of(SubgroupSums sums) {
    long k = sums.subgroups();
    if (k < 2 || sums.several() == 0) {
      return Optional.empty();
    }
    double n = sums.typicalSize();
    double together = sums.readings().exactSquaredDeviations().doubleValue();
    double squaresInside = sums.squaredDeviations().doubleValue();
    double between = Math.max(0, together - squaresInside) / (k - 1);
    double degrees = sums.readings().count() - k;
    return Optional.of(
        new TwoPartSpread(between / n, k - 1.0, squaresInside / degrees * (n - 1) / n, degrees, k));
  }

  /**
   * Returns whether the means of subgroups scatter by more than the spread inside explains: the F
   * test of one-way analysis of variance.
   *
   * @param chance below which they are said to, between 0 and 1
   * @return false where nothing varies inside but the means do not either
   */
  public boolean meansDiffer(double chance) {
    Arguments.requireConfidence(chance);
    if (ofMeans == 0) {
      return false;
    }
    if (inside == 0) {
      return true;
    }
    double size = 1 + degreesInside / means;
    double f = ofMeans * (size - 1) / inside;
    return FDistribution.of(degreesOfMeans, degreesInside).survivalProbability(f) < chance;
  }

  /** The estimated variance of a single reading. */
  public double variance() {
    return ofMeans + inside;
  }

  /**
   * Returns the interval of Cp or Pp.
   *
   * <p>\[ \hat\sigma^2 - \sqrt{G_m^2 \hat m^2 + G_w^2 \hat w^2}, \quad \hat\sigma^2 + \sqrt{H_m^2
   * \hat m^2 + H_w^2 \hat w^2}, \qquad G = 1 - \nu / \chi^2_{\nu, 1 - \alpha/2}, \quad H = \nu /
   * \chi^2_{\nu, \alpha/2} - 1 \]
   *
   * @param width \( U - L \), positive
   * @param confidence between 0 and 1, such as 0.95
   * @return two-sided, equal tails, dimensionless
   * @throws IllegalArgumentException if an argument lies outside or nothing varied
   */
  public Interval ofPotential(double width, double confidence) {
    double tail = (1 - Arguments.requireConfidence(confidence)) / 2;
    double variance = Arguments.requirePositive("variance", variance());
    double below =
        Math.hypot(
            ofMeans * (1 - 1 / ChiSquared.upperRatio(degreesOfMeans, tail)),
            inside * (1 - 1 / ChiSquared.upperRatio(degreesInside, tail)));
    double above =
        Math.hypot(
            ofMeans * (1 / ChiSquared.ratio(degreesOfMeans, tail) - 1),
            inside * (1 / ChiSquared.ratio(degreesInside, tail) - 1));
    double sixth = Arguments.requirePositive("width", width) / 6;
    return new Interval(sixth / Math.sqrt(variance + above), sixth / Math.sqrt(variance - below));
  }

  /**
   * Returns the interval of an index by the nearer limit, or by the only one.
   *
   * <p>The upper limit is that of the nearer side alone. The lower one allows for the mean's being
   * nearer to the other side.
   *
   * @param toUpper \( U - \bar x \); null without an upper limit
   * @param toLower \( \bar x - L \); null without a lower limit
   * @param confidence between 0 and 1, such as 0.95
   * @return two-sided, dimensionless
   * @throws IllegalArgumentException if there is no limit, an argument lies outside or nothing
   *     varied
   */
  public Interval ofMinimum(@Nullable Double toUpper, @Nullable Double toLower, double confidence) {
    double tail = (1 - Arguments.requireConfidence(confidence)) / 2;
    double up = toUpper == null ? Double.POSITIVE_INFINITY : toUpper;
    double low = toLower == null ? Double.POSITIVE_INFINITY : toLower;
    double nearer = Arguments.requireFinite("distance to the nearer limit", Math.min(up, low));
    double index = nearer / (3 * Math.sqrt(Arguments.requirePositive("variance", variance())));
    double width = (1 + Math.abs(index)) / Math.sqrt(degreesOfMeans + 1);
    Nodes nodes = nodes(nearer, 1);
    DoubleUnaryOperator below =
        c ->
            nodes.mean(
                (sigma, error) -> {
                  double lost = 3 * c * sigma;
                  double up1 = NORMAL.cumulativeProbability((up - lost) / error);
                  double low1 = NORMAL.cumulativeProbability((lost - low) / error);
                  return 1 - Math.max(0, up1 - low1);
                });
    DoubleUnaryOperator belowOfNearer =
        c ->
            nodes.mean(
                (sigma, error) -> NORMAL.cumulativeProbability((3 * c * sigma - nearer) / error));
    double least = root(c -> below.applyAsDouble(c) - tail, index - width, width);
    double most = root(c -> belowOfNearer.applyAsDouble(c) - (1 - tail), index + width, width);
    // Of a mean that is known to stand on the limit both ends are 0 but for the search.
    return new Interval(Math.min(least, most), Math.max(least, most));
  }

  /**
   * Returns the interval of \( C_{pm} \), from that of \( \tau^2 = \sigma^2 + (\mu - T)^2 \).
   *
   * <p>The square of the distance from the target is taken less by twice the variance of the mean:
   * once for the estimate's error, once for that of what stands for the unknown mean.
   *
   * @param width \( U - L \), positive
   * @param offTarget \( \bar x - T \)
   * @param confidence between 0 and 1, such as 0.95
   * @return two-sided, equal tails, dimensionless
   * @throws IllegalArgumentException if an argument lies outside or nothing varied
   */
  public Interval aboutTarget(double width, double offTarget, double confidence) {
    double tail = (1 - Arguments.requireConfidence(confidence)) / 2;
    double off = Math.abs(Arguments.requireFinite("distance from target", offTarget));
    double sixth = Arguments.requirePositive("width", width) / 6;
    double squares = Arguments.requirePositive("variance", variance()) + off * off;
    Nodes nodes = nodes(off, inside == 0 ? FINER : FINER_OF_TWO);
    DoubleUnaryOperator below =
        log -> {
          double tau2 = squares * Math.exp(log);
          return nodes.mean(
              (sigma, error) -> {
                double room = tau2 - sigma * sigma + 2 * error * error;
                if (room <= 0) {
                  return 0;
                }
                double root = Math.sqrt(room);
                return NORMAL.cumulativeProbability((root - off) / error)
                    - NORMAL.cumulativeProbability((-root - off) / error);
              });
        };
    double reach = 2 / Math.sqrt(degreesOfMeans + 1);
    double least = root(log -> below.applyAsDouble(log) - tail, -reach, reach);
    double most = root(log -> below.applyAsDouble(log) - (1 - tail), reach, reach);
    // So far from the target that both ends are one double, rounding may cross them.
    return new Interval(
        sixth / Math.sqrt(squares * Math.exp(Math.max(least, most))),
        sixth / Math.sqrt(squares * Math.exp(Math.min(least, most))));
  }

  /** Where a rising function crosses 0, by false position with halved ends (Illinois). */
  private static double root(DoubleUnaryOperator rising, double near, double width) {
    double reach = width / 2;
    double low = near - reach;
    double atLow = rising.applyAsDouble(low);
    double high = near + reach;
    double atHigh = rising.applyAsDouble(high);
    while (atLow > 0) {
      high = low;
      atHigh = atLow;
      reach *= 2;
      low -= reach;
      atLow = rising.applyAsDouble(low);
    }
    while (atHigh < 0) {
      low = high;
      atLow = atHigh;
      reach *= 2;
      high += reach;
      atHigh = rising.applyAsDouble(high);
    }
    int side = 0;
    double last = Double.NaN;
    for (int i = 0; i < MOST_STEPS; i++) {
      double next = atHigh == atLow ? low : (low * atHigh - high * atLow) / (atHigh - atLow);
      double atNext = rising.applyAsDouble(next);
      if (atNext == 0 || Math.abs(next - last) <= AGREEMENT * (1 + Math.abs(next))) {
        return next;
      }
      last = next;
      if (atNext > 0) {
        high = next;
        atHigh = atNext;
        atLow = side == 1 ? atLow / 2 : atLow;
        side = 1;
      } else {
        low = next;
        atLow = atNext;
        atHigh = side == -1 ? atHigh / 2 : atHigh;
        side = -1;
      }
    }
    return last;
  }

  /** A figure of sigma and of the standard error of the mean. */
  private interface Figure {
    double of(double sigma, double error);
  }

  /** Values that sigma and the standard error of the mean may have, with their weights. */
  private static final class Nodes {

    private final double[] sigma;
    private final double[] error;
    private final double[] weight;

    Nodes(int size) {
      sigma = new double[size];
      error = new double[size];
      weight = new double[size];
    }

    double mean(Figure figure) {
      double sum = 0;
      for (int i = 0; i < weight.length; i++) {
        sum += weight[i] * figure.of(sigma[i], error[i]);
      }
      return sum;
    }
  }

  /**
   * Nodes for figures that turn at a distance from the mean: the surer the mean, the more sharply.
   */
  private Nodes nodes(double distance, int finer) {
    double sharp = ofMeans == 0 ? Double.POSITIVE_INFINITY : distance / Math.sqrt(ofMeans / means);
    double most = inside == 0 || ofMeans == 0 ? MOST_NODES : MOST_NODES_OF_TWO;
    double[][] first = ratios(ofMeans, degreesOfMeans, sharp, finer, most);
    double[][] second = ratios(inside, degreesInside, sharp, 1, most);
    Nodes nodes = new Nodes(first[0].length * second[0].length);
    int at = 0;
    for (int i = 0; i < first[0].length; i++) {
      for (int j = 0; j < second[0].length; j++) {
        nodes.sigma[at] = Math.sqrt(first[0][i] + second[0][j]);
        nodes.error[at] = Math.sqrt(first[0][i] / means);
        nodes.weight[at++] = first[1][i] * second[1][j];
      }
    }
    return nodes;
  }

  /** What a part may be, given its estimate, and weights that add up to 1. */
  private static double[][] ratios(
      double estimate, double degrees, double sharp, int finer, double most) {
    if (estimate == 0) {
      return new double[][] {{Double.MIN_NORMAL}, {1}};
    }
    double wanted =
        Math.min(LONGEST_STEP, STEP / Math.hypot(Math.sqrt(2 * degrees), sharp)) / finer;
    double step = Math.max(wanted, furthest(degrees) / most);
    int below = reach(degrees, -step);
    int above = reach(degrees, step);
    double[][] found = new double[2][below + 1 + above];
    double all = 0;
    for (int i = 0; i < found[0].length; i++) {
      double logS = (i - below) * step;
      found[0][i] = estimate * Math.exp(-2 * logS);
      found[1][i] = Math.exp(logDensity(degrees, logS));
      all += found[1][i];
    }
    for (int i = 0; i < found[1].length; i++) {
      found[1][i] /= all;
    }
    return found;
  }

  /** At least how far from its peak the density of ln S is not negligible. */
  private static double furthest(double degrees) {
    return Math.sqrt(-2 * NEGLIGIBLE / degrees) - NEGLIGIBLE / degrees;
  }

  private static int reach(double degrees, double step) {
    int steps = 0;
    while (logDensity(degrees, (steps + 1) * step) >= NEGLIGIBLE) {
      steps++;
    }
    return steps;
  }

  /** Logarithm of the density of ln S, against its peak at 0, \( \nu S^2 \) a chi-square. */
  private static double logDensity(double degrees, double logS) {
    return degrees * (logS - Math.expm1(2 * logS) / 2);
  }
}
