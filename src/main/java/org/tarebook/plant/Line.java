package org.tarebook.plant;

import io.swagger.v3.oas.annotations.media.Schema;
import jakarta.persistence.Entity;
import jakarta.persistence.EnumType;
import jakarta.persistence.Enumerated;
import java.time.Instant;

/** Where a kind of work is done. */
@Entity
public class Line extends Coded {

  @Enumerated(EnumType.STRING)
  private Kind kind = Kind.LABORATORY;

  /** Kinds of work. */
  @Schema(name = "LineKind", description = "The kind of work done on a line.")
  public enum Kind {
    @Schema(description = "Mixing of compounds.")
    MIXING,
    @Schema(description = "Calendering.")
    CALENDERING,
    @Schema(description = "Bias cutting.")
    BIAS_CUTTING,
    @Schema(description = "Bead winding.")
    BEAD_WINDING,
    @Schema(description = "Tread extrusion.")
    TREAD_EXTRUSION,
    @Schema(description = "Tyre building.")
    BUILDING,
    @Schema(description = "Curing.")
    CURING,
    @Schema(description = "Finishing.")
    FINISHING,
    @Schema(description = "Laboratory tests.")
    LABORATORY,
    @Schema(description = "Endurance tests.")
    ENDURANCE,
    @Schema(description = "Road tests.")
    ROAD_TEST
  }

  /** For JPA. */
  protected Line() {}

  Line(String code, String name, Kind kind) {
    super(code, name);
    this.kind = kind;
  }

  /** The kind of work. */
  public Kind kind() {
    return kind;
  }

  void change(String name, Kind newKind, boolean retired, Instant now) {
    rename(name);
    kind = newKind;
    retire(retired, now);
  }
}
