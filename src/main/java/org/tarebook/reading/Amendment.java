package org.tarebook.reading;

import io.swagger.v3.oas.annotations.media.Schema;
import java.time.Instant;
import org.jspecify.annotations.Nullable;

/**
 * A later fact that voids or replaces a reading. The reading itself stays as it was.
 *
 * @param readingId the reading it amends
 * @param replacementId the reading that takes its place, where it is replaced
 * @param key the person's own key
 */
@Schema(name = "Amendment")
record Amendment(
    long id,
    long readingId,
    Kind kind,
    @Nullable Long replacementId,
    String key,
    String reason,
    String person,
    Instant recordedAt) {

  /** Kinds of amendments. */
  @Schema(name = "AmendmentKind", description = "What an amendment does to a reading.")
  enum Kind {
    @Schema(
        description =
            "The reading should not have been recorded: nothing was measured, or something"
                + " else.")
    VOID,
    @Schema(
        description = "The reading was recorded wrongly; a replacement holds what was measured.")
    REPLACE
  }
}
