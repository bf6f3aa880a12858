package org.tarebook.rejects;

import io.swagger.v3.oas.annotations.media.Schema;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.tarebook.chart.Unsettled;
import org.tarebook.reading.Direction;
import org.tarebook.stats.Interval;
import org.tarebook.stats.MethodRevision;
import org.tarebook.stats.Overdispersion;

/** Reject rates, with all that is needed to defend them. */
@Schema(name = "RejectRates", description = "Reject rates, with all that is needed to defend them.")
public record RateAnswer(
    @Schema(description = "First moment of the window, by the devices' clocks.")
        Instant measuredFrom,
    @Schema(description = "First moment after the window.") Instant measuredBefore,
    @Schema(description = "The plant's zone at measuredFrom.", example = "Europe/Berlin")
        String zone,
    @Schema(description = "What the rows are grouped by; empty for one row of everything.")
        Set<Dimension> groupBy,
    @Schema(description = "How the window is divided.") Bucket bucket,
    @Schema(description = "Of each interval, two-sided.", example = "0.95") double confidence,
    @Schema(description = "How each interval of independent items was made.") IntervalMethod method,
    @Schema(description = MethodRevision.MEANING) int methodRevision,
    @Schema(description = "Whether readings of suspect instruments count.") boolean includeSuspect,
    @Schema(description = "What is counted, and how.") List<String> definitions,
    @Schema(description = "In the order of their members, then of time.") List<Row> rows,
    @Schema(
            description =
                "Everything asked for, each item once, whatever failed. Rows may add up to more: an"
                    + " item counts on each line, component and product told apart, and under each"
                    + " reason.")
        Row total,
    @Schema(description = "The moment as of which the record was looked at; absent for now.")
        @Nullable Instant asOf,
    @Schema(
            description =
                "Readings of the window that were written, kept out, let in, judged anew or moved"
                    + " into other shifts since, and cavities that were loaded, judged or moved; of"
                    + " now absent.")
        @Nullable Long changedSince,
    @Nullable Unsettled unsettled) {

  /** What a member {@code unverified} holds, in the API document. */
  static final String UNVERIFIED =
      "Judged readings of an instrument whose check is overdue; they are counted in. Known of now"
          + " only, and absent as of an earlier moment.";

  /** The rates of one group; members that are not told apart, or not there, are absent. */
  @Schema(
      name = "RejectRateRow",
      description =
          "The rates of one group. Members that groupBy does not name, or that the items"
              + " do not have, are absent.")
  public record Row(
      @Schema(description = "Code of the line.") @Nullable String line,
      @Schema(description = "Code of the component.") @Nullable String component,
      @Schema(description = "Code of the product.") @Nullable String product,
      @Schema(description = "Code of the station of the item's first judged reading on a line.")
          @Nullable String station,
      @Schema(description = "The die, drum or mould of the item's first judged reading on a line.")
          @Nullable String die,
      @Schema(description = "Name of the shift.", example = "early") @Nullable String shift,
      @Schema(description = "The side on which readings failed.") @Nullable Direction direction,
      @Schema(description = "Characteristic and side.", example = "TR114-MASS light")
          @Nullable String reason,
      @Schema(description = "The period; absent where the window is not divided.")
          @Nullable Period bucket,
      @Schema(description = "Items with at least one judged reading or cure that counts.")
          long judged,
      @Schema(
              description =
                  "Items of which the last judged reading of a characteristic, or the last judged"
                      + " cure, failed.")
          long rejected,
      @Schema(
              description =
                  "Items of which the first judged reading of a characteristic, or the first judged"
                      + " cure, failed.")
          long firstPassRejected,
      @Schema(
              description =
                  "Of judged: items of which the first or last judged reading of a characteristic"
                      + " rests on an instrument that a check found doubtful.")
          long judgedSuspect,
      @Schema(description = "Of rejected: items that no reading of a sound instrument rejects.")
          long rejectedSuspect,
      @Schema(
              description =
                  "Of firstPassRejected: items that no reading of a sound instrument rejects.")
          long firstPassRejectedSuspect,
      @Schema(description = "rejected over judged.") Rate finalRate,
      @Schema(description = "firstPassRejected over judged.") Rate firstPassRate,
      @Schema(description = "Items not rejected, but conditional: no rejects.") long conditional,
      @Schema(
              description =
                  "Items of which a failing reading was followed by a passing one of the same"
                      + " characteristic within two minutes.")
          long passAfterFail,
      @Schema(
              description =
                  "Cavities of press loads of the group: judged, not judged or without a log. A"
                      + " judged one is the cure of an item and counts in judged.")
          long cavities,
      @Schema(
              description =
                  "Cavities left out: the standing verdict is NOT_JUDGED, although there is a log.")
          long curesNotJudged,
      @Schema(
              description =
                  "Cavities left out: the load runs, was never closed, or was closed without a sample.")
          long curesWithoutLog,
      @Schema(description = "Judged cures of items that were cured and judged before.")
          long curedAgain,
      @Schema(description = "Readings of the group, judged or apart.") long readings,
      @Schema(description = "Judged readings of a characteristic that was judged before.")
          long remeasured,
      @Schema(description = RateAnswer.UNVERIFIED) @Nullable Long unverified,
      @Schema(description = "Readings left out: not judged.") long notJudged,
      @Schema(description = "Readings left out: voided.") long voided,
      @Schema(description = "Readings left out: replaced by another.") long replaced,
      @Schema(description = "Readings left out: start-up, trial or changeover.") long notRunning,
      @Schema(
              description =
                  "Readings left out: of an instrument that a check found doubtful; 0 unless"
                      + " includeSuspect is false.")
          long instrumentSuspect) {}

  /** A bucket of the plant's time. */
  @Schema(
      name = "RejectRatePeriod",
      description = "A period of the plant's time: an hour, shift, day or week.")
  public record Period(
      @Schema(description = "Its first moment.") Instant from,
      @Schema(description = "First moment after it.") Instant before,
      @Schema(description = "Its name for people.", example = "2026-W13") String label,
      @Schema(description = "Whether the window holds all of it.") boolean whole) {}

  /** A share of items, dimensionless; absent where nothing was judged. */
  @Schema(
      name = "RejectRate",
      description = "A share of items, dimensionless; absent where nothing was judged.")
  public record Rate(
      @Schema(description = "0 to 1.") @Nullable Double share,
      @Schema(
              description =
                  "By the method: as if items were independent, or of effectiveItems where these"
                      + " are given.")
          @Nullable Interval interval,
      @Schema(
              description =
                  "How many independent items say as much about the share; absent where no two"
                      + " items share a press load.")
          @Nullable Double effectiveItems,
      @Schema(
              description =
                  "What the spread between shifts says of the share; absent with fewer than two"
                      + " shifts.")
          @Nullable BetweenShifts betweenShifts,
      @Schema(description = "Why the share does not exist; absent where it does.")
          @Nullable NotComputed notComputed) {}

  /** What the spread between shifts says of a share; absent with fewer than two shifts. */
  @Schema(
      name = "RejectRateBetweenShifts",
      description = "What the spread between shifts says of a share.")
  public record BetweenShifts(
      @Schema(description = "About 1 where shifts differ by chance only, above by more.")
          @Nullable Double dispersion,
      @Schema(description = "Shifts with judged items.") @Nullable Integer groups,
      @Schema(description = "An interval that allows for the spread; never the narrower one.")
          @Nullable Interval interval,
      @Schema(description = "Why its figures do not exist; absent where they do.")
          @Nullable NotComputed notComputed) {

    /**
     * Of the spread that was found.
     *
     * @param least the design effect of press loads inside the shifts, at least 1
     */
    static BetweenShifts of(Optional<Overdispersion> spread, double least, double confidence) {
      return spread
          .map(
              of ->
                  new BetweenShifts(
                      of.dispersion(), of.groups(), of.interval(confidence, least), null))
          .orElseGet(() -> new BetweenShifts(null, null, null, NotComputed.ONE_SHIFT));
    }
  }

  /** Why a figure is absent. */
  @Schema(name = "RejectRateNotComputed", description = "Why a figure of rejects does not exist.")
  public enum NotComputed {
    @Schema(description = "No item was judged.")
    NOTHING_JUDGED,
    @Schema(
        description =
            "All judged items are of one shift, so the spread between shifts cannot be"
                + " estimated.")
    ONE_SHIFT,
    @Schema(
        description =
            "All judged items are of one press load, so the spread between loads cannot be"
                + " estimated.")
    ONE_LOAD,
    @Schema(
        description =
            "Items of one press load are not independent, and this figure assumes that they"
                + " are.")
    NOT_INDEPENDENT,
    @Schema(description = "No item was rejected, so there is no limit and no ratio.")
    NOTHING_REJECTED,
    @Schema(description = "Every item was rejected, so there is no limit.")
    EVERYTHING_REJECTED,
    @Schema(description = "One point, or too few shifts, does not show how much they differ.")
    TOO_FEW
  }
}
