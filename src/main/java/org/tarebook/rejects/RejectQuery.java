package org.tarebook.rejects;

import io.swagger.v3.oas.annotations.Parameter;
import jakarta.validation.constraints.NotNull;
import java.time.Instant;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.tarebook.reading.AsOf;

/** A question for reject rates as it is asked; whatever is left out does not narrow. */
record RejectQuery(
    @Parameter(
            description = "First moment of the window, by the devices' clocks, with its offset.",
            example = "2026-03-02T06:00:00+01:00")
        @NotNull(message = "is needed: the first moment of the window, with its offset")
        Instant measuredFrom,
    @Parameter(
            description = "First moment after the window, at most 400 days later.",
            example = "2026-03-09T06:00:00+01:00")
        @NotNull(message = "is needed: the first moment after the window, with its offset")
        Instant measuredBefore,
    @Parameter(
            description =
                "What to tell apart, with commas between. SHIFT: name of the shift. REASON:"
                    + " characteristic and side.",
            example = "LINE,SHIFT")
        @Nullable Set<Dimension> groupBy,
    @Parameter(
            description = "How to cut time, by the plant's calendar and zone; NONE when left out.",
            example = "DAY")
        @Nullable Bucket bucket,
    @Parameter(description = "Code of the line.", example = "T1") @Nullable String line,
    @Parameter(description = "Code of the component.", example = "TR114")
        @Nullable String component,
    @Parameter(description = "Code of the product.", example = "F2-11-28-8PR")
        @Nullable String product,
    @Parameter(
            description = "Code of the station of an item's first judged reading.",
            example = "T1-W1")
        @Nullable String station,
    @Parameter(description = "Die of an item's first judged reading.", example = "D-114-B")
        @Nullable String die,
    @Parameter(description = "Code of the characteristic.", example = "TR114-MASS")
        @Nullable String characteristic,
    @Parameter(
            description = "Name of the shift of an item's first judged reading.",
            example = "early")
        @Nullable String shift,
    @Parameter(
            description = "Confidence of the intervals, 0.5 to 0.999; 0.95 when left out.",
            example = "0.95")
        @Nullable Double confidence,
    @Parameter(
            description =
                "How the interval of independent items is made: WILSON when left out;"
                    + " CLOPPER_PEARSON never falls short of its confidence.",
            example = "WILSON")
        @Nullable IntervalMethod method,
    @Parameter(
            description =
                "Whether readings count that rest on an instrument which a check found doubtful;"
                    + " true when left out. With false they are left out and counted.",
            example = "true")
        @Nullable Boolean includeSuspect,
    @Parameter(description = AsOf.ASKED, example = "2026-11-02T06:00:00Z") @Nullable Instant asOf) {

  RateQuestion question() {
    return new RateQuestion(
        measuredFrom,
        measuredBefore,
        groupBy == null ? Set.of() : groupBy,
        bucket == null ? Bucket.NONE : bucket,
        new RateQuestion.Narrowing(line, component, product, station, die, characteristic, shift),
        confidence == null ? 0.95 : confidence,
        method == null ? IntervalMethod.WILSON : method,
        includeSuspect == null || includeSuspect,
        asOf);
  }
}
