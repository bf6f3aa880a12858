package org.tarebook.stats.measuring;

import java.util.Optional;
import org.apache.commons.statistics.distribution.FDistribution;
import org.tarebook.stats.Arguments;

/**
 * A crossed study: every operator measures every part several times.
 *
 * <p>\[ y_{ijk} = \mu + P_i + O_j + (PO)_{ij} + E_{ijk} \]
 *
 * <p>all four random. With one operator there is neither operator nor interaction, and their
 * degrees of freedom are 0.
 *
 * <p><b>Source:</b> D. C. Montgomery, Design and Analysis of Experiments, chapter 13; AIAG,
 * Measurement Systems Analysis, 4th ed. (2010), which divides by another mean square, see {@link
 * Divisor}.
 *
 * @param parts how many
 * @param operators how many
 * @param trials readings of one part by one operator
 * @param part sum of squares between parts
 * @param operator sum of squares between operators
 * @param interaction sum of squares of part and operator together
 * @param repeatability sum of squares inside cells
 */
public record CrossedStudy(
    int parts,
    int operators,
    int trials,
    Squares part,
    Squares operator,
    Squares interaction,
    Squares repeatability) {

  /**
   * A sum of squares.
   *
   * @param sum in the unit squared
   * @param degrees degrees of freedom; 0 when the study has no such term
   */
  public record Squares(double sum, long degrees) {

    /**
     * Returns the mean square.
     *
     * @return sum over degrees, in the unit squared; 0 for no degrees
     */
    public double mean() {
      return degrees == 0 ? 0 : sum / degrees;
    }

    private Squares plus(Squares other) {
      return new Squares(sum + other.sum, degrees + other.degrees);
    }
  }

  /** What the mean squares of parts and operators are divided by. */
  public enum Divisor {
    /** The interaction's mean square, as random effects ask for; the repeatability without it. */
    INTERACTION,
    /** The repeatability's mean square, as the AIAG manual prints. */
    REPEATABILITY
  }

  /**
   * A ratio of mean squares.
   *
   * @param f the ratio
   * @param p chance of a ratio at least this large if the term had no effect
   */
  public record Test(double f, double p) {}

  /**
   * Adds up the squares of a study.
   *
   * @param y parts by operators by trials: at least 2 parts, 1 operator, 2 trials, all cells full;
   *     in one unit; not kept
   * @return the study
   * @throws IllegalArgumentException if it is smaller, a cell has another number of trials, or a
   *     reading is not finite; the message names the cell
   */
  public static CrossedStudy of(double[][][] y) {
    Arguments.requireAtLeast("number of parts", y.length, 2);
    int o = y[0].length;
    Arguments.requireAtLeast("number of operators", o, 1);
    int r = y[0][0].length;
    double[][] cells = new double[y.length][o];
    double[] partMeans = new double[y.length];
    double[] operatorMeans = new double[o];
    double all = 0;
    double origin = y[0][0].length == 0 ? 0 : y[0][0][0];
    double within = 0;
    for (int i = 0; i < y.length; i++) {
      requireSame("operators of part " + i, y[i].length, o);
      for (int j = 0; j < o; j++) {
        String cell = "part %d, operator %d, trial".formatted(i, j);
        requireSame("trials of part %d, operator %d".formatted(i, j), y[i][j].length, r);
        Arguments.requireSeries(cell, y[i][j], 2);
        for (double value : y[i][j]) {
          cells[i][j] += (value - origin) / r;
        }
        for (double value : y[i][j]) {
          within += square(value - origin - cells[i][j]);
        }
        partMeans[i] += cells[i][j] / o;
        operatorMeans[j] += cells[i][j] / y.length;
        all += cells[i][j] / o / y.length;
      }
    }
    double between = 0;
    double operator = 0;
    double interaction = 0;
    for (int i = 0; i < y.length; i++) {
      between += o * r * square(partMeans[i] - all);
      for (int j = 0; j < o; j++) {
        operator += r * square(operatorMeans[j] - all);
        interaction += r * square(cells[i][j] - partMeans[i] - operatorMeans[j] + all);
      }
    }
    long p = y.length;
    return new CrossedStudy(
        y.length,
        o,
        r,
        new Squares(between, p - 1),
        new Squares(o == 1 ? 0 : operator, o - 1),
        new Squares(o == 1 ? 0 : interaction, (p - 1) * (o - 1)),
        new Squares(within, p * o * (r - 1L)));
  }

  private static double square(double value) {
    return value * value;
  }

  private static void requireSame(String what, int found, int wanted) {
    if (found != wanted) {
      throw new IllegalArgumentException(
          "%s are %d, those of the first are %d: fill every cell".formatted(what, found, wanted));
    }
  }

  /**
   * Tests whether parts differ.
   *
   * @param divisor which convention
   * @return the ratio and its chance; empty where the divisor is 0
   */
  public Optional<Test> ofParts(Divisor divisor) {
    return test(part, divisor);
  }

  /**
   * Tests whether operators differ.
   *
   * @param divisor which convention
   * @return the ratio and its chance; empty where the divisor is 0
   * @throws IllegalStateException if there is one operator only
   */
  public Optional<Test> ofOperators(Divisor divisor) {
    requireOperators();
    return test(operator, divisor);
  }

  /**
   * Tests whether operators differ by the part.
   *
   * @return the ratio over the repeatability, and its chance; empty where the repeatability is 0
   * @throws IllegalStateException if there is one operator only
   */
  public Optional<Test> ofInteraction() {
    requireOperators();
    return test(interaction, repeatability);
  }

  private Optional<Test> test(Squares squares, Divisor divisor) {
    boolean overInteraction = divisor == Divisor.INTERACTION && interaction.degrees() > 0;
    return test(squares, overInteraction ? interaction : repeatability);
  }

  private static Optional<Test> test(Squares above, Squares below) {
    double f = above.mean() / below.mean();
    if (!Double.isFinite(f)) {
      return Optional.empty();
    }
    FDistribution chances = FDistribution.of((double) above.degrees(), (double) below.degrees());
    return Optional.of(new Test(f, chances.survivalProbability(f)));
  }

  private void requireOperators() {
    if (operators == 1) {
      throw new IllegalStateException("one operator cannot differ from others");
    }
  }

  /**
   * Returns the variances that the mean squares speak of, with an interaction.
   *
   * @return as estimated, so possibly negative: see {@link Components#truncated}
   */
  public Components components() {
    double e = repeatability.mean();
    if (operators == 1) {
      return new Components(e, 0, 0, (part.mean() - e) / trials);
    }
    double both = interaction.mean();
    return new Components(
        e,
        (operator.mean() - both) / ((double) parts * trials),
        (both - e) / trials,
        (part.mean() - both) / ((double) operators * trials));
  }

  /**
   * Returns the variances with the interaction counted as repeatability, as is usual when {@link
   * #ofInteraction} does not show one.
   *
   * @return as estimated, so possibly negative
   */
  public Components componentsWithoutInteraction() {
    double e = repeatability.plus(interaction).mean();
    double ofOperator = operators == 1 ? 0 : (operator.mean() - e) / ((double) parts * trials);
    return new Components(e, ofOperator, 0, (part.mean() - e) / ((double) operators * trials));
  }
}
