package org.tarebook.quantity;

/** What judging a value against a tolerance comes to. */
public enum Verdict {
  /** Inside the acceptance limits, or on one. */
  PASS,
  /** Inside the tolerance limits, or on one, but closer to one than the guard band allows. */
  CONDITIONAL,
  /** Below the lower tolerance limit: light, thin, short, cold. */
  FAIL_BELOW,
  /** Above the upper tolerance limit: heavy, thick, long, hot. */
  FAIL_ABOVE
}
