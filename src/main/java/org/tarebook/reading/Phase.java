package org.tarebook.reading;

/** What the line was doing. Only running counts in statistics. */
public enum Phase {
  RUNNING,
  START_UP,
  TRIAL,
  CHANGEOVER
}
