package org.tarebook.stats;

import java.util.Collection;
import java.util.Map;
import java.util.Random;
import java.util.concurrent.ConcurrentHashMap;
import java.util.function.DoubleUnaryOperator;
import org.apache.commons.statistics.distribution.BetaDistribution;
import org.apache.commons.statistics.distribution.PoissonDistribution;
import org.jspecify.annotations.Nullable;

/**
 * How many points of an unchanged process complete a signal, by limits that were estimated.
 *
 * <p>An estimated centre lies off by a part of a sigma, and an estimated sigma is too small or too
 * large, for as long as the limits are in force; and signals come in clusters. So counts scatter
 * far more than those of a Poisson distribution. For given errors of centre and sigma the count is
 * taken as negative binomial, with mean and clustering found by simulation with a fixed seed; the
 * errors are then averaged over.
 *
 * <p><b>Accuracy:</b> the share of unchanged processes with more points than {@link Bound#most} is
 * in {@code simulated/in_control.csv} of the test resources, for windows of 25 to 500 points.
 *
 * <p><b>Source:</b> C. P. Quesenberry, Journal of Quality Technology 25 (1993) 237-247, for the
 * errors of estimated limits; the negative binomial count is own, held by simulation.
 */
public final class SignalledPoints {

  private static final double[] OFF = {0, 0.1, 0.2, 0.3, 0.45, 0.6, 0.8, 1.1};
  private static final double[] RATIO = {0.5, 0.65, 0.75, 0.85, 0.93, 1, 1.07, 1.15, 1.3, 1.6};
  private static final int BLOCKS = 150;
  private static final int BLOCK = 100;
  private static final long SEED = 53;
  private static final double[] NORMAL_NODES = {0, 0.5, 1, 1.5, 2, 2.5, 3};
  private static final double UNCLUSTERED = 1.01;

  private static final int MOST_REMEMBERED = 2000;

  private final Map<Asked, Bound> found = new ConcurrentHashMap<>();
  private final double[][] perPoint = new double[OFF.length][RATIO.length];
  private final double[][] clustering = new double[OFF.length][RATIO.length];

  /**
   * What limits were estimated from.
   *
   * @param points that gave the centre, at least 1
   * @param sigma the estimate of the sigma within, not 0
   */
  public record Baseline(long points, SigmaEstimate sigma) {}

  /** All that a bound depends on. */
  private record Asked(long points, long baseline, double degrees, boolean unbiased, double sure) {}

  /**
   * What chance explains.
   *
   * @param expected signalled points on average
   * @param most the count that is exceeded with at most the stated chance
   */
  public record Bound(double expected, long most) {}

  /**
   * Finds how often some rules signal.
   *
   * @param rules of the points
   * @param spreadBeyond the chance that the spread of a point lies beyond limits of a sigma that is
   *     so many times the true one; null for moving ranges of single readings
   */
  public SignalledPoints(
      Collection<? extends RunRule> rules, @Nullable DoubleUnaryOperator spreadBeyond) {
    Random random = new Random(SEED);
    RunRuleWatch watch = new RunRuleWatch(rules);
    double movedMost = Factors.rangeUpper(2) * Factors.d2(2);
    for (int i = 0; i < OFF.length; i++) {
      for (int j = 0; j < RATIO.length; j++) {
        double spread = spreadBeyond == null ? 0 : spreadBeyond.applyAsDouble(RATIO[j]);
        double sum = 0;
        double squares = 0;
        double before = random.nextGaussian();
        for (int block = 0; block < BLOCKS; block++) {
          watch.reset();
          int marked = 0;
          for (int point = 0; point < BLOCK; point++) {
            double x = random.nextGaussian();
            boolean beyond =
                spreadBeyond == null
                    ? Math.abs(x - before) > movedMost * RATIO[j]
                    : random.nextDouble() < spread;
            before = x;
            boolean signals = watch.next((x - OFF[i]) / RATIO[j]);
            marked += signals || beyond ? 1 : 0;
          }
          sum += marked;
          squares += (double) marked * marked;
        }
        double mean = Math.max(sum, 0.5) / BLOCKS;
        double variance = (squares - sum * sum / BLOCKS) / (BLOCKS - 1);
        perPoint[i][j] = Math.log(mean / BLOCK);
        clustering[i][j] = Math.max(1, variance / mean);
      }
    }
  }

