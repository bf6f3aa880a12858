package org.tarebook.thermal;

/**
 * How the rate of cure is taken between two readings.
 *
 * <p>On a trace with straight pieces, {@code LOG_MEAN <= EXACT <= TRAPEZOID} as long as the
 * absolute temperature stays below E/(2R), some thousand kelvin for rubber.
 */
public enum Rule {
  /**
   * Logarithmic mean of the two rates, \( (k_2 - k_1) / \ln(k_2/k_1) \): exact when 1/T runs
   * straight. Never above the truth of a straight temperature: for minima.
   */
  LOG_MEAN,
  /**
   * Mean of the two rates. Never below the truth of a straight temperature: for maxima; it
   * overstates cure and would pass tyres that are not cured.
   */
  TRAPEZOID,
  /** The integral itself with the temperature straight between readings. */
  EXACT,
  /** The rate of the earlier reading until the next one. */
  HOLD
}
