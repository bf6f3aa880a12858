package org.tarebook.audit;

import io.swagger.v3.oas.annotations.media.Schema;
import org.jspecify.annotations.Nullable;

/**
 * Who acts in a request.
 *
 * @param name the token's name: a person's, a station's or a system's
 * @param kind which of these
 * @param station the station's code, for a station; absent otherwise
 */
@Schema(name = "Actor")
public record Actor(String name, Kind kind, @Nullable String station) {

  /** Tarebook itself, for what it does without being asked. */
  public static final Actor TAREBOOK = new Actor("tarebook", Kind.SYSTEM, null);

  /** Kinds of actors. */
  @Schema(name = "ActorKind")
  public enum Kind {
    STATION,
    PERSON,
    SYSTEM
  }
}
