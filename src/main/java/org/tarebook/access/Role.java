package org.tarebook.access;

import io.swagger.v3.oas.annotations.media.Schema;
import org.tarebook.audit.Actor;

/** What a token is for. */
@Schema(name = "Role", description = "What a token may do.")
public enum Role {
  @Schema(description = "Posts readings and instrument checks of its station.")
  STATION,
  @Schema(description = "Reads, and changes nothing.")
  READER,
  @Schema(description = "Answers for quality: limits, amendments, responses, the plant.")
  QUALITY,
  @Schema(description = "Gives tokens out, and changes what quality may change.")
  ADMIN;

  /** Whether an actor of this kind may hold it. */
  public boolean fits(Actor.Kind kind) {
    return switch (this) {
      case STATION -> kind != Actor.Kind.PERSON;
      case READER -> kind != Actor.Kind.STATION;
      case QUALITY, ADMIN -> kind == Actor.Kind.PERSON;
    };
  }
}
