package org.tarebook.reading;

/** How a device's clock stood to the server's when the reading arrived, where that is doubtful. */
public enum ClockDoubt {
  AHEAD,
  BEHIND
}
