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
  @Schema(name = "ComponentKind")
  public enum Kind {
    COMPOUND,
    FABRIC,
    TREAD_STRIP,
    PLY,
    BEAD,
    FLIPPER,
    CHAFER,
    BREAKER,
    CUSHION,
    LINER,
    SIDEWALL,
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
