package org.tarebook.reading;

import io.swagger.v3.oas.annotations.media.Schema;
import jakarta.validation.Valid;
import jakarta.validation.constraints.Max;
import jakarta.validation.constraints.Min;
import jakarta.validation.constraints.NotBlank;
import jakarta.validation.constraints.NotNull;
import jakarta.validation.constraints.Size;
import java.math.BigDecimal;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.tarebook.http.Code;
import org.tarebook.http.FactKey;
import org.tarebook.http.NoBlankEnds;

/**
 * What a station posts: one value an instrument showed, with who, when, where and on which item,
 * and further values of the same item taken together with it.
 */
@Schema(
    name = "Posting",
    description =
        "What a station posts: one value that an instrument showed, with who, when,"
            + " where and on which item, and further values of the same item taken together"
            + " with it.")
public record Posting(
    @Schema(
            description =
                "The station's own key of this posting; a retry repeats it. 1 to 64 visible ASCII"
                    + " characters, best the station's counter.",
            example = "T1-W1:000812")
        @NotNull
        @FactKey
        String key,
    @Schema(description = "The station's code.", example = "T1-W1") @NotNull @Code String station,
    @Schema(description = "The characteristic's code.", example = "TR114-MASS") @NotNull @Code
        String characteristic,
    @Schema(
            description =
                "The net value shown, in unit, with the decimals shown; absent only with OVERLOAD or"
                    + " UNDER, or where gross and tare give it.",
            example = "5.613")
        @Nullable BigDecimal value,
    @Schema(
            description =
                "ABOVE where the true value is at least the value (a test ended before it broke),"
                    + " BELOW where at most. It is judged where that decides, and kept out of"
                    + " statistics.")
        @Nullable Censored censored,
    @Schema(description = "UCUM code of the unit shown.", example = "kg") @NotBlank String unit,
    @Schema(
            description = "The device's clock, with its offset.",
            example = "2026-03-29T00:59:59.25Z")
        @NotNull
        Instant measuredAt,
    @Schema(
            description =
                "The instrument's code; may be left out where the station has one instrument for the"
                    + " kind of unit.")
        @Code
        @Nullable String instrument,
    @Schema(description = "Gross value, in unit.") @Nullable BigDecimal gross,
    @Schema(description = "Tare taken off, in unit.") @Nullable BigDecimal tare,
    @Schema(description = "What the instrument said about itself.")
        @Nullable Set<@NotNull Flag> flags,
    @Schema(description = "What the line was doing; RUNNING when left out.") @Nullable Phase phase,
    @Schema(description = "The die, drum, mould or cavity the item came from.")
        @Size(min = 1, max = 40)
        @NoBlankEnds
        @Nullable String die,
    @Schema(description = "The lot the item belongs to.") @Size(min = 1, max = 40) @NoBlankEnds
        @Nullable String lot,
    @Schema(
            description =
                "The name of the sample it was taken in. All readings of a chart that name one sample"
                    + " in a shift are one point, however many count; where none is named, points are"
                    + " cut by count. Not needed on charts of single readings.",
            example = "S-0417")
        @Size(min = 1, max = 40)
        @NoBlankEnds
        @Nullable String sample,
    @Schema(description = "Who measured, by the plant's own sign.")
        @Size(min = 1, max = 40)
        @NoBlankEnds
        @Nullable String operator,
    @Schema(description = "The station's own running number.") @Min(0) @Max(1_000_000_000_000_000L)
        @Nullable Long counter,
    @Schema(description = "The item's number, where it bears one.")
        @Size(min = 1, max = 40)
        @NoBlankEnds
        @Nullable String item,
    @Schema(description = "The truck an unnumbered item lies on.")
        @Size(min = 1, max = 40)
        @NoBlankEnds
        @Nullable String truck,
    @Schema(description = "The leaf of the truck.") @Size(min = 1, max = 40) @NoBlankEnds
        @Nullable String leaf,
    @Schema(
            description =
                "Declares a remeasurement: the key of the station's earlier posting of the same"
                    + " item.")
        @Size(min = 1, max = 64)
        @Nullable String remeasures,
    @Schema(description = "Further values of the same item taken together; not in CSV.")
        @Size(max = 20)
        @Nullable List<@Valid @NotNull Value> together) {

  /** A further value of the same item. */
  @Schema(name = "PostedValue", description = "A further value of the same item.")
  public record Value(
      @NotNull @Code String characteristic,
      @Schema(
              description =
                  "The net value shown, in unit; left out only with OVERLOAD or UNDER, or where"
                      + " gross and tare give it.")
          @Nullable BigDecimal value,
      @Schema(
              description =
                  "ABOVE where the true value is at least the value, BELOW where it is at most the"
                      + " value; left out where the value is exact.")
          @Nullable Censored censored,
      @Schema(description = "UCUM code of the unit shown.") @NotBlank String unit,
      @Schema(
              description =
                  "Code of the instrument; may be left out where the station has one instrument"
                      + " for the kind of unit.")
          @Code
          @Nullable String instrument,
      @Nullable BigDecimal gross,
      @Nullable BigDecimal tare,
      @Schema(description = "What the instrument reported about the value; left out where nothing.")
          @Nullable Set<@NotNull Flag> flags) {}

  /** All values, the first one first. */
  List<Value> values() {
    List<Value> values = new ArrayList<>();
    values.add(new Value(characteristic, value, censored, unit, instrument, gross, tare, flags));
    if (together != null) {
      values.addAll(together);
    }
    return values;
  }

  /**
   * What the item is called: its number, or where it bears none its place by the station's counter
   * and truck or leaf; absent where it cannot be told from others.
   */
  @Nullable String itemLabel() {
    return itemLabel(station, item, truck, leaf, counter);
  }

  /** The same of an item that is measured at a station. */
  static @Nullable String itemLabel(
      String station,
      @Nullable String item,
      @Nullable String truck,
      @Nullable String leaf,
      @Nullable Long counter) {
    if (item != null) {
      return item;
    }
    if (truck == null && leaf == null) {
      return null;
    }
    return station + " truck " + truck + " leaf " + leaf + " counter " + counter;
  }
}
