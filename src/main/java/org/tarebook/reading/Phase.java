package org.tarebook.reading;

import io.swagger.v3.oas.annotations.media.Schema;

/** What the line was doing. Only running counts in statistics. */
@Schema(name = "Phase")
public enum Phase {
  RUNNING,
  START_UP,
  TRIAL,
  CHANGEOVER
}
