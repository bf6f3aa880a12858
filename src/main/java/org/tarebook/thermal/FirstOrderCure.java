package org.tarebook.thermal;

/**
 * State of cure by the first-order law behind an induction time, \( X = 1 - e^{-k (t - t_i)} \)
 * with \( k = \ln 10 / (t_{90} - t_i) \). Reversion is left out.
 *
 * @param induction equivalent minutes until the cure begins, 0 or above
 * @param t90 equivalent minutes to 90 %, above the induction
 */
public record FirstOrderCure(double induction, double t90) {

  /**
   * Checks the constants.
   *
   * @throws IllegalArgumentException if they are not in order
   */
  public FirstOrderCure {
    Arguments.requireNotNegative("induction in min", induction);
    Arguments.requireFinite("t90 in min", t90);
    if (!(t90 > induction)) {
      throw new IllegalArgumentException(
          "t90 of %s min must be above the induction of %s min".formatted(t90, induction));
    }
  }

  /** Returns the rate constant, per equivalent minute. */
  public double rate() {
    return Math.log(10) / (t90 - induction);
  }

  /** Returns the state of cure after some equivalent minutes, 0 to below 1. */
  public double stateAt(double minutes) {
    Arguments.requireNotNegative("equivalent minutes", minutes);
    return minutes <= induction ? 0 : -Math.expm1(-rate() * (minutes - induction));
  }

  /**
   * Returns the equivalent minutes a state of cure takes.
   *
   * @param state from 0 to below 1
   * @throws IllegalArgumentException outside
   */
  public double minutesFor(double state) {
    Arguments.requireWithin("state of cure", state, "", 0, Math.nextDown(1.0));
    return induction - Math.log1p(-state) / rate();
  }
}
