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
  @Schema(name = "LineKind")
  public enum Kind {
    MIXING,
    CALENDERING,
    BIAS_CUTTING,
    BEAD_WINDING,
    TREAD_EXTRUSION,
    BUILDING,
    CURING,
    FINISHING,
    LABORATORY,
    ENDURANCE,
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
