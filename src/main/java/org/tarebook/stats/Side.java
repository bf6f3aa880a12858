package org.tarebook.stats;

/** The half of a chart a point lies in. A point on the centre line lies in neither. */
public enum Side {
  /** Above the centre line. */
  ABOVE,
  /** Below the centre line. */
  BELOW
}
