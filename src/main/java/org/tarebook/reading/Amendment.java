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
  @Schema(name = "AmendmentKind")
  enum Kind {
    /** It should not have been recorded: nothing was measured, or not this. */
    VOID,
    /** It was recorded wrongly: the replacement holds what was measured. */
    REPLACE
  }
}