  /**
   * Returns what chance explains of a number of points.
   *
   * @param points judged, at least 1
   * @param baseline what the limits were estimated from; null where they are those of the points
   *     themselves, which find fewer signals than known limits
   * @param sure the chance that no more are signalled, between 0 and 1, such as 0.99
   * @return the bound
   * @throws IllegalArgumentException if an argument lies outside
   */
  public Bound of(long points, @Nullable Baseline baseline, double sure) {
    Arguments.requireAtLeast("points", points, 1);
    Arguments.requireShare("chance", sure);
    if (found.size() > MOST_REMEMBERED) {
      found.clear();
    }
    return found.computeIfAbsent(
        new Asked(
            points,
            baseline == null ? 0 : baseline.points(),
            baseline == null ? 0 : baseline.sigma().degreesOfFreedom(),
            baseline != null && baseline.sigma().estimator().unbiased(),
            sure),
        asked -> compute(points, baseline, sure));
  }

  private Bound compute(long points, @Nullable Baseline baseline, double sure) {
    double[][] offs = baseline == null ? new double[][] {{0}, {1}} : centres(baseline.points());
    double[][] ratios = baseline == null ? new double[][] {{1}, {1}} : ratios(baseline.sigma());
    double expected = 0;
    for (int i = 0; i < offs[0].length; i++) {
      for (int j = 0; j < ratios[0].length; j++) {
        double weight = offs[1][i] * ratios[1][j];
        expected += weight * points * Math.exp(at(perPoint, offs[0][i], ratios[0][j]));
      }
    }
    long low = -1;
    long high = (long) expected + 1;
    while (below(high, points, offs, ratios) < sure) {
      low = high;
      high *= 2;
    }
    while (high - low > 1) {
      long middle = low + (high - low) / 2;
      if (below(middle, points, offs, ratios) < sure) {
        low = middle;
      } else {
        high = middle;
      }
    }
    return new Bound(expected, high);
  }

  /** The chance of at most so many signalled points. */
  private double below(long most, long points, double[][] offs, double[][] ratios) {
    double below = 0;
    for (int i = 0; i < offs[0].length; i++) {
      for (int j = 0; j < ratios[0].length; j++) {
        double mean = points * Math.exp(at(perPoint, offs[0][i], ratios[0][j]));
        double cluster = at(clustering, offs[0][i], ratios[0][j]);
        below += offs[1][i] * ratios[1][j] * atMost(most, mean, cluster);
      }
    }
    return below;
  }

  private static double atMost(long most, double mean, double cluster) {
    return cluster < UNCLUSTERED
        ? PoissonDistribution.of(mean)
            .cumulativeProbability((int) Math.min(most, Integer.MAX_VALUE))
        : BetaDistribution.of(mean / (cluster - 1), most + 1.0).cumulativeProbability(1 / cluster);
  }

  private static double[][] centres(long points) {
    double[][] nodes = new double[2][NORMAL_NODES.length];
    double all = 0;
    for (int i = 0; i < NORMAL_NODES.length; i++) {
      double u = NORMAL_NODES[i];
      nodes[0][i] = u / Math.sqrt((double) points);
      nodes[1][i] = Math.exp(-u * u / 2) * (i == 0 ? 0.5 : 1);
      all += nodes[1][i];
    }
    for (int i = 0; i < NORMAL_NODES.length; i++) {
      nodes[1][i] /= all;
    }
    return nodes;
  }

  /** Quantiles of the estimate over the true sigma, each standing for as much. */
  private static double[][] ratios(SigmaEstimate sigma) {
    double[] between = {0, 0.005, 0.02, 0.06, 0.15, 0.3, 0.5, 0.7, 0.85, 1};
    double[][] nodes = new double[2][between.length - 1];
    double scale = sigma.sigma() / sigma.chiScaled();
    for (int i = 0; i < nodes[0].length; i++) {
      double share = (between[i] + between[i + 1]) / 2;
      nodes[0][i] = scale * Math.sqrt(ChiSquared.ratio(sigma.degreesOfFreedom(), share));
      nodes[1][i] = between[i + 1] - between[i];
    }
    return nodes;
  }

  /** Between the four nearest figures; beyond the outermost, these. */
  private static double at(double[][] figures, double off, double ratio) {
    int i = place(OFF, off);
    int j = place(RATIO, ratio);
    double u = part(OFF, i, off);
    double v = part(RATIO, j, ratio);
    return (1 - u) * ((1 - v) * figures[i][j] + v * figures[i][j + 1])
        + u * ((1 - v) * figures[i + 1][j] + v * figures[i + 1][j + 1]);
  }

  private static int place(double[] grid, double x) {
    int i = 0;
    while (i < grid.length - 2 && grid[i + 1] < x) {
      i++;
    }
    return i;
  }

  private static double part(double[] grid, int i, double x) {
    return Math.max(0, Math.min(1, (x - grid[i]) / (grid[i + 1] - grid[i])));
  }
}
