package org.tarebook.reading;

import io.swagger.v3.oas.annotations.media.Schema;
import java.math.BigDecimal;
import java.time.Instant;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.tarebook.quantity.Side;

/** A reading as it is answered: what was recorded, what it was judged by, and how it stands now. */
@Schema(
    name = "Reading",
    description = "A reading: what was recorded, what it was judged by, and how it stands now.")
record ReadingView(
    @Schema(description = "The reading's number in the record.", example = "1001") String id,
    @Schema(description = "The station's own key of the posting.") String key,
    String station,
    @Schema(description = "The line of the station.") String line,
    @Schema(description = "Code of the instrument; absent where none was found.")
        @Nullable String instrument,
    String characteristic,
    @Schema(description = "The component it was measured on.") @Nullable String component,
    @Schema(description = "The product it was measured on.") @Nullable String product,
    @Schema(description = "The chart it belongs to.") @Nullable String chart,
    @Schema(description = "Net value shown, in unit.") @Nullable BigDecimal value,
    @Schema(
            description =
                "That the true value is at least (ABOVE) or at most (BELOW) the value; absent where it"
                    + " is exact.")
        @Nullable Censored censored,
    @Schema(description = "UCUM code of the unit shown.") String unit,
    @Nullable BigDecimal gross,
    @Nullable BigDecimal tare,
    @Schema(description = "What the instrument reported about the value; empty where nothing.")
        Set<Flag> flags,
    @Schema(description = "The device's clock.") Instant measuredAt,
    @Schema(description = "The server's clock.") Instant recordedAt,
    @Schema(description = "What the line was doing.") Phase phase,
    @Nullable String die,
    @Nullable String lot,
    @Schema(description = "The name of the sample it was taken in.") @Nullable String sample,
    @Nullable String operator,
    @Nullable Long counter,
    @Schema(description = "Number of the item; absent where it bears none.") @Nullable String item,
    @Nullable String truck,
    @Nullable String leaf,
    @Schema(description = "Who posted it: the token's name.") String postedBy,
    @Schema(description = "The result of judging it.") Result result,
    @Schema(description = "The side on which it failed or is conditional.")
        @Nullable Direction direction,
    @Schema(description = "Why it was not judged.") @Nullable NotJudged notJudged,
    @Schema(description = "Result and limits in one sentence, for a display.") String words,
    @Schema(description = "The revision and limits it was judged by.")
        @Nullable Limits specification,
    @Schema(description = "Under guarded acceptance: what its guard band came from.")
        @Nullable Guard guard,
    @Schema(
            description =
                "Distance to the nearest limit, in the unit of the limits: above 0 inside, 0 on the"
                    + " limit, below 0 outside. Exact, or 20 significant digits where it does not end.")
        @Nullable BigDecimal margin,
    @Schema(description = "The limit that margin is the distance to; absent where margin is.")
        @Nullable Side nearestLimit,
    @Schema(description = "The value in the unit of the limits.")
        @Nullable BigDecimal valueInLimitUnit,
    @Schema(description = "COUNTED, or why it does not count in statistics.", example = "COUNTED")
        String standing,
    @Schema(description = "How many later results took the place of the first.") int successors,
    @Schema(
            description =
                "True where the result rests on a revision that was withdrawn since: it stands until"
                    + " all readings of the revision are judged again. Else absent.")
        @Nullable Boolean judgingAgain,
    @Schema(description = "The first reading of the same item, where this is a later one.")
        @Nullable String remeasures,
    @Schema(description = "The amendment that voided or replaced it; absent where there is none.")
        @Nullable AmendmentView amendment,
    @Schema(description = "Notices about it; empty where there are none.") List<Notice> notices,
    @Schema(description = "Further values taken together with it.")
        @Nullable List<ReadingView> together) {

  /** The revision a reading was judged by. Values are in unit. */
  @Schema(
      name = "LimitsUsed",
      description =
          "The revision of the specification that a reading was judged by. Values are in"
              + " unit.")
  record Limits(
      @Schema(description = "Number of the revision of the specification, counted from 1.")
          int revision,
      @Schema(description = "Target; absent where the specification has none.")
          @Nullable BigDecimal target,
      @Schema(description = "Lower specification limit; absent where there is none.")
          @Nullable BigDecimal lower,
      @Schema(description = "Upper specification limit; absent where there is none.")
          @Nullable BigDecimal upper,
      @Schema(description = "UCUM code of the unit of target and limits.") String unit,
      @Schema(
              description =
                  "Interval to which the reading is rounded before it is compared; absent under"
                      + " absolute comparison.")
          @Nullable BigDecimal roundingInterval,
      @Schema(description = "Guard band over expanded uncertainty; absent: simple acceptance.")
          @Nullable BigDecimal guardFactor) {}

  /**
   * The guard band a reading was judged with; in the unit of the limits, exact or to 20 significant
   * digits where it does not end.
   */
  @Schema(
      name = "GuardUsed",
      description =
          "The guard band a reading was judged with, in the unit of the limits; exact, or"
              + " to 20 significant digits where it does not terminate.")
  record Guard(
      @Schema(description = "Id of the measuring uncertainty used.") String uncertainty,
      @Schema(description = "Its revision within station and characteristic.") int revision,
      @Schema(description = "As recorded, in uncertaintyUnit.") BigDecimal expandedUncertainty,
      @Schema(description = "UCUM code of the unit of expandedUncertainty.") String uncertaintyUnit,
      @Schema(description = "Expanded over standard uncertainty.") BigDecimal coverageFactor,
      @Schema(
              description =
                  "guardFactor times the expanded uncertainty, in the unit of the limits.")
          BigDecimal guardBand,
      @Schema(description = "The lowest value that passes.") @Nullable BigDecimal acceptanceLower,
      @Schema(description = "The highest value that passes.")
          @Nullable BigDecimal acceptanceUpper) {}

  /** What amended a reading. */
  @Schema(
      name = "AmendmentOfReading",
      description = "The amendment that voided or replaced a reading.")
  record AmendmentView(
      @Schema(description = "What it did to the reading.") Amendment.Kind kind,
      @Schema(description = "Id of the reading that replaces it; absent for VOID.")
          @Nullable String replacement,
      String reason,
      String person) {}

  ReadingView with(List<ReadingView> others) {
    return new ReadingView(
        id,
        key,
        station,
        line,
        instrument,
        characteristic,
        component,
        product,
        chart,
        value,
        censored,
        unit,
        gross,
        tare,
        flags,
        measuredAt,
        recordedAt,
        phase,
        die,
        lot,
        sample,
        operator,
        counter,
        item,
        truck,
        leaf,
        postedBy,
        result,
        direction,
        notJudged,
        words,
        specification,
        guard,
        margin,
        nearestLimit,
        valueInLimitUnit,
        standing,
        successors,
        judgingAgain,
        remeasures,
        amendment,
        notices,
        others);
  }
}
