package org.tarebook.control;

import io.swagger.v3.oas.annotations.media.Schema;
import java.math.BigDecimal;
import org.jspecify.annotations.Nullable;
import org.tarebook.cure.CavityFigures;
import org.tarebook.quantity.Unit;
import org.tarebook.schedule.Until;

/** A figure of cure verdicts that can be charted. */
@Schema(name = "VerdictFigure", description = "A figure of cure verdicts that can be charted.")
enum VerdictFigure {
  @Schema(description = "Equivalent minutes at the slowest place when the pressure is released.")
  SLOWEST_TO_RELEASE(Unit.MINUTE),
  @Schema(description = "Equivalent minutes at the slowest place when the press opens.")
  SLOWEST_TO_OPENING(Unit.MINUTE),
  @Schema(description = "Time the internal temperature was within its set points.")
  SOAK(Unit.SECOND),
  @Schema(description = "Depression of the dome below saturation in its worst minute.")
  DOME_DEPRESSION(Unit.KELVIN_DIFFERENCE),
  @Schema(description = "Greatest difference between internal and outside temperature.")
  INSIDE_OUTSIDE(Unit.KELVIN_DIFFERENCE),
  @Schema(description = "Time the cooling flush took.")
  COOLING(Unit.SECOND);

  private final Unit unit;

  VerdictFigure(Unit unit) {
    this.unit = unit;
  }

  /** The unit it is charted from. */
  Unit unit() {
    return unit;
  }

  /** Its value in a cavity's figures; absent where they do not have it or it bridges a gap. */
  @Nullable BigDecimal of(CavityFigures figures) {
    return switch (this) {
      case SLOWEST_TO_RELEASE -> slowest(figures, Until.RELEASE);
      case SLOWEST_TO_OPENING -> slowest(figures, Until.OPENING);
      case SOAK -> figures.soak();
      case DOME_DEPRESSION -> figures.domeDepression();
      case INSIDE_OUTSIDE -> figures.insideOutside();
      case COOLING -> figures.cooling();
    };
  }

  private static @Nullable BigDecimal slowest(CavityFigures figures, Until until) {
    return figures.equivalents().stream()
        .filter(one -> one.place().equals("SLOWEST") && one.until() == until)
        .filter(one -> one.medium() == null)
        .filter(one -> one.bridged() == null)
        .map(CavityFigures.Equivalents::minutes)
        .findFirst()
        .orElse(null);
  }
}
