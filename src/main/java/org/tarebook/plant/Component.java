package org.tarebook.plant;

import io.swagger.v3.oas.annotations.media.Schema;
import jakarta.persistence.Entity;
import jakarta.persistence.EnumType;
import jakarta.persistence.Enumerated;
import java.time.Instant;

/** A coded part or stock that tyres are made of. */
@Entity
public class Component extends Coded {

  @Enumerated(EnumType.STRING)
  private Kind kind = Kind.COMPOUND;

  /** Kinds of components. */
  @Schema(name = "ComponentKind", description = "A kind of component.")
  public enum Kind {
    @Schema(description = "A rubber compound.")
    COMPOUND,
    @Schema(description = "A rubberised fabric.")
    FABRIC,
    @Schema(description = "A tread strip.")
    TREAD_STRIP,
    @Schema(description = "A ply.")
    PLY,
    @Schema(description = "A bead.")
    BEAD,
    @Schema(description = "A flipper.")
    FLIPPER,
    @Schema(description = "A chafer.")
    CHAFER,
    @Schema(description = "A breaker.")
    BREAKER,
    @Schema(description = "A cushion.")
    CUSHION,
    @Schema(description = "A liner.")
    LINER,
    @Schema(description = "A sidewall.")
    SIDEWALL,
    @Schema(description = "A green tyre.")
    GREEN_TYRE
  }

  /** For JPA. */
  protected Component() {}

  Component(String code, String name, Kind kind) {
    super(code, name);
    this.kind = kind;
  }

  /** What it is. */
  public Kind kind() {
    return kind;
  }

  void change(String name, Kind newKind, boolean retired, Instant now) {
    rename(name);
    kind = newKind;
    retire(retired, now);
  }
}
