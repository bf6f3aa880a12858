package org.tarebook.stats.fit;

/** The distributions that can be fitted. */
public enum Family {
  /** Mean and standard deviation (divisor n). */
  NORMAL,
  /** Mean and standard deviation (divisor n) of the natural logarithms; positive readings. */
  LOGNORMAL,
  /** Shape and scale; positive readings. */
  WEIBULL,
  /** Shape and scale; positive readings. */
  GAMMA,
  /** Scale: a distance whose two parts are normal about 0, such as a run-out; positive readings. */
  RAYLEIGH,
  /** Offset and sigma: a distance whose two parts are normal about a point off 0. */
  RICE
}
