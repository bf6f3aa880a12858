package org.tarebook.control;

import io.swagger.v3.oas.annotations.media.Schema;
import java.util.List;
import java.util.Map;
import org.tarebook.reading.Cause;

/**
 * Readings that were left out of a figure.
 *
 * @param cause why, for a program
 * @param words why, for a person
 * @param readings how many
 */
@Schema(name = "Excluded", description = "Readings left out, and why.")
public record Excluded(
    @Schema(example = "VOIDED") Cause cause, String words, @Schema(example = "2") long readings) {

  /** From counts by cause. */
  public static List<Excluded> list(Map<Cause, Long> counts) {
    return counts.entrySet().stream()
        .map(each -> new Excluded(each.getKey(), each.getKey().words(), each.getValue()))
        .toList();
  }
}
