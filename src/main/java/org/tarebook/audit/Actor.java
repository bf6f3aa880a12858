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
  @Schema(name = "ActorKind", description = "Who acts with a token.")
  public enum Kind {
    @Schema(description = "A terminal or controller of a station.")
    STATION,
    @Schema(description = "A person.")
    PERSON,
    @Schema(description = "Another system of the plant, or the service itself.")
    SYSTEM
  }
}
