package org.tarebook.thermal;

/** What a trace does between two of its readings. */
public enum Between {
  /** Straight from one reading to the next: a sensor sampled again and again. */
  LINEAR,
  /** The value holds, then steps: a sensor that reports only when its value changes. */
  HOLD
}
