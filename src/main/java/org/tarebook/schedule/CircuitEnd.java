package org.tarebook.schedule;

/** Where in its circuit a channel sits. */
public enum CircuitEnd {
  SUPPLY,
  RETURN
}
