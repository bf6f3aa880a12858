package org.tarebook.schedule;

/** What a pressure is counted from. */
public enum PressureKind {
  /** From the air around the press; needs the barometer. */
  GAUGE,
  /** From vacuum. */
  ABSOLUTE
}
