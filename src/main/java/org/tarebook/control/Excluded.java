package org.tarebook.control;

import io.swagger.v3.oas.annotations.media.Schema;
import java.util.List;
import java.util.Map;
import org.tarebook.reading.Cause;

/** Readings that were left out of a figure. */
@Schema(name = "Excluded", description = "Readings left out, and why.")
public record Excluded(
    @Schema(description = "Why they are left out, for a program.", example = "VOIDED") Cause cause,
    @Schema(description = "Why they are left out, as words for people.") String words,
    @Schema(description = "How many readings are left out for it.", example = "2") long readings) {

  /** From counts by cause. */
  public static List<Excluded> list(Map<Cause, Long> counts) {
    return counts.entrySet().stream()
        .map(each -> new Excluded(each.getKey(), each.getKey().words(), each.getValue()))
        .toList();
  }
}
