package org.tarebook.chart;

import io.swagger.v3.oas.annotations.media.Schema;
import java.util.List;
import java.util.Objects;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;

/** What long work is changing in the record while an answer is made, or was at its moment. */
@Schema(
    name = "Unsettled",
    description =
        "What was being changed at the moment that the answer stands for: figures may hold some of the"
            + " earlier state until the work has finished. Absent where nothing was.")
public record Unsettled(
    @Schema(
            description =
                "Instruments whose readings are taken out, or back in, as their checks say: some"
                    + " readings count that are doubted, or the reverse. Absent where there are none.",
            example = "[\"T2-W1-SC\"]")
        @Nullable List<String> applyingDoubts,
    @Schema(
            description =
                "Characteristics whose readings are judged again: their earlier results count until"
                    + " all new ones stand. Absent where there are none.",
            example = "[\"TR-204-MASS\"]")
        @Nullable List<String> judgingAgain,
    @Schema(
            description =
                "Shift calendars by whose change readings are cut into shifts again: until all are, the"
                    + " earlier calendars cut the answer. Absent where there are none, and with asOf.")
        @Nullable List<String> cuttingAgain) {

  /** Of these lists; absent where all are empty. */
  static @Nullable Unsettled of(
      List<String> applyingDoubts, List<String> judgingAgain, List<String> cuttingAgain) {
    Unsettled found =
        new Unsettled(orAbsent(applyingDoubts), orAbsent(judgingAgain), orAbsent(cuttingAgain));
    return found.equals(new Unsettled(null, null, null)) ? null : found;
  }

  /** Of several answers together; absent where nothing was being changed in any. */
  public static @Nullable Unsettled together(List<@Nullable Unsettled> all) {
    return of(
        union(all, Unsettled::applyingDoubts),
        union(all, Unsettled::judgingAgain),
        union(all, Unsettled::cuttingAgain));
  }

  private static List<String> union(
      List<@Nullable Unsettled> all, Function<Unsettled, @Nullable List<String>> member) {
    return all.stream()
        .filter(Objects::nonNull)
        .map(member)
        .filter(Objects::nonNull)
        .flatMap(List::stream)
        .distinct()
        .sorted()
        .toList();
  }

  private static @Nullable List<String> orAbsent(List<String> codes) {
    return codes.isEmpty() ? null : codes;
  }
}
