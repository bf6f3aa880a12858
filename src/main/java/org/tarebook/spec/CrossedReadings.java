package org.tarebook.spec;

import com.fasterxml.jackson.annotation.JsonSetter;
import com.fasterxml.jackson.annotation.Nulls;
import io.swagger.v3.oas.annotations.media.Schema;
import jakarta.validation.constraints.NotNull;
import jakarta.validation.constraints.Size;
import java.math.BigDecimal;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.tarebook.http.Faults;
import org.tarebook.http.ProblemType;
import org.tarebook.quantity.Decimals;

/**
 * The readings of a crossed study as they are sent: of each part, of each operator, the readings,
 * all in one unit.
 */
@Schema(
    name = "CrossedReadings",
    description =
        "The readings of a crossed measurement system study: the readings of each part"
            + " by each operator, all in one unit.")
public record CrossedReadings(
    @JsonSetter(contentNulls = Nulls.SET)
        @Schema(description = "A list of parts; each a list of operators; each a list of readings.")
        @NotNull
        @Size(min = 2, max = 100)
        List<
                @NotNull @Size(min = 1, max = 20) List<
                    @NotNull @Size(max = 50) List<@Nullable BigDecimal>>>
            parts) {

  private static final int MOST_TOLD = 20;

  /**
   * The readings as an array, every cell full. Parts, operators and trials are counted from 1 in
   * what is said of a missing one.
   *
   * @param pointer where the parts stand in the request
   */
  public double[][][] full(String pointer) {
    int operators = parts.stream().mapToInt(List::size).max().orElse(0);
    int trials = parts.stream().flatMap(List::stream).mapToInt(List::size).max().orElse(0);
    Faults faults = new Faults();
    faults.require(
        trials >= 2, pointer, "every operator measures every part at least twice; add the repeats");
    double[][][] all = new double[parts.size()][operators][Math.max(trials, 0)];
    int missing = 0;
    for (int i = 0; i < all.length; i++) {
      for (int j = 0; j < operators; j++) {
        List<@Nullable BigDecimal> cell =
            j < parts.get(i).size() ? parts.get(i).get(j) : List.<@Nullable BigDecimal>of();
        for (int k = 0; k < trials; k++) {
          BigDecimal reading = k < cell.size() ? cell.get(k) : null;
          if (reading != null) {
            all[i][j][k] = reading.doubleValue();
          } else if (missing++ < MOST_TOLD) {
            faults.add(
                pointer + "/" + i + "/" + j + "/" + k,
                "part %d, operator %d, reading %d is missing: other cells have %d readings of %d operators; measure it, or leave the part, operator or reading out everywhere"
                    .formatted(i + 1, j + 1, k + 1, trials, operators));
          }
        }
      }
    }
    faults.throwIfAny(ProblemType.RULE_BROKEN);
    return all;
  }

  /** The readings in words that are equal where the numbers are, for telling a retry. */
  String words() {
    return parts.stream()
        .map(
            part ->
                part.stream()
                    .map(cell -> cell.stream().map(CrossedReadings::word).toList())
                    .toList())
        .toList()
        .toString();
  }

  private static String word(@Nullable BigDecimal reading) {
    return reading == null ? "" : Decimals.plain(reading).toPlainString();
  }
}
