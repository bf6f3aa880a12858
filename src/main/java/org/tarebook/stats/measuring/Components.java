package org.tarebook.stats.measuring;

import org.tarebook.stats.Arguments;

/**
 * The variances a measuring system study finds, in the unit squared.
 *
 * @param repeatability of one operator measuring one part again
 * @param operator between operators
 * @param interaction of operators that differ by the part
 * @param part between parts
 */
public record Components(double repeatability, double operator, double interaction, double part) {

  /**
   * Returns the variances with the negative ones, which are estimates of small ones, set to 0.
   *
   * @return none below 0
   */
  public Components truncated() {
    return new Components(
        Math.max(0, repeatability),
        Math.max(0, operator),
        Math.max(0, interaction),
        Math.max(0, part));
  }

  /**
   * Returns the variance between operators, with interaction.
   *
   * @return in the unit squared
   */
  public double reproducibility() {
    return operator + interaction;
  }

  /**
   * Returns the variance of measuring, everything but the parts.
   *
   * @return in the unit squared
   */
  public double measuring() {
    return repeatability + operator + interaction;
  }

  /**
   * Returns all variances together.
   *
   * @return in the unit squared
   */
  public double total() {
    return measuring() + part;
  }

  /**
   * Returns the standard deviation of measuring over that of all readings, 0 to 1: below 0.1 good,
   * to 0.3 conditional (AIAG). Its square is the share of the variance. Truncated variances are
   * meant.
   *
   * @return dimensionless; 0 when nothing varied
   */
  public double shareOfStudy() {
    return total() == 0 ? 0 : Math.sqrt(measuring() / total());
  }

  /**
   * Returns six standard deviations of measuring over the width of a tolerance.
   *
   * @param width upper less lower limit, positive
   * @return dimensionless
   * @throws IllegalArgumentException if the width is not positive
   */
  public double shareOfTolerance(double width) {
    return 6 * Math.sqrt(measuring()) / Arguments.requirePositive("width of the tolerance", width);
  }

  /**
   * Returns how many kinds of parts the system can tell apart: \( 1.41 \sigma_P / \sigma_M \), cut
   * off to a whole number, never rounded up; at least 5 are wanted (AIAG).
   *
   * @return zero or more; {@link Integer#MAX_VALUE} if measuring does not vary
   */
  public int distinctCategories() {
    if (measuring() <= 0) {
      return Integer.MAX_VALUE;
    }
    return (int) (1.41 * Math.sqrt(part / measuring()));
  }
}
