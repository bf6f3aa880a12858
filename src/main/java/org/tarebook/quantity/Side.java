package org.tarebook.quantity;

/** One of the two limits of a tolerance. */
public enum Side {
  LOWER,
  UPPER
}
