package org.tarebook.schedule;

import io.swagger.v3.oas.annotations.media.Schema;

/** What a pressure is counted from. */
@Schema(name = "PressureKind")
public enum PressureKind {
  /** From the air around the press; needs the barometer. */
  GAUGE,
  /** From vacuum. */
  ABSOLUTE
}
